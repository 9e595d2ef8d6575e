package seedbank

import (
	"rundown/sim/biotype"
	"rundown/sim/random"
)

// What seed carries goes with its lot: chances are one for all that share a history, so
// that carriers are drawn out of what was drawn of the lot, at the same address, by class.

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

// outlive finds the carriers of a lot, of as many seeds before it was counted, among those that live.
func (b *Bank) outlive(i int, all int64, c *Chance, lost *Losses) {
	k, kin := &b.Lots[i], &b.Kin[i]
	if kin.Carriers == 0 {
		return
	}
	var live biotype.Kin
	kin.Take(&c.ByClass, c.at(random.DrawAlive, k, 0), all, k.N, &live)
	lost.By.Add(&kin.By)
	kin.Carriers, kin.By = live.Carriers, live.By
}

// comeUp finds the carriers among n seedlings of a lot.
func (b *Bank) comeUp(i int, n int64, c *Chance, lost *Losses) {
	k, kin := &b.Lots[i], &b.Kin[i]
	b.sum.Add(&kin.Traits, float64(n))
	if kin.Carriers == 0 {
		return
	}
	before := b.Came.By
	kin.Take(&c.ByClass, c.at(random.DrawComeUp, k, 0), k.N, n, &b.Came)
	for class := 1; class < biotype.Classes; class++ {
		lost.By[class] += b.Came.By[class] - before[class]
	}
}

// turnKin deals what a lot carries to where its seed lies on 1 July; old is what came there of
// lots before it, to what comes of this.
func (b *Bank) turnKin(i int, kin *[Layers]biotype.Kin, old *[Layers]int64, to *[Layers + 1]int64, c *Chance, lost *Losses) {
	k, own, left := &b.Lots[i], &b.Kin[i], b.Lots[i].N
	for l := range kin {
		there := biotype.Kin{Traits: own.Traits}
		own.Take(&c.ByClass, c.at(random.DrawLayer, k, uint8(l)), left, to[l], &there)
		kin[l].Merge(old[l], &there, to[l], b.Traits)
		left -= to[l]
	}
	lost.By.Add(&own.By) // had sprouted
}
