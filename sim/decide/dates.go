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
	n, all := 0, 0
	branch, planned := o.Column(sim.Branch, season), float64(o.Model.Calendar().Path(season))
	for k, c := range o.Column(sim.Course, season) {
		if branch[k] != planned {
			continue // it was not chosen
		}
		if all++; c > 0 {
			n++
		}
	}
	return float64(n) / float64(max(1, all))
}
