package decide

import (
	"math"

	"rundown/sim"
	"rundown/sim/ensemble"
)

// WeedFree is the yield that a season's planned crop would have had without the
// weed, t/ha by replicate: yield/(1 − loss). NaN where it was not grown.
func WeedFree(o *ensemble.Outcome, season int) []float64 {
	yield, loss := o.Column(sim.Yield, season), o.Column(sim.YieldLoss, season)
	out := make([]float64, len(yield))
	for k := range yield {
		out[k] = yield[k] / (1 - loss[k])
		if math.IsInf(out[k], 0) {
			out[k] = math.NaN()
		}
	}
	return out
}

// DateLosses is the share of the weed-free yield that each of several drilling
// dates of a season costs, by date and replicate, against the best of the dates
// in that replicate. NaN where the planned crop was not grown.
func DateLosses(outcomes []*ensemble.Outcome, season int) [][]float64 {
	out := make([][]float64, len(outcomes))
	for i, o := range outcomes {
		out[i] = WeedFree(o, season)
	}
	for k := range out[0] {
		best := 0.0
		for i := range out {
			if out[i][k] > best { // false for NaN
				best = out[i][k]
			}
		}
		for i := range out {
			out[i][k] = 1 - out[i][k]/best // NaN stays NaN
		}
	}
	return out
}

// Missed is the share of replicates in which a season's planned crop was not
// grown because it could not be drilled in time.
func Missed(o *ensemble.Outcome, season int) float64 {
	return MissedOf(o, season, o.Model.Calendar().Seasons[season].Courses[0].Crop.Name)
}

// MissedOf is Missed of the runs that were to grow a crop: in a season that is chosen on the
// way those of every branch that grows it.
func MissedOf(o *ensemble.Outcome, season int, crop string) float64 {
	c := o.Model.Calendar()
	grows := make([]bool, c.Branches(season))
	for b := range grows {
		s := c.Taken(season, b)
		grows[b] = s != nil && s.Courses[0].Crop.Name == crop
	}
	n, all := 0, 0
	branch := o.Column(sim.Branch, season)
	for k, c := range o.Column(sim.Course, season) {
		if !grows[int(branch[k])] {
			continue // it was not chosen
		}
		if all++; c > 0 {
			n++
		}
	}
	return float64(n) / float64(max(1, all))
}
