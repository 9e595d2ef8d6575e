package update

import (
	"context"
	"math"

	"rundown/sim"
	"rundown/sim/random"
)

// particle is one history of the field.
type particle struct {
	z    []float64   // standard normal deviates of the uncertain values, in order
	luck sim.Streams // what made its past
	from int         // index of the particle of the prior that it descends from

	// Filled by a run.
	known   float64   // log weight of what is known of the values together, at most 0
	fit     []float64 // log likelihood of the counts, by date
	seen    []float64 // what was watched, by count
	strayed bool      // from the plan, by the last count
}

// Tuning. A date is let in as far as the effective sample size stays above
// leastESS of the particles; below enoughESS they are drawn anew and moved.
const (
	leastESS  = 0.25
	enoughESS = 0.5
	firstStep = 0.35 // of a move of the values, in standard deviations
	wished    = 0.25 // share of moves accepted, to which the step is led
)

// sampler lets counts in date by date.
type sampler struct {
	key    random.Key
	run    func(ctx context.Context, p []particle) error // fills known, fit and seen
	sweeps int                                           // moves of every particle after each drawing
	fresh  uint32                                        // next luck index not used yet
	step   float64
	tag    uint64 // of the next addresses

	particles []particle
	logW      []float64
	told      func(done float64) // how far the counts are let in, 0..1; may be nil
}

// Step is one letting-in of counts.
type Step struct {
	Date      int     // index of the date
	Let       float64 // share of the date's likelihood let in so far, 0..1
	Effective float64 // effective sample size before drawing anew
	Drawn     bool    // the particles were drawn anew and moved
	Values    float64 // share of moves of values accepted; NaN when none was tried
	Luck      float64 // the same of moves of luck
}

// letIn weighs the particles by the counts of some dates, one after the other.
// before is called with every date's index before it is let in.
func (s *sampler) letIn(ctx context.Context, dates int, before func(date int)) ([]Step, error) {
	var steps []Step
	for d := range dates {
		before(d)
		for let := 0.0; let < 1; {
			to := s.reach(d, let)
			for i := range s.particles {
				s.logW[i] += (to - let) * s.particles[i].fit[d]
			}
			let = to
			x := Step{Date: d, Let: let, Effective: effective(s.logW), Values: math.NaN(), Luck: math.NaN()}
			if let < 1 || x.Effective < enoughESS*float64(len(s.particles)) {
				x.Drawn = true
				s.drawAnew()
				var err error
				if x.Values, x.Luck, err = s.move(ctx, d, let); err != nil {
					return nil, err
				}
			}
			steps = append(steps, x)
			if s.told != nil {
				s.told((float64(d) + let) / float64(dates))
			}
		}
	}
	return steps, nil
}

// reach is how far a date can be let in beyond a share of its likelihood.
func (s *sampler) reach(d int, let float64) float64 {
	trial := make([]float64, len(s.logW))
	at := func(to float64) float64 {
		for i := range trial {
			trial[i] = s.logW[i] + (to-let)*s.particles[i].fit[d]
		}
		return effective(trial)
	}
	least := math.Min(leastESS*float64(len(s.particles)), 0.9*effective(s.logW))
	if at(1) >= least {
		return 1
	}
	lo, hi := let, 1.0
	for range 40 {
		if mid := (lo + hi) / 2; at(mid) >= least {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Max(lo, math.Nextafter(let, 2)) // never stands still
}

// effective is the effective sample size of log weights: (Σw)²/Σw² (Kong, Liu &
// Wong 1994, J. Am. Stat. Assoc. 89:278–288).
func effective(logW []float64) float64 {
	var sum, squares float64
	for _, w := range weights(logW) {
		sum += w
		squares += w * w
	}
	return sum * sum / squares
}

// weights are log weights made into shares.
func weights(logW []float64) []float64 {
	top := math.Inf(-1)
	for _, l := range logW {
		top = math.Max(top, l)
	}
	w := make([]float64, len(logW))
	sum := 0.0
	for i, l := range logW {
		w[i] = math.Exp(l - top)
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// drawAnew replaces the particles by draws from them in proportion to weight.
func (s *sampler) drawAnew() {
	s.tag++
	from := systematic(weights(s.logW), len(s.particles), s.key.With(s.tag).Uniform(0))
	old := s.particles
	s.particles = make([]particle, len(from))
	for i, k := range from {
		s.particles[i] = old[k] // moves replace slices, they never write into them
		s.logW[i] = 0
	}
}

// systematic draws n indices in proportion to weights, evenly spaced from u
// (Kitagawa 1996, J. Comput. Graph. Stat. 5:1–25).
func systematic(w []float64, n int, u float64) []int {
	out := make([]int, n)
	sum, k := w[0], 0
	for i := range out {
		at := (float64(i) + u) / float64(n)
		for sum < at && k < len(w)-1 {
			k++
			sum += w[k]
		}
		out[i] = k
	}
	return out
}

// target is the log density that moves leave as it is, over the normal prior of
// z and the prior of luck.
func (p *particle) target(d int, let float64) float64 {
	l := p.known + let*p.fit[d]
	for _, x := range p.fit[:d] {
		l += x
	}
	return l
}

// move gives every particle chances to change: its values, to draws near the
// kept ones, and its luck, one kind at a time, to one not used yet. It tells how
// many were taken.
func (s *sampler) move(ctx context.Context, d int, let float64) (values, luck float64, err error) {
	var tried, taken [2]float64
	for sweep := range s.sweeps {
		what := sweep % 2
		s.tag++
		n, err := s.sweep(ctx, d, let, what == 1)
		if err != nil {
			return 0, 0, err
		}
		share := float64(n) / float64(len(s.particles))
		tried[what]++
		taken[what] += share
		if what == 0 {
			s.step = math.Min(1, math.Max(0.02, s.step*math.Exp(1.5*(share-wished))))
		}
	}
	return taken[0] / tried[0], taken[1] / tried[1], nil
}

// sweep proposes one move to every particle and counts those taken. A value's
// proposal is z′ = √(1−β²) z + β ξ, which leaves the normal prior as it is
// whatever the number of values (preconditioned Crank–Nicolson: Cotter, Roberts,
// Stuart & White 2013, Stat. Sci. 28:424–446); a luck's is a draw of its prior.
func (s *sampler) sweep(ctx context.Context, d int, let float64, luck bool) (int, error) {
	key := s.key.With(s.tag)
	proposals := make([]particle, len(s.particles))
	keep := math.Sqrt(1 - s.step*s.step)
	for i := range proposals {
		own, p := key.With(uint64(i)), s.particles[i]
		p.fit, p.seen = nil, nil
		if luck {
			p.luck[min(int(own.Uniform(1)*random.Kinds), random.Kinds-1)] = s.fresh
			s.fresh++
		} else {
			z := make([]float64, len(p.z))
			for k := range z {
				z[k] = keep*p.z[k] + s.step*random.Normal(own.Uniform(uint64(2+k)))
			}
			p.z = z
		}
		proposals[i] = p
	}
	if err := s.run(ctx, proposals); err != nil {
		return 0, err
	}
	taken := 0
	for i := range proposals {
		ratio := proposals[i].target(d, let) - s.particles[i].target(d, let)
		if math.Log(key.With(uint64(i)).Uniform(0)) < ratio {
			s.particles[i] = proposals[i]
			taken++
		}
	}
	return taken, nil
}
