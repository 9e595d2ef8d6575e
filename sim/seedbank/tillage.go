package seedbank

import "rundown/sim/random"

// Pass is what one pass of an implement does to seed.
type Pass struct {
	Move         *[Layers][Layers]float64 // share moved, from the first index to the second; each row sums to 1
	KillSprouted float64
	Stirs        [Layers]float64 // share of each layer that the pass stirs
	Stimulus     float64         // factor on the stimulus for the moisture of the day
	Places       bool            // a low-disturbance drill: seed put into 0–5 cm comes up better
}

// Till applies a pass: sprouted seed killed, seed moved, then readiness
// released in the layers as they now are. class is the ordinal of the pass that day.
func (b *Bank) Till(r *Rates, p *Pass, class uint8, c *Chance, lost *Losses) {
	for l := range b.N {
		if p.Stirs[l] <= 0 {
			continue
		}
		for a := range b.N[l] {
			n := b.N[l][a][Sprouted]
			dead := c.Binomial(random.DrawTillSprouted, l, a, Sprouted, class, n, p.KillSprouted*p.Stirs[l])
			b.N[l][a][Sprouted] -= dead
			lost.Died += dead
		}
	}
	b.move(p, class, c)
	b.release(r, p, class, c)
}

// move sends each pool's seed where the pass takes it, all pools at once.
func (b *Bank) move(p *Pass, class uint8, c *Chance) {
	from := b.N
	placed := from[Surface]
	for l := range b.N {
		row := &p.Move[l]
		if row[l] >= 1 {
			continue
		}
		for a := range from[l] {
			for s, n := range from[l][a] {
				if n == 0 {
					continue
				}
				left := 1.0
				for to := 0; to < Layers && n > 0; to++ {
					q := row[to]
					if q <= 0 {
						continue
					}
					moved := n
					if q < left-1e-12 {
						at := random.At(c.Day, random.DrawMove, uint8(l), uint8(a), uint8(s), class, c.Zone+uint8(to)<<4)
						moved = random.Binomial(c.Key.Uniform(at), n, q/left)
					}
					left -= q
					n -= moved
					b.N[l][a][s] -= moved
					b.N[to][a][s] += moved
				}
			}
		}
	}
	if p.Stirs[Depth0to5] > 0 {
		b.Placed *= 1 - p.Stirs[Depth0to5]
	}
	if !p.Places {
		return
	}
	var in int64
	for a := range placed {
		for s := range placed[a] {
			in += placed[a][s] - b.N[Surface][a][s]
		}
	}
	if all := b.Layer(Depth0to5); all > 0 && in > 0 {
		b.Placed = min(1, b.Placed+float64(in)/float64(all))
	}
}

// release turns dormant seed ready: old seed the first time in a seedbank year
// that its layer is stirred, whatever layer it came from, and a little of all
// dormant seed with every pass.
func (b *Bank) release(r *Rates, p *Pass, class uint8, c *Chance) {
	for l, f := range p.Stirs {
		if f <= 0 {
			continue
		}
		first := f * (1 - b.Stirred[l]) * r.stir[l]
		b.Stirred[l] += f * (1 - b.Stirred[l])
		old := 1 - (1-first)*(1-min(1, f*r.P.StimulusOld*p.Stimulus))
		b.wake(r, l, Old, old, class, c)
		fresh := min(1, f*r.P.StimulusFresh*p.Stimulus)
		b.wake(r, l, Fresh, fresh, class, c)
		b.wake(r, l, New, fresh, class, c)
	}
}

// wake turns a share of a layer's dormant seed of one age ready.
func (b *Bank) wake(r *Rates, l, a int, share float64, class uint8, c *Chance) {
	pool := &b.N[l][a]
	n := c.Binomial(random.DrawRelease, l, a, 0, class, pool[Dormant], share)
	if n == 0 {
		return
	}
	autumn := c.Binomial(random.DrawRelease, l, a, 1, class, n, r.P.AutumnShare)
	pool[Dormant] -= n
	pool[AutumnReady] += autumn
	pool[SpringReady] += n - autumn
}
