package seedbank

import (
	"rundown/sim/biotype"
	"rundown/sim/random"
)

// Count counts the living and the lost, and books the lost: from then on Total
// and Aged are whole seeds. eaten is the share of the dead of the surface that
// was eaten. Counting changes no chance of any seed that lives.
func (b *Bank) Count(eaten float64, c *Chance, lost *Losses) {
	for i := range b.Lots {
		if b.Lots[i].N > 0 {
			b.count(i, eaten, c, lost)
		}
	}
}

// count counts one lot, and those of it that carry something.
func (b *Bank) count(i int, eaten float64, c *Chance, lost *Losses) {
	k := &b.Lots[i]
	gone := [...]float64{k.lost.carried, k.lost.taken*(1-eaten) + k.lost.dead, k.lost.taken * eaten, k.lost.fatal}
	all := gone[0] + gone[1] + gone[2] + gone[3]
	if all == 0 {
		return
	}
	alive := k.alive()
	n := k.outlive(alive/(alive+all), b.apart(i), c, lost)
	var out [len(gone)]int64
	c.divide(c.Key, random.DrawLost, k, 0, k.N-n, gone[:], out[:])
	lost.Carried += out[0]
	lost.Died += out[1]
	lost.Eaten += out[2]
	lost.Fatal += out[3]
	k.N, k.all, k.lost = n, alive, departed{}
}

// alive is the share that lives, on the plants or in the soil.
func (k *Lot) alive() float64 {
	sum := k.Held
	for l := range k.At {
		q := &k.At[l]
		sum += q[Dormant] + q[AutumnReady] + q[SpringReady] + q[Sprouted]
	}
	return sum
}

// Total is all living seed, that on the plants included, when last counted.
func (b *Bank) Total() int64 {
	var n int64
	for i := range b.Lots {
		n += b.Lots[i].N
	}
	return n
}

// Aged is all living seed of one age, when last counted.
func (b *Bank) Aged(age uint8) int64 {
	var n int64
	for i := range b.Lots {
		if b.Lots[i].Age == age {
			n += b.Lots[i].N
		}
	}
	return n
}

// Hangs tells whether any seed hangs on the plants.
func (b *Bank) Hangs() bool {
	for i := range b.Lots {
		if b.Lots[i].N > 0 && b.Lots[i].Held > 0 {
			return true
		}
	}
	return false
}

// Look counts the seed of every layer, age and state, and returns them; the
// bank then knows them. Seed on the plants is not in it.
func (b *Bank) Look(eaten float64, c *Chance, lost *Losses) *[Ages][Layers][States]int64 {
	b.Count(eaten, c, lost)
	b.seen = [Ages][Layers][States]int64{}
	var kin [Ages][Layers][States]biotype.Kin
	for i := range b.Lots {
		if k := &b.Lots[i]; k.N > 0 {
			b.look(i, c, &kin[k.Age])
		}
	}
	for a := range b.seen {
		for l := range b.seen[a] {
			for s, n := range b.seen[a][l] {
				if n > 0 {
					k := Lot{N: n, Age: uint8(a), From: Seen, layer: uint8(l), state: uint8(s), all: 1}
					k.At[l][s] = 1
					i := b.add(k)
					if b.Kin != nil {
						b.Kin[i] = kin[a][l][s]
					}
				}
			}
		}
	}
	return &b.seen
}

// look moves the seed of a lot that is in the soil to where it is counted; seen is what the
// seed of its age carries.
func (b *Bank) look(i int, c *Chance, seen *[Layers][States]biotype.Kin) {
	k, own := &b.Lots[i], b.apart(i)
	var at [Layers + 1]float64
	var to [Layers + 1]int64
	var kin [Layers + 1]biotype.Kin
	at[Layers] = k.Held
	for l := range k.At {
		for _, x := range k.At[l] {
			at[l] += x
		}
	}
	c.divideKin(random.DrawLayer, k, 0, k.N, own, at[:], to[:], kin[:])
	for l := range k.At {
		var in [States]int64
		var of [States]biotype.Kin
		var there *biotype.Kin
		if own != nil {
			there = &kin[l]
		}
		c.divideKin(random.DrawState, k, uint8(l*(States-1)), to[l], there, k.At[l][:], in[:], of[:])
		for s, n := range in {
			seen[l][s].Merge(b.seen[k.Age][l][s], &of[s], n, b.Traits)
			b.seen[k.Age][l][s] += n
		}
		k.At[l] = [States]float64{}
	}
	if own != nil {
		*own = kin[Layers]
	}
	k.N, k.all, k.lost = to[Layers], k.Held, departed{}
}
