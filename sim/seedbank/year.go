package seedbank

import (
	"rundown/sim/biotype"
	"rundown/sim/random"
)

// Turn is the turn of the seedbank year, when 30 June is over: sprouted seed is
// dead, last year's rain becomes old, seed shed since 1 May becomes the fresh
// rain, and old seed is counted by layer and dealt anew: a share u·G of each layer ready,
// the rest dormant. Steps must be closed. It returns the old and fresh seed that
// lived to see it, sprouted seed included.
func (b *Bank) Turn(r *Rates, c *Chance, lost *Losses) (june int64) {
	var old [Layers]int64
	var kin [Layers]biotype.Kin
	for i := range b.Lots {
		k := &b.Lots[i]
		if k.N == 0 {
			continue
		}
		if k.Age == New {
			k.Age = Fresh
			continue
		}
		b.count(i, r.P.Eaten, c, lost)
		june += k.N
		to := b.turn(i, &kin, &old, c, lost)
		for l := range old {
			old[l] += to[l]
		}
		lost.Died += to[Layers]
		k.N = 0
	}
	for l, n := range old {
		b.Lots[l] = r.dealt(l, n)
	}
	if b.Kin != nil {
		copy(b.Kin, kin[:])
	}
	b.Placed = 0
	return june
}

// turn counts the seed of a lot that becomes old by layer, and last what had sprouted; old and kin
// are what lots before it have brought there, of which kin takes on what this brings.
// Fruit that hung on from one year to the next would be lost with it; it is always cut.
func (b *Bank) turn(i int, kin *[Layers]biotype.Kin, old *[Layers]int64, c *Chance, lost *Losses) (to [Layers + 1]int64) {
	k, own := &b.Lots[i], b.apart(i)
	var at [Layers + 1]float64
	for l := range k.At {
		q := &k.At[l]
		at[l] = q[Dormant] + q[AutumnReady] + q[SpringReady]
		at[Layers] += q[Sprouted]
	}
	at[Layers] += k.Held
	if own == nil {
		c.divide(c.Key, random.DrawLayer, k, 0, k.N, at[:], to[:])
		return to
	}
	var there [Layers + 1]biotype.Kin
	c.divideKin(random.DrawLayer, k, 0, k.N, own, at[:], to[:], there[:])
	for l := range kin {
		kin[l].Merge(old[l], &there[l], to[l], b.Traits)
	}
	lost.By.Add(&there[Layers].By)
	return to
}

// dealt is old seed of a layer as it is on 1 July.
func (r *Rates) dealt(l int, n int64) Lot {
	k := Lot{N: n, Age: Old, From: Dealt, layer: uint8(l), none: allLayers &^ (1 << l), all: 1}
	ready := r.deal[l]
	k.At[l] = [States]float64{Dormant: 1 - ready, AutumnReady: ready * r.P.AutumnShare, SpringReady: ready * (1 - r.P.AutumnShare)}
	return k
}

// AddOld puts old seed into a layer that has none, dealt as on 1 July.
func (b *Bank) AddOld(r *Rates, l int, n int64) { b.Lots[l] = r.dealt(l, n) }

// Bear puts a year's seed on the plants, as the lot whose place it returns. age is New
// before 1 July, else Fresh.
func (b *Bank) Bear(age uint8, n int64) int {
	return b.add(Lot{N: n, Age: age, From: Rain, none: allLayers, Held: 1, all: 1})
}

// Fall sheds a share of what hangs on the plants.
func (b *Bank) Fall(r *Rates, share, nonDormant float64) {
	if share <= 0 {
		return
	}
	for i := range b.Lots {
		if k := &b.Lots[i]; k.Held > 0 {
			fallen := k.Held * share
			k.Held -= fallen
			if share >= 1 {
				k.Held = 0
			}
			k.land(r, fallen, nonDormant)
		}
	}
}

// CarryOff takes a share of what hangs on the plants away.
func (b *Bank) CarryOff(share float64) {
	for i := range b.Lots {
		if k := &b.Lots[i]; k.Held > 0 {
			gone := k.Held * share
			k.Held -= gone
			k.lost.carried += gone
		}
	}
}

// Lay puts seed on the surface that is not of the field's own plants, at least one, as the
// lot whose place it returns.
func (b *Bank) Lay(r *Rates, age uint8, from Origin, n int64, nonDormant float64) int {
	i := b.add(Lot{N: n, Age: age, From: from, none: allLayers, all: 1})
	b.Lots[i].land(r, 1, nonDormant)
	return i
}

// land lays a share on the surface: nonDormant of it is ready, of which most
// waits for autumn and some for spring.
func (k *Lot) land(r *Rates, share, nonDormant float64) {
	k.comes(Surface)
	q := &k.At[Surface]
	ready := share * nonDormant
	autumn := ready * r.P.AutumnShare
	q[Dormant] += share - ready
	q[AutumnReady] += autumn
	q[SpringReady] += ready - autumn
}
