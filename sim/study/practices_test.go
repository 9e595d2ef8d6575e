package study_test

import (
	"fmt"
	"testing"

	"rundown/sim/simtest"
	"rundown/sim/study"
)

// Work on other days is told however its day is written; what is counted from the same
// harvest, drilling or date is the same work.
func TestPracticesOfCountedDays(t *testing.T) {
	const head = "field: {name: Far Piece, area_ha: 1, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 20}\n"
	lib := simtest.Library(t)
	for _, x := range []struct{ here, there, want string }{
		{"spray_off: [{days_before_drilling: 3}]", "spray_off: [{days_before_drilling: 20}]", "work-day spray-off 17"},
		{"spray_off: [{days_before_drilling: 3}]", "spray_off: [{days_before_drilling: 3}]", ""},
		{"spray_off: [{days_before_drilling: 5}]", "spray_off: [20 Sep]", ""}, // drilled on 25 September
		{"spray_off: [{days_before_drilling: 5}]", "spray_off: [{days_before_drilling: 5}], drill: {date: 10 Oct}", "drilling  -15"},
		{"cultivate: [{days_after_harvest: 20, with: shallow-disc}]", "cultivate: [{days_after_harvest: 5, with: shallow-disc}]", "work-day shallow-disc 15"},
		{"cultivate: [{days_after_harvest: 5, with: shallow-disc}]", "cultivate: [{days_after_harvest: 5, with: shallow-disc}]", ""},
	} {
		here := simtest.Calendar(t, lib, head+"seasons: [{crop: winter-wheat}, {crop: winter-wheat, "+x.here+"}]\n")
		there := simtest.Calendar(t, lib, head+"seasons: [{crop: winter-wheat}, {crop: winter-wheat, "+x.there+"}]\n")
		got := ""
		for _, p := range study.Practices(here, there, [2]string{}) {
			got += fmt.Sprintf("%s %s %.0f", p.Kind, p.What, 2*(p.Here-p.There)) // one of two seasons differs
		}
		if got != x.want {
			t.Errorf("%s, not %s: %q, want %q", x.here, x.there, got, x.want)
		}
	}
}
