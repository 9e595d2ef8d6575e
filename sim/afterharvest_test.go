package sim_test

import (
	"fmt"
	"testing"

	"rundown/sim"
)

// Work waits for the harvest before, whether it has a date or is counted from the harvest:
// a pass three days after the median harvest is done in the years too whose harvest is
// later. On a field without weeds a pass shows in the margin, and in nothing else. 200
// paired runs, at least 98 in 100 of them.
func TestWorkWaitsForTheHarvest(t *testing.T) {
	plan := func(work string) string {
		return fmt.Sprintf("field: {name: Clean, area_ha: 10, soil: sandy-loam, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, "+
			"heads_per_m2: 0}\nseasons:\n"+
			"  - {crop: winter-wheat, herbicides: []}\n  - {crop: spring-barley, spray_off: [], herbicides: [], cultivate: [%s]}\n", work)
	}
	o := run(t, 200, nil, plan(""), plan("{date: 15 Aug, with: shallow-disc}"), plan("{days_after_harvest: 3, with: shallow-disc}"))
	without := o[0].Column(sim.Margin, 1)
	done := func(i int) (n int) {
		for r, m := range o[i].Column(sim.Margin, 1) {
			if m < without[r]-1 {
				n++
			}
		}
		return n
	}
	dated, counted := done(1), done(2)
	t.Logf("of 200 runs the pass is done in %d with a date, in %d counted from the harvest", dated, counted)
	if dated < 196 || counted < 196 {
		t.Errorf("of 200 runs the pass is done in %d with a date, in %d counted from the harvest", dated, counted)
	}
}
