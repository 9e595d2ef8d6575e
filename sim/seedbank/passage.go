package seedbank

import "rundown/sim/decay"

// passage is how the seed of one layer passes through a step: shares of each
// class of seed, nothing for classes on the other clock.
type passage struct {
	dormant        float64 // of dormant seed, dies
	through        float64 // of sprouted seed, is through
	up             float64 // of seed that is through, reaches the light
	sinks          float64 // of seed of what passes, into the layer below
	autumn, spring [Ages]Fates
	quick          Quick // classes of ready seed that pass
	sprouted       bool  // sprouted seed passes
	slow           bool  // dormant seed passes
	of             ages  // whose passage it is
}

// ages is a set of ages of seed.
type ages uint8

func (s ages) has(age int) bool { return s>>age&1 != 0 }

// passages works out the passages of some layers from one on, for the classes asked for,
// where there is seed to pass.
func (b *Bank) passages(s *Step, p []passage, from int, class Quick, sprouted bool) {
	var in [Ages]layers
	for i := range b.Lots {
		if k := &b.Lots[i]; k.N > 0 {
			in[k.Age] |= allLayers &^ k.none
		}
	}
	for i := range p {
		l := from + i
		here := ages(in[Old]>>l&1 | in[Fresh]>>l&1<<Fresh | in[New]>>l&1<<New)
		if here == 0 {
			p[i].of = 0
			continue
		}
		if i > 0 && l > Depth0to5 && s.alike(l) && p[i-1].of == here {
			p[i] = p[i-1]
		} else {
			p[i].work(s, l, class, sprouted, here)
		}
		p[i].dormant, p[i].sinks, p[i].slow = 0, 0, false
		if l == Surface {
			p[i].sinks = decay.Gone(s.P.SelfBurial * s.Since.Days)
		}
		if p[i].up = s.Emergence(l, s.Shelter); l == Depth0to5 && b.Placed > 0 {
			p[i].up += b.Placed * (s.P.EmergencePlaced - p[i].up)
		}
	}
}

// alike tells whether seed of a layer meets what seed of the one above meets, as
// in the two deepest.
func (s *Step) alike(l int) bool {
	x := s.Since
	return s.G[l] == s.G[l-1] && x.Warmth[l] == x.Warmth[l-1]
}

// work fills the passage of one layer.
func (p *passage) work(s *Step, l int, class Quick, sprouted bool, of ages) {
	p.quick, p.sprouted, p.of = class, sprouted, of
	if !class.Any() && !sprouted {
		return
	}
	x := s.Since
	second := s.K * x.Warmth[l]
	left := decay.Left(second)
	hazard := s.hazard(l)
	p.through = 1 - left
	g := [Ages]float64{1, s.Germination(l, s.Shelter), 0}
	ripe := [Ages]float64{x.Warmth[l] - x.Unripe[l], x.Warmth[l] - x.UnripeFresh[l], 0}
	var last float64 // germination exposure of the fates worked out last, of either age
	for a := range Ages {
		if !of.has(a) || !class.Autumn {
			continue
		}
		// After the new year seed of all ages is as ripe, and where g is 1 its fates are one.
		e := s.K * g[a] * ripe[a]
		if a == Fresh && of.has(Old) && e == last {
			p.autumn[a] = p.autumn[Old]
			continue
		}
		p.autumn[a].Meet(e, hazard, x.BackAutumn, second, left, s.Keep)
		last = e
	}
	for a := range Ages {
		if !of.has(a) || !class.Spring {
			continue
		}
		if a == Fresh && of.has(Old) && g[a] == 1 {
			p.spring[a] = p.spring[Old]
			continue
		}
		p.spring[a].Meet(s.K*g[a]*x.Spring[l], hazard, x.Back, second, left, s.Keep)
	}
}

// hazard is the summed hazard of death in a layer.
func (s *Step) hazard(l int) float64 {
	if l == Surface {
		return s.Since.Surface
	}
	return s.buried * s.Since.Days
}

// pass takes every lot through the passages of some layers from one on.
func (b *Bank) pass(s *Step, p []passage, from int) {
	for i := range b.Lots {
		k := &b.Lots[i]
		if k.N == 0 {
			continue
		}
		up := 0.0
		for l := len(p) - 1; l >= 0; l-- { // from below, so that what sinks passes once
			if k.lies(from + l) {
				up += k.pass(&p[l], from+l)
			}
		}
		k.up += up
		k.bare += up * s.Fecundity
	}
}

// pass takes a lot's seed in one layer through a step and returns what comes up.
func (k *Lot) pass(p *passage, l int) float64 {
	q := &k.At[l]
	dead, through := 0.0, 0.0
	if p.sprouted {
		through = q[Sprouted] * p.through
		q[Sprouted] -= through
	}
	if n := q[AutumnReady]; p.quick.Autumn && n > 0 {
		f := &p.autumn[k.Age]
		q[AutumnReady] = n - n*f.Leave
		q[Dormant] += n * f.Sleep
		q[Sprouted] += n * f.Sprout
		dead += n * f.Die
		through += n * f.Through
	}
	if n := q[SpringReady]; p.quick.Spring && n > 0 {
		f := &p.spring[k.Age]
		q[SpringReady] = n - n*f.Leave
		q[Dormant] += n * f.Sleep
		q[Sprouted] += n * f.Sprout
		dead += n * f.Die
		through += n * f.Through
	}
	if p.dormant > 0 {
		n := q[Dormant] * p.dormant
		q[Dormant] -= n
		dead += n
	}
	if l == Surface {
		k.lost.taken += dead
		k.sink(p)
	} else {
		k.lost.dead += dead
	}
	up := through * p.up
	k.lost.fatal += through - up
	return up
}

// sink lets seed on the surface of the classes that have passed sink into the soil.
func (k *Lot) sink(p *passage) {
	if p.sinks <= 0 {
		return
	}
	k.comes(Depth0to5)
	passed := [States]bool{Dormant: p.slow, AutumnReady: p.quick.Autumn, SpringReady: p.quick.Spring, Sprouted: p.sprouted}
	for s, yes := range passed {
		if yes {
			n := k.At[Surface][s] * p.sinks
			k.At[Surface][s] -= n
			k.At[Depth0to5][s] += n
		}
	}
}
