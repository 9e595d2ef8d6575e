package sim

import "rundown/sim/seedbank"

// SteadyYear is what the yearly cycle makes of a matrix of the old bank of two layers: old[k][l]
// is what of one old seed of layer k lies in layer l a year on, rain[l] of one seed shed; returns
// and plants are of one seed shed, then of one old seed of each layer.
func SteadyYear(rain [2]float64, old [2][2]float64, returns, plants [3]float64) (bank [2]float64, returned, share float64) {
	c := cycle{depth: 2, heads: 1}
	for l := range 2 {
		c.bank[0][l] = rain[l]
		for k := range 2 {
			c.bank[1+k][l] = old[k][l]
		}
	}
	copy(c.returns[:], returns[:])
	copy(c.plants[:], plants[:])
	steady := c.steady()
	returned, share = c.yearly()
	return [2]float64{steady[0], steady[1]}, returned, share
}

// NextYear is the old bank of two layers a year on under a rain.
func NextYear(rain [2]float64, old [2][2]float64, bank [2]float64, fall float64) [2]float64 {
	c := cycle{depth: 2}
	for l := range 2 {
		c.bank[0][l] = rain[l]
		for k := range 2 {
			c.bank[1+k][l] = old[k][l]
		}
	}
	next := c.year([seedbank.Layers]float64{bank[0], bank[1]}, fall)
	return [2]float64{next[0], next[1]}
}
