package rotations_test

import (
	"strings"
	"testing"
)

// The place is told by content: what is done there and what stood there at the start
// are no part of it, everything else is.
func TestPlace(t *testing.T) {
	const one = "field: {area_ha: 5, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 10}\n"
	place := func(head, seasons string) bool {
		a, b := calendar(t, one+"seasons: [{crop: winter-wheat}]\n"), calendar(t, head+"seasons: "+seasons+"\n")
		if equal, said := a.Place().Equal(b.Place()), len(a.SameField(b, false)) == 0; said && !equal {
			t.Errorf("no difference is said of\n%s", head)
		}
		return a.Place().Equal(b.Place())
	}
	for _, c := range []struct {
		old, new string
		equal    bool
	}{
		{"", "", true},
		{"heads_per_m2: 10", "heads_per_m2: 100", true},
		{"heads_per_m2: 10", "seedbank_per_m2: {0-5: 10}", true},
		{"start: 2026-08-01", "start: 2026-09-01", true},
		{"area_ha: 5", "area_ha: 6", false},
		{"soil: clay", "soil: loam", false},
		{"east-lowland", "west-maritime", false},
		{"soil: clay", "soil: clay, history: plough", false},
		{"soil: clay", "soil: clay, history: shallow-disc, last_crop: winter-wheat", true}, // what is usual
		{"soil: clay", "soil: clay, last_crop: spring-barley", false},
		{"black-grass", "wild-oat", false},
		{"heads_per_m2: 10", "heads_per_m2: 10, resistance: {2: 0.5}", false},
		{"heads_per_m2: 10", "heads_per_m2: 10, import_per_m2: 1", false},
	} {
		if got := place(strings.Replace(one, c.old, c.new, 1), "[{crop: spring-barley}, {crop: fallow}]"); got != c.equal {
			t.Errorf("%s for %s: one place: %v", c.new, c.old, got)
		}
	}
}
