package seedbank

import "rundown/sim/random"

// Turn is the turn of the seedbank year on 1 July: sprouted seed is dead, last
// year's rain becomes old, seed shed since 1 May becomes the fresh rain, and
// old seed is dealt anew: a share u·G of each layer ready, the rest dormant.
func (b *Bank) Turn(r *Rates, c *Chance, lost *Losses) {
	for l := range b.N {
		lost.Died += b.N[l][Old][Sprouted] + b.N[l][Fresh][Sprouted]
		old := b.N[l][Old][Dormant] + b.N[l][Old][AutumnReady] + b.N[l][Old][SpringReady] +
			b.N[l][Fresh][Dormant] + b.N[l][Fresh][AutumnReady] + b.N[l][Fresh][SpringReady]
		b.N[l][Fresh] = b.N[l][New]
		b.N[l][New] = [States]int64{}
		b.deal(r, l, old, c)
	}
	b.Stirred = [Layers]float64{}
	b.Placed = 0
}

// deal splits a layer's old seed into ready and dormant.
func (b *Bank) deal(r *Rates, l int, old int64, c *Chance) {
	ready := c.Binomial(random.DrawDeal, l, Old, 0, 0, old, r.deal[l])
	autumn := c.Binomial(random.DrawDeal, l, Old, 1, 0, ready, r.P.AutumnShare)
	b.N[l][Old] = [States]int64{Dormant: old - ready, AutumnReady: autumn, SpringReady: ready - autumn}
}

// AddOld puts old seed into a layer, dealt as on 1 July.
func (b *Bank) AddOld(r *Rates, l int, n int64, c *Chance) {
	was := b.N[l][Old]
	b.deal(r, l, n, c)
	for s := range was {
		b.N[l][Old][s] += was[s]
	}
}

// Land lays shed seed on the surface: a share nonDormant of it is ready, of
// which most waits for autumn and some for spring. age is Fresh, or New before
// 1 July. class keeps apart what lands on one day.
func (b *Bank) Land(r *Rates, age int, n int64, nonDormant float64, class uint8, c *Chance) {
	if n == 0 {
		return
	}
	ready := c.Binomial(random.DrawLand, Surface, age, 0, class, n, nonDormant)
	autumn := c.Binomial(random.DrawLand, Surface, age, 1, class, ready, r.P.AutumnShare)
	pool := &b.N[Surface][age]
	pool[Dormant] += n - ready
	pool[AutumnReady] += autumn
	pool[SpringReady] += ready - autumn
}
