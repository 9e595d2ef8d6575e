package seedbank

import (
	"rundown/sim/biotype"
	"rundown/sim/random"
)

// What seed carries goes with its lot: chances are one for all that share a history, so that the
// seed of each class meets them by its own luck, at the address of the lot.

// Evolve makes a bank keep what its lots carry.
func (b *Bank) Evolve(traits, room int) {
	b.Traits = traits
	if b.Kin == nil {
		b.Kin = make([]biotype.Kin, 0, room)
	}
}

// kinAt makes room for what a new lot carries.
func (b *Bank) kinAt(i int) {
	switch {
	case b.Kin == nil:
	case i < len(b.Kin):
		b.Kin[i] = biotype.Kin{}
	default:
		b.Kin = append(b.Kin, biotype.Kin{})
	}
}

// apart is what a lot's carriers are kept by; nil where nothing evolves.
func (b *Bank) apart(i int) *biotype.Kin {
	if b.Kin == nil {
		return nil
	}
	return &b.Kin[i]
}

// plain is how many of n seeds carry nothing; kin may be nil.
func plain(n int64, kin *biotype.Kin) int64 {
	if kin == nil {
		return n
	}
	return n - kin.Carriers
}

// comeUp draws how many of a lot's seeds come up, each with probability p.
func (b *Bank) comeUp(i int, p float64, c *Chance) int64 {
	k, kin := &b.Lots[i], b.apart(i)
	n := c.binomial(random.DrawComeUp, k, b.Flush&15, plain(k.N, kin), p)
	if kin != nil {
		n += kin.Draw(&c.ByClass, c.at(random.DrawComeUp, k, b.Flush&15), p, &b.Came)
		if n > 0 {
			b.sum.Add(&kin.Traits, float64(n))
		}
	}
	return n
}

// outlive draws how many of a lot's seeds live, each with probability p, and books carriers that do not.
func (k *Lot) outlive(p float64, kin *biotype.Kin, c *Chance, lost *Losses) int64 {
	n := c.binomial(random.DrawAlive, k, 0, plain(k.N, kin), p)
	if kin != nil && kin.Carriers > 0 {
		var live biotype.Kin
		n += kin.Draw(&c.ByClass, c.at(random.DrawAlive, k, 0), p, &live)
		lost.By.Add(&kin.By)
		kin.Carriers, kin.By = live.Carriers, live.By
	}
	return n
}

// divideKin is divide of n seeds and of their carriers, which are left to kin, part by part.
func (c *Chance) divideKin(what uint8, k *Lot, first uint8, n int64, own *biotype.Kin, weight []float64, to []int64, kin []biotype.Kin) {
	c.divide(c.Key, what, k, first, plain(n, own), weight, to)
	if own == nil {
		return
	}
	for part := range to {
		kin[part] = biotype.Kin{Traits: own.Traits}
	}
	if own.Carriers == 0 {
		return
	}
	var rest [most + 1]float64
	for i := len(weight) - 1; i >= 0; i-- {
		rest[i] = rest[i+1] + weight[i]
	}
	left := biotype.Kin{Carriers: own.Carriers, By: own.By}
	for part, w := range weight { // conditional binomials of a multinomial
		if w > 0 {
			to[part] += left.Draw(&c.ByClass, c.at(what, k, first+uint8(part)), w/rest[part], &kin[part])
		}
	}
	last := len(to) - 1 // where there is no weight at all
	kin[last].By.Add(&left.By)
	kin[last].Carriers += left.Carriers
	to[last] += left.Carriers
}
