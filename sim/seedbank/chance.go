package seedbank

import (
	"rundown/sim/biotype"
	"rundown/sim/random"
)

// Chance draws the whole-seed counts of one day. Every draw has an address:
// the day, what is drawn, and the lot it is drawn from.
type Chance struct {
	Key  random.Key
	Day  int32
	Zone uint8
	Made int // draws made, for benchmarks
	// ByClass is the luck of every class, where something evolves.
	ByClass biotype.Luck
}

// binomial draws how many of n seeds of a lot meet a fate of probability p.
// which tells apart draws of one kind, at most 15.
func (c *Chance) binomial(what uint8, k *Lot, which uint8, n int64, p float64) int64 {
	return c.binomialOf(c.Key, what, k, which, n, p)
}

// binomialOf is binomial by the luck of a class.
func (c *Chance) binomialOf(luck random.Key, what uint8, k *Lot, which uint8, n int64, p float64) int64 {
	if n <= 0 || p <= 0 {
		return 0
	}
	if p >= 1 {
		return n
	}
	c.Made++
	return random.Binomial(luck.Uniform(c.at(what, k, which)), n, p)
}

// at is the address of a draw on a lot.
func (c *Chance) at(what uint8, k *Lot, which uint8) uint64 {
	class := uint8(k.From) | k.ordinal<<3
	return random.At(c.Day, what, k.layer, k.Age, k.state|which<<3, class, c.Zone)
}

// Poisson draws a count about a mean.
func (c *Chance) Poisson(what uint8, layer, state int, mean float64) int64 {
	if mean <= 0 {
		return 0
	}
	c.Made++
	at := random.At(c.Day, what, uint8(layer), 0, uint8(state), 0, c.Zone)
	return random.Poisson(c.Key.Uniform(at), mean)
}

// most is into how many parts a count may be divided.
const most = 8

// divide shares n seeds of a lot among parts, in proportion to their weights:
// conditional binomials of a multinomial by the luck of a class, numbered from first. Seed goes only
// where there is weight, or to the last part where there is none at all.
func (c *Chance) divide(luck random.Key, what uint8, k *Lot, first uint8, n int64, weight []float64, to []int64) {
	var rest [most + 1]float64
	for i := len(weight) - 1; i >= 0; i-- {
		rest[i] = rest[i+1] + weight[i]
	}
	for i, w := range weight {
		to[i] = 0
		if n > 0 && w > 0 {
			to[i] = c.binomialOf(luck, what, k, first+uint8(i), n, w/rest[i])
			n -= to[i]
		}
	}
	to[len(to)-1] += n
}
