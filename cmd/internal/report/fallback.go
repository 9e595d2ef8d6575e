package report

import (
	"fmt"
	"math"

	"rundown/sim"
)

// missedWithoutFallback is the share of runs from which on a crop that is missed
// and has none to follow it is worth a note (assumed).
const missedWithoutFallback = 0.05

// noFallback tells of a crop that is missed in some runs while the plan names
// nothing to grow instead, and what such a year costs.
func noFallback(r Run, i int, s season) *Warning {
	if s.drilled == nil || 1-s.drilled.share < missedWithoutFallback || r.Calendar.FallsBack(i) {
		return nil
	}
	share, crop := Of100(1-s.drilled.share), spoken(s.crop)
	cost := ""
	if less, ok := missedCosts(r, i); ok {
		cost = fmt.Sprintf("; on the mean such a year earned %s %s/ha less", forms[sim.Margin].Value(less), r.Calendar.Currency)
	}
	return &Warning{Code: "no-fallback", Season: i + 1,
		Text: fmt.Sprintf("The %s planned for harvest %d could not be drilled by %s in %s of 100 runs, and the plan names nothing to grow instead, so the field lay fallow%s. Write a crop after otherwise:, or otherwise: fallow if that is meant.",
			crop, s.HarvestYear, dayOfYear(s.Courses[0].Drill.Latest), share, cost),
		Lead:   "The plan names nothing to grow instead (otherwise:) of crops that could not be drilled in time, in how many of 100 runs:",
		Detail: fmt.Sprintf("%d %s %s%s", s.HarvestYear, crop, share, cost)}
}

// missedCosts is how much less a season earned where its crop was missed, on the
// mean; not ok where there is nothing to compare or nothing lost.
func missedCosts(r Run, i int) (less float64, ok bool) {
	var sum, n [2]float64
	margin := r.Outcome.Column(sim.Margin, i)
	for k, course := range r.Outcome.Column(sim.Course, i) {
		if x := margin[k]; !math.IsNaN(x) {
			missed := 0
			if course != 0 {
				missed = 1
			}
			sum[missed] += x
			n[missed]++
		}
	}
	less = sum[0]/n[0] - sum[1]/n[1]
	return less, less > 0 // false for NaN
}

// noFallback tells from which date on the crop is missed too often to go without
// a crop to follow it; what that costs is in the margins.
func (s *sweep) noFallback() *Warning {
	if s.Calendar.FallsBack(s.Season) {
		return nil
	}
	for i, d := range s.Dates {
		if s.missed(i) >= missedWithoutFallback {
			last := len(s.Dates) - 1
			return &Warning{Code: "no-fallback", Text: fmt.Sprintf("The plan names nothing to grow where %s cannot be drilled in time: planned for %s that is %s of 100 runs, for %s %s, and the field lies fallow. With a crop after otherwise: waiting costs less.",
				s.crop, dayOfYear(d), Of100(s.missed(i)), dayOfYear(s.Dates[last]), Of100(s.missed(last)))}
		}
	}
	return nil
}
