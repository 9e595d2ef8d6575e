package sim_test

import (
	"fmt"
	"math"
	"testing"

	"rundown/params/date"
	"rundown/sim"
)

// Heads looked at before mid-June are those that will stand, as far as they are out:
// on 14 June what is counted on 15 June within a few per cent, in every replicate that
// has some; hardly any in early May; half of them about the weed's own date. The 15th
// itself is seen as the run records it.
func TestHeadsLookedAtEarly(t *testing.T) {
	w := []sim.Watch{{Day: date.Of(2027, 5, 3), What: sim.WatchHeads}, {Day: date.Of(2027, 5, 24), What: sim.WatchHeads},
		{Day: date.Of(2027, 6, 14), What: sim.WatchHeads}, {Day: date.Of(2027, 6, 15), What: sim.WatchHeads}, {Day: date.Of(2027, 7, 10), What: sim.WatchHeads}}
	o := run(t, 100, w, worked("black-grass", "25", fmt.Sprintf(workedWheat, "")))[0]
	heads, before, on := o.Column(sim.Heads, 0), o.Watched(2), o.Watched(3)
	for r := range heads {
		if heads[r] < 1 {
			continue
		}
		if before[r] < 0.75*heads[r] || before[r] > 1.02*heads[r] {
			t.Errorf("replicate %d: %.1f heads/m² on 14 June, %.1f in mid-June", r, before[r], heads[r])
		}
		if on[r] > heads[r] || on[r] < 0.99*before[r] {
			t.Errorf("replicate %d: %.1f heads/m² on 15 June, %.1f on the day before", r, on[r], before[r])
		}
	}
	all := mean(heads)
	for i, c := range []struct{ low, high float64 }{{0, 0.06}, {0.35, 0.65}, {0.94, 1.01}, {0.95, 1}, {0.999, 1}} {
		if got := mean(o.Watched(i)) / all; got < c.low || got > c.high {
			t.Errorf("on %v %.3f of the heads of mid-June are seen, expected %g to %g", w[i].Day, got, c.low, c.high)
		}
	}
}

// Whoever looks at heads early changes nothing.
func TestLookingAtHeadsChangesNothing(t *testing.T) {
	plan := worked("wild-oat", "25", fmt.Sprintf(workedWheat, "{date: 10 Jun, with: patch-spray}"))
	plain := run(t, 10, nil, plan)[0]
	seen := run(t, 10, watchDaily(date.Of(2027, 4, 20), date.Of(2027, 7, 30), 3, sim.WatchHeads), plan)[0]
	for _, m := range []sim.Metric{sim.Heads, sim.SeedReturn, sim.Seedbank} {
		for r, x := range plain.Column(m, 0) {
			if y := seen.Column(m, 0)[r]; x != y {
				t.Errorf("replicate %d, %s: %v, looked at %v", r, sim.Metrics[m].Name, x, y)
			}
		}
	}
}

// Walking is cheap on few plants and hopeless on many (common practice, no source): over
// four densities a tenfold apart roguing on 14 June lets more return and costs more each time;
// of few it takes two thirds or more at under 50 a hectare, of many less than a fifth,
// and then it is said that they were too many. Patches cost the crop more the more
// there are of them.
func TestWorkByDensity(t *testing.T) {
	const n = 60
	var last struct{ back, cost, crop float64 }
	for i, heads := range []string{"0.02", "0.2", "2", "20"} {
		season := func(work string) string { return worked("black-grass", heads, fmt.Sprintf(workedWheat, work)) }
		o := run(t, n, nil, season(""), season("{date: 14 Jun, with: hand-rogue}"), season("{date: 14 Jun, with: patch-spray}"))
		of := func(k int, m sim.Metric) float64 { return mean(o[k].Column(m, 0)) }
		back := (of(1, sim.SeedReturn) - of(1, sim.LedgerCarriedOff)) / (of(0, sim.SeedReturn) - of(0, sim.LedgerCarriedOff))
		cost, crop := of(0, sim.Margin)-of(1, sim.Margin), (of(2, sim.YieldLoss)-of(0, sim.YieldLoss))/(1-of(0, sim.YieldLoss))
		found, many := of(1, sim.PlantsFound), of(1, sim.TooMany)
		t.Logf("%6.2f plants/m² found: %.2f of the seed comes back from roguing, at %.0f a hectare, too many in %.2f of runs; patches cost %.3f of the "+
			"crop and %.0f", found, back, cost, many, crop, of(0, sim.Margin)-of(2, sim.Margin))
		if back <= last.back || cost <= last.cost || crop <= last.crop {
			t.Errorf("from %s heads/m²: %.3f back, %.1f a hectare, %.3f of the crop, after %+v from a tenth of them", heads, back, cost, crop, last)
		}
		last.back, last.cost, last.crop = back, cost, crop
		switch {
		case i == 0 && (back > 0.34 || cost > 50 || many > 0.05):
			t.Errorf("few plants: %.2f comes back, at %.0f a hectare, too many in %.2f of runs", back, cost, many)
		case i == 3 && (back < 0.8 || many < 0.9):
			t.Errorf("many plants: %.2f comes back, too many in %.2f of runs", back, many)
		}
		if !math.IsNaN(of(2, sim.PlantsFound)) || !math.IsNaN(of(0, sim.TooMany)) {
			t.Error("plants are found where nobody pulls")
		}
	}
}
