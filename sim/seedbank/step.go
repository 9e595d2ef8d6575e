package seedbank

import "rundown/sim/random"

// Emergence is what came up in a step.
type Emergence struct {
	N     int64
	Fresh float64 // share of it from fresh seed, as expected from the seed that was through
}

// Step is a step of time that is to be closed: what seed met in it, and what
// steers its fates.
type Step struct {
	*Rates
	Since *Exposure // exposure since the last close
	Keep  float64   // share of what would sprout that a cover keeps dormant
	Quick Quick     // which classes of ready seed are on the quick clock
}

// Quick tells which classes of ready seed are on the quick clock.
type Quick struct{ Autumn, Spring bool }

// Any tells whether anything is; sprouted seed of the upper layers then is too.
func (q Quick) Any() bool { return q.Autumn || q.Spring }

// QuickOn is what is on the quick clock on a day of the seedbank year. A class
// may change clocks only when both have just been closed.
func (r *Rates) QuickOn(day int) Quick {
	return Quick{r.OldRipe[day] > hardlyRipe, r.Spring[day] > hardlyRipe}
}

// Two clocks close the pools. Ready and sprouted seed of the upper layers, from
// which much of it comes up, closes with every step of the grid. Deeper seed,
// dormant seed and ready seed that has hardly begun to ripen closes every four
// weeks and before a cultivation. The integrals are exact over any step, so nothing but
// the day of a few first seedlings hangs on it.
const (
	hardlyRipe   = 0.05
	hardlyComeUp = 0.1 // layers from which less of the sprouted seed comes up are slow
)

// upper is the number of layers on the quick clock.
func (r *Rates) upper() int {
	n := Depth5to10
	for l := Depth5to10; l < Layers; l++ {
		if r.Q[l] >= hardlyComeUp {
			n = l + 1
		}
	}
	return n
}

// CloseQuick ends a step of the quick clock.
func (b *Bank) CloseQuick(s *Step, c *Chance, lost *Losses) Emergence {
	var t tally
	if !s.Quick.Any() {
		return Emergence{}
	}
	for l, n := Surface, s.upper(); l < n; l++ {
		b.closeLayer(s, l, s.Quick, true, c, lost, &t)
	}
	b.eat(&t, s.P.Eaten, 0, c, lost)
	return t.emergence()
}

// CloseSlow ends a step of the slow clock. The quick clock must have been
// closed on the same day, so that what sprouts now starts with the next step.
func (b *Bank) CloseSlow(s *Step, c *Chance, lost *Losses) Emergence {
	var t tally
	slow, upper := Quick{!s.Quick.Autumn, !s.Quick.Spring}, s.upper()
	for l := Surface; l < Layers; l++ {
		if l >= upper {
			b.closeLayer(s, l, Quick{true, true}, true, c, lost, &t)
		} else if slow.Any() {
			b.closeLayer(s, l, slow, !s.Quick.Any(), c, lost, &t)
		}
		p := Died(b.hazard(s, l))
		for a := range b.N[l] {
			dead := c.Binomial(random.DrawDormantDie, l, a, Dormant, 0, b.N[l][a][Dormant], p)
			b.N[l][a][Dormant] -= dead
			t.die(l, dead, lost)
		}
	}
	b.eat(&t, s.P.Eaten, 1, c, lost)
	return t.emergence()
}

// tally gathers a step's seedlings and its dead of the surface.
type tally struct {
	up, fresh     float64
	emerged, dead int64
}

func (t *tally) emergence() Emergence {
	e := Emergence{N: t.emerged}
	if t.up > 0 {
		e.Fresh = t.fresh / t.up
	}
	return e
}

func (t *tally) die(l int, dead int64, lost *Losses) {
	if l == Surface {
		t.dead += dead
		return
	}
	lost.Died += dead
}

// eat books the dead of the surface, some of which were eaten.
func (b *Bank) eat(t *tally, share float64, class uint8, c *Chance, lost *Losses) {
	eaten := c.Binomial(random.DrawEaten, Surface, 0, 0, class, t.dead, share)
	lost.Eaten += eaten
	lost.Died += t.dead - eaten
}

// hazard is the summed hazard of death in a layer.
func (b *Bank) hazard(s *Step, l int) float64 {
	if l == Surface {
		return s.Since.Surface
	}
	return s.buried * s.Since.Days
}

// closeLayer ends a step of one layer's ready seed of the classes asked for,
// and of its sprouted seed if asked for.
func (b *Bank) closeLayer(s *Step, l int, class Quick, sprouted bool, c *Chance, lost *Losses, t *tally) {
	x := s.Since
	second := s.K * x.Warmth[l]
	left := Decay(second)
	hazard := b.hazard(s, l)
	var old, young int64 // through
	for a := Old; a < Ages; a++ {
		pool := &b.N[l][a]
		var through int64
		if sprouted && pool[Sprouted] > 0 {
			through = c.Binomial(random.DrawSprouted, l, a, Sprouted, 0, pool[Sprouted], 1-left)
			pool[Sprouted] -= through
		}
		if class.Autumn && pool[AutumnReady] > 0 {
			ripe := x.Old[l]
			if a == Fresh {
				ripe = x.Fresh[l]
			} else if a == New {
				ripe = 0
			}
			f := ReadyFates(s.rate(l, a)*ripe, hazard, x.BackAutumn, second, left, s.Keep)
			through += b.leave(l, a, AutumnReady, &f, c, lost, t)
		}
		if class.Spring && pool[SpringReady] > 0 {
			ripe := x.Spring[l]
			if a == New {
				ripe = 0
			}
			f := ReadyFates(s.rate(l, a)*ripe, hazard, x.Back, second, left, s.Keep)
			through += b.leave(l, a, SpringReady, &f, c, lost, t)
		}
		if a == Old {
			old = through
		} else {
			young += through
		}
	}
	b.emerge(s, l, old, young, c, lost, t)
}

// rate is the rate of the first stage: g slows fresh seed, while of old seed g
// set the share that was dealt ready.
func (r *Rates) rate(l, age int) float64 {
	if age == Old {
		return r.K
	}
	return r.K * r.G[l]
}

// leave draws the fates of one ready pool and returns the seed already through.
func (b *Bank) leave(l, a, state int, f *Fates, c *Chance, lost *Losses, t *tally) int64 {
	n := c.Binomial(random.DrawLeave, l, a, state, 0, b.N[l][a][state], f.Leave)
	if n == 0 {
		return 0
	}
	b.N[l][a][state] -= n
	left := f.Leave
	dead := c.Binomial(random.DrawDie, l, a, state, 0, n, f.Die/left)
	t.die(l, dead, lost)
	n, left = n-dead, left-f.Die
	if n == 0 {
		return 0
	}
	sleep := c.Binomial(random.DrawSleep, l, a, state, 0, n, f.Sleep/left)
	b.N[l][a][Dormant] += sleep
	n, left = n-sleep, left-f.Sleep
	if n == 0 {
		return 0
	}
	if f.Sprout <= 0 {
		return n
	}
	through := c.Binomial(random.DrawThrough, l, a, state, 0, n, f.Through/left)
	b.N[l][a][Sprouted] += n - through
	return through
}

// emerge draws how much of the seed that is through reaches the light.
func (b *Bank) emerge(s *Step, l int, old, young int64, c *Chance, lost *Losses, t *tally) {
	through := old + young
	if through == 0 {
		return
	}
	q := s.Q[l]
	if l == Depth0to5 && b.Placed > 0 {
		q += b.Placed * (s.P.EmergencePlaced - q)
	}
	n := c.Binomial(random.DrawEmerge, l, 0, Sprouted, 0, through, q)
	lost.Emerged += n
	lost.Fatal += through - n
	t.emerged += n
	t.up += float64(n)
	t.fresh += float64(n) * float64(young) / float64(through)
}
