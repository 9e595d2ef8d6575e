package seedbank

import "rundown/sim/random"

// Chance draws the whole-seed counts of one day. Every draw has an address:
// the day, what is drawn, and the pool it is drawn from.
type Chance struct {
	Key  random.Key
	Day  int32
	Zone uint8
}

// Binomial draws how many of n seeds meet a fate of probability p.
func (c *Chance) Binomial(what uint8, layer, age, state int, class uint8, n int64, p float64) int64 {
	if n <= 0 || p <= 0 {
		return 0
	}
	if p >= 1 {
		return n
	}
	at := random.At(c.Day, what, uint8(layer), uint8(age), uint8(state), class, c.Zone)
	return random.Binomial(c.Key.Uniform(at), n, p)
}

// Poisson draws a count about a mean.
func (c *Chance) Poisson(what uint8, layer, state int, mean float64) int64 {
	if mean <= 0 {
		return 0
	}
	at := random.At(c.Day, what, uint8(layer), 0, uint8(state), 0, c.Zone)
	return random.Poisson(c.Key.Uniform(at), mean)
}
