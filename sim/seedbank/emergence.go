package seedbank

import "rundown/sim/biotype"

// Emergence is what came up in the steps that closed on one day.
type Emergence struct {
	N         int64
	Fresh     float64 // share of it from fresh seed
	Fecundity float64 // mean factor of the cover it came up in
}

// ComeUp draws how much of every lot has come up in the steps that were closed
// since it was last asked: given what came up before, a binomial of what is left of the lot.
func (b *Bank) ComeUp(c *Chance, lost *Losses) (e Emergence) {
	if b.Flush++; b.up != c.Day {
		b.up, b.Flush = c.Day, 0
	}
	var young, expected, bare float64
	if b.Kin != nil {
		b.Came.Carriers, b.Came.By = 0, biotype.Counts{}
		b.sum.Reset(b.Traits)
	}
	for i := range b.Lots {
		k := &b.Lots[i]
		if k.up == 0 {
			continue
		}
		each := float64(k.N) / k.all
		expected += k.up * each
		bare += k.bare * each
		n := b.comeUp(i, k.up/k.all, c)
		k.N -= n
		k.all -= k.up
		k.up, k.bare = 0, 0
		e.N += n
		if k.Age != Old {
			young += float64(n)
		}
	}
	if e.N > 0 {
		if b.Kin != nil {
			b.sum.Mixture(&b.Came.Traits)
			lost.By.Add(&b.Came.By)
		}
		lost.Emerged += e.N
		e.Fresh, e.Fecundity = young/float64(e.N), bare/expected
	}
	return e
}
