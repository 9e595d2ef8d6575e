package study_test

import (
	"fmt"
	"strings"
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

// Work that comes more often is not told as moved, nor is the spray that ends a cover where the other
// plan sprays on the same day; a day or two is no difference, and what differs by as much every
// time is told from an average.
func TestPracticesThatWereNotMoved(t *testing.T) {
	const head = "field: {name: Far Piece, area_ha: 1, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 20}\n"
	lib := simtest.Library(t)
	for _, x := range []struct{ here, there, want string }{
		{"{crop: spring-oats, spray_off: [5 Feb, {days_before_drilling: 1}]}", "{crop: spring-oats, spray_off: [{days_before_drilling: 1}]}", "work spray-off;"},
		{"{crop: spring-oats, spray_off: [5 Feb, {days_before_drilling: 1}]}",
			"{crop: spring-oats, spray_off: [{days_before_drilling: 1}], cover: {mix: mustard, sow: 3 Sep, destroy: 5 Feb}}", "cover mustard;"},
		{"{crop: winter-wheat, herbicides: [{programme: spring-contact, date: 12 Mar}]}",
			"{crop: winter-wheat, herbicides: [{programme: spring-contact, date: 9 Mar}]}", ""},
		{"{crop: winter-wheat, herbicides: [{programme: spring-contact, date: 29 Mar}]}",
			"{crop: winter-wheat, herbicides: [{programme: spring-contact, date: 9 Mar}]}", "work-day spring-contact 20 days, every time;"},
	} {
		for _, twice := range []bool{false, true} {
			there := x.there + ", " + x.there
			want := x.want
			if twice { // the second season of the other plan is like the first plan's
				there = x.there + ", " + x.here
				if want = strings.Replace(want, "20 days, every time", "10 days, on average", 1); !strings.Contains(want, "average") {
					continue
				}
			}
			a := simtest.Calendar(t, lib, head+"seasons: ["+x.here+", "+x.here+"]\n")
			b := simtest.Calendar(t, lib, head+"seasons: ["+there+"]\n")
			got := ""
			for _, p := range study.Practices(a, b, [2]string{}) {
				got += fmt.Sprintf("%s %s", p.Kind, p.What)
				if p.Kind == study.WorkDay {
					got += fmt.Sprintf(" %.0f days, %s", p.Here-p.There, map[bool]string{true: "every time", false: "on average"}[p.Steady])
				}
				got += ";"
			}
			if got != want {
				t.Errorf("%s, not %s: %q, want %q", x.here, there, got, want)
			}
		}
	}
}

// Only the same piece of work is told as moved: the spray that ends a cover is none of the burn-offs
// without one, and of two burn-offs the one that stays on its day does not share the other's days.
// What takes the place of other work is told once. Counts are of the plans as written here.
func TestPracticesAreOfTheSameWork(t *testing.T) {
	const head = "field: {name: Far Piece, area_ha: 1, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 20}\n"
	const cover = ", cover: {mix: oats-legumes, sow: 28 Aug, destroy: 1 Feb}"
	lib := simtest.Library(t)
	barley := func(x string) string { return "{crop: spring-barley" + x + "}" }
	wheat := func(with string) string {
		return "{crop: winter-wheat, cultivate: [{date: 5 Sep, with: " + with + "}]}"
	}
	for _, x := range []struct{ here, there, want string }{
		{barley(", spray_off: [17 Mar]" + cover), barley(", spray_off: [20 Oct, 17 Mar]"), "cover oats-legumes 1;work spray-off -1, but the cover's;"},
		{barley(", spray_off: [17 Mar]" + cover), barley(", spray_off: [17 Mar], cover: {mix: oats-legumes, sow: 28 Aug, destroy: 20 Feb}"),
			"cover-end spray-off -19 days, 1 of 1;"},
		{barley(", spray_off: [20 Oct, 17 Mar]"), barley(", spray_off: [10 Nov, 17 Mar]"), "work-day spray-off -21 days, 1 of 2;"},
		{barley(", spray_off: [20 Oct, 17 Mar]"), barley(", spray_off: [17 Mar]"), "work spray-off 1;"},
		{wheat("plough"), wheat("shallow-disc"), "work plough 1 instead of shallow-disc;"},
		{barley(""), wheat("plough"), "crop spring-barley 1 instead of winter-wheat;"},
	} {
		a, b := simtest.Calendar(t, lib, head+"seasons: ["+x.here+", "+x.here+"]\n"), simtest.Calendar(t, lib, head+"seasons: ["+x.there+", "+x.there+"]\n")
		got := ""
		for _, p := range study.Practices(a, b, [2]string{}) {
			got += fmt.Sprintf("%s %s %.0f", p.Kind, p.What, p.Here-p.There)
			if p.Of > 0 {
				got += fmt.Sprintf(" days, %d of %d", p.Nth, p.Of)
			}
			if p.Instead != "" {
				got += " instead of " + p.Instead
			}
			if p.ButEnders {
				got += ", but the cover's"
			}
			got += ";"
		}
		if got != x.want {
			t.Errorf("%s, not %s: %q, want %q", x.here, x.there, got, x.want)
		}
	}
}
