// Package seedbank models the seeds of one weed in the soil: where they lie,
// whether they are dormant, ready to germinate or sprouted, and what becomes of
// them in a step of time, in a pass of an implement and at the turn of the year.
//
// Germination runs on moisture-weighted thermal time (hydrothermal time:
// Gummerson 1986, J. Exp. Bot. 37:729; Bradford 2002, Weed Sci. 50:248): ready
// → sprouted → through are two first-order stages (Erlang-2), in competition
// with death and secondary dormancy. The integrals over a step are exact, so
// steps of any length agree. Counts are whole seeds.
package seedbank

// Layers of the soil, from the top.
const (
	Surface = iota
	Depth0to5
	Depth5to10
	Depth10to15
	Depth15to20
	Layers
)

// Ages of seed.
const (
	Old   = iota // shed before the last 1 May, and turned old on 1 July
	Fresh        // the last rain
	New          // shed since 1 May, before 1 July: fresh from 1 July on
	Ages
)

// States of seed.
const (
	Dormant = iota
	AutumnReady
	SpringReady
	Sprouted
	States
)

// Bank is the seed of one weed in one zone, in whole seeds.
type Bank struct {
	N [Layers][Ages][States]int64
	// Stirred is the share of each layer that implements have stirred since 1 July.
	Stirred [Layers]float64
	// Placed is the share of seed in 0–5 cm that a low-disturbance drill put
	// there and nothing has stirred since.
	Placed float64
}

// Total is all seed in the soil.
func (b *Bank) Total() int64 {
	var n int64
	for l := range b.N {
		for a := range b.N[l] {
			for s := range b.N[l][a] {
				n += b.N[l][a][s]
			}
		}
	}
	return n
}

// Layer is all seed of one layer.
func (b *Bank) Layer(l int) int64 {
	var n int64
	for a := range b.N[l] {
		for s := range b.N[l][a] {
			n += b.N[l][a][s]
		}
	}
	return n
}

// Aged is all seed of one age.
func (b *Bank) Aged(age int) int64 {
	var n int64
	for l := range b.N {
		for s := range b.N[l][age] {
			n += b.N[l][age][s]
		}
	}
	return n
}

// Losses counts, in whole seeds, what left the seedbank.
type Losses struct {
	Died, Eaten, Fatal, Emerged int64
}
