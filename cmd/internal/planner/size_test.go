package planner

import (
	"fmt"
	"slices"
	"testing"

	"rundown/sim/simtest"
)

// The field's size is told in the unit of land that the plan is shown in, and so is what was changed of it;
// 9 ha are 22.24 international acres (of 0.40468564224 ha).
func TestSizeInTheUnitThatIsShown(t *testing.T) {
	lib := simtest.Library(t)
	for _, x := range []struct{ units, size, changed string }{
		{"", "9 ha", "9 ha instead of 8"},
		{"units: {area: ac}\n", "22.2 ac", "22.2 ac instead of 19.8"},
	} {
		text := func(ha int) string {
			return fmt.Sprintf("%sfield: {area_ha: %d, soil: clay, climate: east-lowland}\n"+
				"weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 20}\nseasons: [{crop: winter-wheat}]\n", x.units, ha)
		}
		now := simtest.Calendar(t, lib, text(9))
		if got := now.Area.Size(now.AreaHa); got != x.size {
			t.Errorf("%q: %s, want %s", x.units, got, x.size)
		}
		if got := changes(simtest.Calendar(t, lib, text(8)), now); !slices.Equal(got, []string{x.changed}) {
			t.Errorf("%q: %q, want %s", x.units, got, x.changed)
		}
	}
}
