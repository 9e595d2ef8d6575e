package study

import (
	"math"

	"rundown/sim"
)

// noFallback tells of a crop that is missed in some runs while the plan names
// nothing to grow instead, and what such a year costs.
func (f *Forecast) noFallback(i int, s *Season) *Warning {
	if s.Drilled == nil || 1-s.Drilled.Share < missedAlone || s.OwnFallback {
		return nil
	}
	return &Warning{Code: NoFallback, Season: i + 1, Of: s, X: 1 - s.Drilled.Share, Y: f.missedCosts(i, s)}
}

// missedCosts is how much less a season earned where its crop was missed, on the
// mean; NaN where there is nothing to compare or nothing lost.
func (f *Forecast) missedCosts(i int, s *Season) float64 {
	var sum, n [2]float64
	margin, branch := f.Outcome.Column(sim.Margin, i), f.Outcome.Column(sim.Branch, i)
	for k, course := range f.Outcome.Column(sim.Course, i) {
		if f.Seasons[i].Parts != nil && int(branch[k]) != s.Branch {
			continue
		}
		if x := margin[k]; !math.IsNaN(x) {
			missed := 0
			if course != 0 {
				missed = 1
			}
			sum[missed] += x
			n[missed]++
		}
	}
	if less := sum[0]/n[0] - sum[1]/n[1]; less > 0 {
		return less
	}
	return math.NaN()
}

// missedFrom tells From which date on the crop of the first season moved is missed too
// often to go without a crop to follow it: X for that date, Y for the last. What that
// costs is in the margins.
func (d *Drilling) missedFrom() *Warning {
	if d.Calendar.FallsBack(d.Season()) {
		return nil
	}
	for i, on := range d.Dates {
		if d.Missed[i] >= missedAlone {
			return &Warning{Code: NoFallback, From: on, X: d.Missed[i], Y: d.Missed[len(d.Missed)-1]}
		}
	}
	return nil
}
