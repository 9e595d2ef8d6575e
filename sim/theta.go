package sim

import (
	"fmt"
	"math"

	"rundown/params"
	"rundown/sim/random"
)

// maxAttempts is how often a replicate's parameters are drawn anew before the
// last draw is kept. With the weeds of the library that is not reached; with a
// user's own values it may be, and is counted (Worker.Unmet).
const maxAttempts = 200

// attemptTag keys the uniform that decides on an attempt.
const attemptTag = "constraint"

// DrawTheta fills theta for a luck index: one uniform per parameter path and
// attempt, so that a plan with one crop more does not move the others. The
// product of the weed's parameters is known better than its factors: a draw is
// accepted in proportion to how well the low-density cycle returns seed, and
// how large a share of plants comes from old seed.
func (w *Worker) DrawTheta(seed uint64, luck uint32, theta []float64) {
	w.DrawUniforms(seed, luck, theta, nil)
}

// DrawUniforms draws as DrawTheta does and keeps the uniform behind every value,
// unless u is nil.
//
// The cycle returns seed in proportion to heads per plant. So an attempt is weighed without
// them, over all that they may be, and they are drawn last, from what the target then leaves of their own
// spread: the same law, and a third fewer attempts than by weighing them with the rest.
func (w *Worker) DrawUniforms(seed uint64, luck uint32, theta, u []float64) {
	space, last := w.m.calendar.Space, w.m.proportional
	root := random.Root(seed, random.Parameters, luck)
	field := root.Field(w.m.fieldName)
	for try := uint64(0); ; try++ {
		var left float64
		for i := range space.Values {
			if try == 0 || w.m.weedValue[i] {
				at := uint64(0)
				if w.m.weedValue[i] {
					at = try
				}
				key := root
				if w.m.fieldValue[i] {
					key = field
				}
				x := key.With(w.m.paths[i]).Uniform(at)
				if i == last {
					left, theta[i] = x, math.Exp(w.m.drawn[i].a)
					continue
				}
				theta[i] = w.m.drawn[i].at(x)
				if u != nil {
					u[i] = x
				}
			}
		}
		over, old := w.off(theta)
		sd := w.u.weed.Seed.ReturnTargetSD
		if last >= 0 {
			over *= sd / math.Hypot(sd, w.m.drawn[last].b)
		}
		fits := math.Log(root.WithText(attemptTag).Uniform(try)) < -(over*over+old*old)/2
		if !fits && try+1 < maxAttempts {
			continue
		}
		if !fits {
			w.Unmet++
		}
		if last >= 0 {
			x := w.m.drawn[last].given(over, sd, &theta[last], left)
			if u != nil {
				u[last] = x
			}
		}
		return
	}
}

// given draws a lognormal value to which something is in proportion whose log is known with a
// standard deviation of sd: over is how far that lies over what is known at the value's median, in
// standard deviations of both together. It returns the uniform of the value's own spread.
func (d *drawn) given(over, sd float64, to *float64, u float64) float64 {
	both := math.Hypot(sd, d.b)
	z := (random.Normal(u)*sd - over*d.b) / both // in standard deviations of its own spread
	*to = min(max(math.Exp(d.a+d.b*z), d.v.Low), d.v.High)
	return math.Erfc(-z/math.Sqrt2) / 2
}

// findProportional finds the place of the weed's heads per plant among the uncertain values, −1
// where it is none of them or its limits cut its spread.
func (m *Model) findProportional() {
	m.proportional = -1
	const far = 6 // standard deviations, beyond which one draw in a thousand million lies
	i := m.calendar.Space.Index("weeds/" + m.calendar.Weed.Name + "/heads_per_plant")
	if i < 0 {
		return
	}
	if d := &m.drawn[i]; d.kind == params.Lognormal && math.Log(d.v.Low) < d.a-far*d.b && math.Log(d.v.High) > d.a+far*d.b {
		m.proportional = i
	}
}

// unfit is an error that names a value which cannot be meant: one that is no
// number, or a share that is none.
func (w *Worker) unfit(theta []float64) error {
	for i, v := range w.m.calendar.Space.Values {
		x := theta[i]
		if share := v.Low >= 0 && v.High == 1; math.IsNaN(x) || math.IsInf(x, 0) || share && !(x >= 0 && x <= 1) {
			return fmt.Errorf("%s was drawn as %v: this is a bug, please report the plan with its seed", v.Path, x)
		}
	}
	return nil
}

// Quantile is the value of the space at a quantile u of its own spread, for
// those who move a drawn vector: u is what DrawUniforms keeps.
func (w *Worker) Quantile(value int, u float64) float64 {
	return w.m.drawn[value].at(u)
}

// LogWeight is the log of the acceptance of a draw, at most 0: what the cycle
// it gives weighs against what is known of the cycle.
func (w *Worker) LogWeight(theta []float64) float64 {
	over, old := w.off(theta)
	return -(over*over + old*old) / 2
}

// off is how far the cycle of a draw is off what is known of it, in standard deviations: the log
// of the seed returned, and the old share of plants.
func (w *Worker) off(theta []float64) (returned, old float64) {
	w.setWeed(theta)
	returned, old = w.Cycle()
	p := &w.u.weed.Seed
	return math.Log(returned/p.ReturnTarget) / p.ReturnTargetSD, (old - p.OldShareTarget) / p.OldShareSD
}

// Cycle runs the reference year of the known place with the parameters that are set and
// returns the seed returned per seed shed at a steady rain, and the old share of plants.
func (w *Worker) Cycle() (returned, oldShare float64) {
	if w.cycled == nil || !w.cycledSo() {
		w.cycle.run(w.m.known, &w.m.known.usual, &w.u.weed, &w.rates)
		if w.cycled == nil {
			w.cycled = make([]float64, len(w.theta))
		}
		copy(w.cycled, w.theta)
	}
	w.cycle.heads = w.u.weed.Plant.HeadsPerPlant
	return w.cycle.yearly()
}

// cycledSo tells whether the cycle was last run with the values that are set, but for heads
// per plant, by which what it returns is only multiplied.
func (w *Worker) cycledSo() bool {
	for i, x := range w.theta {
		if x != w.cycled[i] && i != w.m.proportional {
			return false
		}
	}
	return true
}

// Draws from which the weed's own spreads are known, and their addresses: tries that no
// replicate comes to.
const (
	ownDraws    = 512
	firstOwnTry = 1 << 20
)

// KnownReturn is what is known of the seed returned a year once both are weighed, the weed's own
// spreads and the target: middle, seeds per seed, and standard deviation of its log. It is what
// accepted draws have: the log of the product is nearly normal (a sum of many), so that its precision is
// the sum of the two.
func (w *Worker) KnownReturn() (middle, sd float64) {
	theta, root := w.m.calendar.Space.Central(), random.Root(0, random.Parameters, 0)
	var sum, squares float64
	for try := range uint64(ownDraws) {
		for i := range theta {
			if w.m.weedValue[i] {
				theta[i] = w.m.drawn[i].at(root.With(w.m.paths[i]).Uniform(firstOwnTry + try))
			}
		}
		w.setWeed(theta)
		returned, _ := w.Cycle()
		x := math.Log(returned)
		sum, squares = sum+x, squares+x*x
	}
	p := &w.u.weed.Seed
	own := sum / ownDraws
	target := 1 / (p.ReturnTargetSD * p.ReturnTargetSD)
	if spread := squares/ownDraws - own*own; spread > 0 {
		both := target + 1/spread
		return math.Exp((target*math.Log(p.ReturnTarget) + own/spread) / both), 1 / math.Sqrt(both)
	}
	return math.Exp(own), 0
}

// Project moves a vector of independent draws onto what is known of the cycle,
// for analyses that need inputs which do not depend on each other. The share of
// old seed that is ready takes the quantile Φ(zOld) of what its own spread and
// the known old share of plants leave of it, given the rest of theta; then heads
// per plant is set so that one seed returns so many. A value that theta does not
// hold is left alone.
//
// The old share of plants hangs weakly on the share of old seed that is ready,
// so it cannot be set outright: half of all draws have no share that reaches it.
func (w *Worker) Project(theta []float64, returns, zOld float64) {
	space, weed := w.m.calendar.Space, w.m.calendar.Weed
	if i := space.Index("weeds/" + weed.Name + "/old_ready_share"); i >= 0 {
		theta[i] = w.oldReady(theta, i, math.Erfc(-zOld/math.Sqrt2)/2)
	}
	if i := space.Index("weeds/" + weed.Name + "/heads_per_plant"); i >= 0 {
		w.setTheta(theta)
		returned, _ := w.Cycle()
		v := space.Values[i]
		theta[i] = min(max(theta[i]*returns/returned, v.Low), v.High)
	}
}

// oldCells is into how many cells, alike in its own spread, the share of old
// seed that is ready is cut where it is weighed by the old share of plants.
const oldCells = 8

// oldReady is the quantile u of the share of old seed that is ready, weighed by
// how near the old share of plants comes to what is known of it.
func (w *Worker) oldReady(theta []float64, i int, u float64) float64 {
	v, p := w.m.calendar.Space.Values[i], &w.u.weed.Seed
	var far [oldCells]float64
	nearest := math.Inf(1)
	for k := range far {
		theta[i] = v.Quantile((float64(k) + 0.5) / oldCells)
		w.setTheta(theta)
		_, old := w.Cycle()
		y := (old - p.OldShareTarget) / p.OldShareSD
		far[k] = y * y / 2
		nearest = min(nearest, far[k])
	}
	var weight [oldCells]float64
	total := 0.0
	for k := range far {
		weight[k] = math.Exp(nearest - far[k])
		total += weight[k]
	}
	left := u * total
	for k, x := range weight {
		if left < x || k == oldCells-1 {
			return v.Quantile((float64(k) + min(left/x, 1)) / oldCells)
		}
		left -= x
	}
	return v.Central // not reached: the last cell returns
}
