package seedbank

import "rundown/sim/random"

// Emergence is what came up in a step.
type Emergence struct {
	Old, Fresh int64 // seedlings from old and from fresh seed
}

// quickLayers are those whose seed can come up: their ready seed closes with
// every step of the grid. Deeper and dormant seed closes every four weeks and
// before a cultivation; the integrals are exact, so nothing is lost by it.
const quickLayers = Depth10to15

// CloseQuick ends a step of the ready and sprouted seed of the upper layers.
// x is the exposure since the last close; keep the share of what would sprout
// that a cover keeps dormant.
func (b *Bank) CloseQuick(r *Rates, x *Exposure, keep float64, c *Chance, lost *Losses) Emergence {
	var up Emergence
	for l := Surface; l < quickLayers; l++ {
		b.closeReady(r, l, x, keep, c, lost, &up)
	}
	return up
}

// CloseSlow ends a step of the deeper layers and of all dormant seed.
func (b *Bank) CloseSlow(r *Rates, x *Exposure, keep float64, c *Chance, lost *Losses) Emergence {
	var up Emergence
	for l := quickLayers; l < Layers; l++ {
		b.closeReady(r, l, x, keep, c, lost, &up)
	}
	for l := Surface; l < Layers; l++ {
		p := Died(b.hazard(r, l, x))
		for a := range b.N[l] {
			n := b.N[l][a][Dormant]
			if n == 0 {
				continue
			}
			dead := c.Binomial(random.DrawDormantDie, l, a, Dormant, 0, n, p)
			b.N[l][a][Dormant] -= dead
			b.bury(r, l, a, Dormant, dead, c, lost)
		}
	}
	return up
}

// hazard is the summed hazard of death in a layer.
func (b *Bank) hazard(r *Rates, l int, x *Exposure) float64 {
	if l == Surface {
		return x.Surface
	}
	return r.buried * x.Days
}

// bury books dead seed: some of what dies on the surface was eaten.
func (b *Bank) bury(r *Rates, l, age, state int, dead int64, c *Chance, lost *Losses) {
	if dead == 0 {
		return
	}
	if l == Surface {
		eaten := c.Binomial(random.DrawEaten, l, age, state, 0, dead, r.P.Eaten)
		lost.Eaten += eaten
		dead -= eaten
	}
	lost.Died += dead
}

// closeReady ends a step of one layer's ready and sprouted seed.
func (b *Bank) closeReady(r *Rates, l int, x *Exposure, keep float64, c *Chance, lost *Losses, up *Emergence) {
	second := r.K * x.Warmth[l]
	hazard := b.hazard(r, l, x)
	for a := Old; a < Ages; a++ {
		pool := &b.N[l][a]
		if pool[AutumnReady]|pool[SpringReady]|pool[Sprouted] == 0 {
			continue
		}
		var through int64
		if n := pool[Sprouted]; n > 0 {
			through = c.Binomial(random.DrawSprouted, l, a, Sprouted, 0, n, SproutedThrough(second))
			pool[Sprouted] -= through
		}
		if n := pool[AutumnReady]; n > 0 {
			ripe := x.Old[l]
			if a == Fresh {
				ripe = x.Fresh[l]
			} else if a == New {
				ripe = 0
			}
			f := ReadyFates(r.rate(l, a)*ripe, hazard, x.BackAutumn, second, keep)
			through += b.leave(r, l, a, AutumnReady, f, c, lost)
		}
		if n := pool[SpringReady]; n > 0 {
			ripe := x.Spring[l]
			if a == New {
				ripe = 0
			}
			f := ReadyFates(r.rate(l, a)*ripe, hazard, x.Back, second, keep)
			through += b.leave(r, l, a, SpringReady, f, c, lost)
		}
		b.emerge(r, l, a, through, c, lost, up)
	}
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
func (b *Bank) leave(r *Rates, l, a, state int, f Fates, c *Chance, lost *Losses) int64 {
	n := c.Binomial(random.DrawLeave, l, a, state, 0, b.N[l][a][state], f.Leave)
	if n == 0 {
		return 0
	}
	b.N[l][a][state] -= n
	left := f.Leave
	dead := c.Binomial(random.DrawDie, l, a, state, 0, n, f.Die/left)
	b.bury(r, l, a, state, dead, c, lost)
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
func (b *Bank) emerge(r *Rates, l, a int, through int64, c *Chance, lost *Losses, up *Emergence) {
	if through == 0 {
		return
	}
	q := r.Q[l]
	if l == Depth0to5 && b.Placed > 0 {
		q += b.Placed * (r.P.EmergencePlaced - q)
	}
	n := c.Binomial(random.DrawEmerge, l, a, Sprouted, 0, through, q)
	lost.Emerged += n
	lost.Fatal += through - n
	if a == Old {
		up.Old += n
	} else {
		up.Fresh += n
	}
}
