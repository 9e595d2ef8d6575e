package sim

import (
	"math"

	"rundown/params"
	"rundown/sim/random"
)

// maxAttempts is how often a replicate's parameters are drawn anew before the
// last draw is kept; reaching it is rare enough to be left uncounted.
const maxAttempts = 200

// attemptTag keys the uniform that decides on an attempt.
const attemptTag = "constraint"

// DrawTheta fills theta for a luck index: one uniform per parameter path and
// attempt, so that a plan with one crop more does not move the others. The
// product of the weed's parameters is known better than its factors: a draw is
// accepted in proportion to how well the low-density cycle returns seed, and
// how large a share of plants comes from old seed.
func (w *Worker) DrawTheta(seed uint64, luck uint32, theta []float64) {
	space := w.m.calendar.Space
	root := random.Root(seed, random.Parameters, luck)
	for try := uint64(0); ; try++ {
		for i, v := range space.Values {
			if try == 0 || w.m.weedValue[i] {
				at := uint64(0)
				if w.m.weedValue[i] {
					at = try
				}
				theta[i] = w.m.quantile(i, v, root.With(w.m.paths[i]).Uniform(at))
			}
		}
		if try+1 == maxAttempts {
			return
		}
		u := root.WithText(attemptTag).Uniform(try)
		if math.Log(u) < w.LogWeight(theta) {
			return
		}
	}
}

// LogWeight is the log of the acceptance of a draw, at most 0: what the cycle
// it gives weighs against what is known of the cycle.
func (w *Worker) LogWeight(theta []float64) float64 {
	w.setTheta(theta)
	returned, old := w.Cycle()
	p := &w.u.weed.Seed
	x := math.Log(returned/p.ReturnTarget) / p.ReturnTargetSD
	y := (old - p.OldShareTarget) / p.OldShareSD
	return -(x*x + y*y) / 2
}

// Cycle runs the reference year with the parameters that are set and returns
// the seed returned per seed shed at a steady rain, and the old share of plants.
func (w *Worker) Cycle() (returned, oldShare float64) {
	w.cycle.run(w.m.reference, &w.m.reference.usual, &w.u.weed, &w.rates)
	return w.cycle.yearly()
}

// Project moves a draw onto what is known of the cycle, for analyses that need
// inputs which do not depend on each other: the share of old seed that is ready
// is set so that the old share of plants departs zOld standard deviations from
// its target, then heads per plant so that the seed returned departs zReturn
// (on the log scale) from its own. Both values must be in theta. ok is false
// when no share of old seed reaches the old share asked for; the nearest is kept.
func (w *Worker) Project(theta []float64, zReturn, zOld float64) (ok bool) {
	space, weed := w.m.calendar.Space, w.m.calendar.Weed
	ready := space.Index("weeds/" + weed.Name + "/old_ready_share")
	heads := space.Index("weeds/" + weed.Name + "/heads_per_plant")
	if ready < 0 || heads < 0 {
		return false
	}
	p := &w.u.weed.Seed
	w.setTheta(theta)
	want := p.OldShareTarget + zOld*p.OldShareSD
	lo, hi := 0.005, 0.995
	for range 20 {
		theta[ready] = (lo + hi) / 2
		w.setTheta(theta)
		if _, old := w.Cycle(); old < want {
			lo = theta[ready]
		} else {
			hi = theta[ready]
		}
	}
	ok = lo > 0.005 && hi < 0.995
	returned, _ := w.Cycle()
	theta[heads] *= p.ReturnTarget * math.Exp(zReturn*p.ReturnTargetSD) / returned
	return ok
}

// quantile is a value's quantile: by table where that is slow to compute, but
// for the outermost parts, where tables are poor.
func (m *Model) quantile(i int, v *params.Value, u float64) float64 {
	if q := m.tabled[i]; q != nil && u > 1.0/256 && u < 1-1.0/256 {
		return q.at(u)
	}
	return v.Quantile(u)
}
