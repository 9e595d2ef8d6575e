package seedbank

// Pass is what one pass of an implement does to seed.
type Pass struct {
	Move         *[Layers][Layers]float64 // share moved, from the first index to the second; each row sums to 1
	KillSprouted float64
	Stirs        [Layers]float64 // share of each layer that the pass stirs
	Stimulus     float64         // factor on the stimulus for the moisture of the day
	Places       bool            // a low-disturbance drill: seed put into 0–5 cm comes up better
	Tilled       Tilled          // what was stirred before it
}

// Tilled is the share of each layer that implements have stirred since 1 July.
type Tilled [Layers]float64

// Stir books a pass that stirs a share of each layer.
func (t *Tilled) Stir(share *[Layers]float64) {
	for l, f := range share {
		if f > 0 {
			t[l] += f * (1 - t[l])
		}
	}
}

// Till applies a pass: sprouted seed killed, seed moved, then readiness
// released in the layers as they now are. Steps must be closed.
func (b *Bank) Till(r *Rates, p *Pass) {
	var in float64 // seed put from the surface into the soil
	for i := range b.Lots {
		k := &b.Lots[i]
		if k.N == 0 {
			continue
		}
		for l, f := range p.Stirs {
			if q := &k.At[l]; f > 0 && q[Sprouted] > 0 {
				dead := q[Sprouted] * p.KillSprouted * f
				q[Sprouted] -= dead
				k.lost.dead += dead
			}
		}
		was := k.in(Surface)
		k.move(p.Move)
		in += was - k.in(Surface)
	}
	b.place(p, in)
	b.release(r, p)
}

// in is the seed of a lot that is to be expected in a layer.
func (k *Lot) in(l int) float64 {
	q := &k.At[l]
	return float64(k.N) / k.all * (q[Dormant] + q[AutumnReady] + q[SpringReady] + q[Sprouted])
}

// move sends seed where the pass takes it.
func (k *Lot) move(m *[Layers][Layers]float64) {
	from := k.At
	k.At, k.none = [Layers][States]float64{}, allLayers
	for l := range from {
		q := &from[l]
		if *q == ([States]float64{}) {
			continue
		}
		for to, share := range &m[l] {
			if share <= 0 {
				continue
			}
			k.comes(to)
			t := &k.At[to]
			for s := range t {
				t[s] += share * q[s]
			}
		}
	}
}

// place books how much of the seed in 0–5 cm a low-disturbance drill has put there.
func (b *Bank) place(p *Pass, in float64) {
	if p.Stirs[Depth0to5] > 0 {
		b.Placed *= 1 - p.Stirs[Depth0to5]
	}
	if !p.Places || in <= 0 {
		return
	}
	all := 0.0
	for i := range b.Lots {
		if k := &b.Lots[i]; k.N > 0 {
			all += k.in(Depth0to5)
		}
	}
	if all > 0 {
		b.Placed = min(1, b.Placed+in/all)
	}
}

// release turns dormant seed ready: old seed the first time in a seedbank year
// that its layer is stirred, whatever layer it came from, and a little of all
// dormant seed with every pass.
func (b *Bank) release(r *Rates, p *Pass) {
	for l, f := range p.Stirs {
		if f <= 0 {
			continue
		}
		first := f * (1 - p.Tilled[l]) * r.stir[l]
		old := 1 - (1-first)*(1-min(1, f*r.P.StimulusOld*p.Stimulus))
		fresh := min(1, f*r.P.StimulusFresh*p.Stimulus)
		for i := range b.Lots {
			k, share := &b.Lots[i], fresh
			if k.N == 0 {
				continue
			}
			if k.Age == Old {
				share = old
			}
			k.wake(r, l, share)
		}
	}
}

// wake turns a share of a lot's dormant seed in a layer ready.
func (k *Lot) wake(r *Rates, l int, share float64) {
	q := &k.At[l]
	n := q[Dormant] * share
	autumn := n * r.P.AutumnShare
	q[Dormant] -= n
	q[AutumnReady] += autumn
	q[SpringReady] += n - autumn
}
