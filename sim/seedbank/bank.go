// Package seedbank models the seeds of one weed in the soil: where they lie,
// whether they are dormant, ready to germinate or sprouted, and what becomes of
// them in a step of time, in a pass of an implement and at the turn of the year.
//
// Germination runs on moisture-weighted thermal time (hydrothermal time:
// Gummerson 1986, J. Exp. Bot. 37:729; Bradford 2002, Weed Sci. 50:248): ready
// → sprouted → through are two first-order stages (Erlang-2), in competition
// with death and secondary dormancy. The integrals over a step are exact, so
// steps of any length agree. Counts are whole seeds.
//
// Seeds that have shared one history share one law: a Lot is a whole number of
// them and the chances of where and how each of them is now. A step moves the
// chances, which costs no draw. Only what is seen is drawn: the seedlings of a step,
// given those before; the living and the lost when a ledger closes; the seed of
// each layer on 1 July. That is the same law, to the last seed, as drawing the
// fate of every pool in every step, for conditional binomials of one multinomial
// may be drawn in any order.
package seedbank

import "rundown/sim/biotype"

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

// Bank is the seed of one weed in one zone, that on its plants included. The
// zero Bank is empty.
type Bank struct {
	Lots []Lot // the first five, where there are any, are the old seed of each layer on 1 July
	// Placed is the share of seed in 0–5 cm that a low-disturbance drill put
	// there and nothing has stirred since.
	Placed float64
	// Kin is what goes with every lot, of as many traits; nil where nothing evolves.
	Kin     []biotype.Kin
	Traits  int
	up      int32                       // the day on which seedlings were last asked for
	Flush   uint8                       // how often they had been on that day before
	Came    biotype.Kin                 // what goes with the seedlings that ComeUp has found
	sum     biotype.Sum                 // of their traits
	seen    [Ages][Layers][States]int64 // what the last look found
	passage [Layers]passage             // scratch of a step
}

// Origin tells lots of one age apart.
type Origin uint8

// Origins of seed.
const (
	Dealt   Origin = iota // old seed of one layer on 1 July
	Rain                  // of the field's own plants
	Brought               // from outside
	Laid                  // fresh seed that the plan starts with
	Seen                  // of one layer and state on a day when all was looked at
)

// Lot is seed with one history: every seed of it has the same chances. They are
// shares of the lot as it was last counted, less what has come up since.
type Lot struct {
	N     int64 // seeds, on the plants, in the soil or lost since the last count
	At    [Layers][States]float64
	Held  float64 // still on the plants
	Age   uint8
	From  Origin
	none  layers // known to hold none of it; others may
	layer uint8  // of origins Dealt and Seen
	state uint8  // of origin Seen
	// ordinal tells apart what is alike in all this.
	ordinal uint8
	all     float64 // sum of all shares
	lost    departed
	// Share that came up in steps just closed; the same times the factor of its
	// cover on fecundity.
	up, bare float64
}

// layers is a set of layers of the soil.
type layers uint8

const allLayers layers = 1<<Layers - 1

// lies tells whether any of a lot may lie in a layer.
func (k *Lot) lies(l int) bool { return k.none>>l&1 == 0 }

// comes notes that some of a lot comes into a layer.
func (k *Lot) comes(l int) { k.none &^= 1 << l }

// departed is what has left a lot since its last count, but for seedlings; taken
// is dead on the surface, of which a share was eaten.
type departed struct{ taken, dead, fatal, carried float64 }

// Losses counts, in whole seeds, what left the seedbank.
type Losses struct {
	Died, Eaten, Fatal, Emerged, Carried int64
	By                                   biotype.Counts // carriers of all these, by class
}

// Reset empties the bank and keeps its room.
func (b *Bank) Reset() {
	*b = Bank{Lots: b.Lots[:0], Kin: b.Kin[:0]}
	for l := range uint8(Layers) {
		b.Lots = append(b.Lots, Lot{Age: Old, From: Dealt, layer: l})
	}
	if b.Kin != nil {
		b.Kin = append(b.Kin, make([]biotype.Kin, Layers)...)
	}
}

// add puts seed with one history into the bank, in the place of a lot that is
// used up where there is one. It returns its place.
func (b *Bank) add(k Lot) int {
	free := -1
	for i := range b.Lots {
		o := &b.Lots[i]
		switch {
		case o.N > 0 && o.Age == k.Age && o.From == k.From && o.layer == k.layer && o.state == k.state:
			k.ordinal = max(k.ordinal, o.ordinal+1) // no two lots may have the same luck
		case o.N == 0 && free < 0 && i >= Layers:
			free = i
		}
	}
	if free >= 0 {
		b.Lots[free] = k
	} else {
		free, b.Lots = len(b.Lots), append(b.Lots, k)
	}
	b.kinAt(free)
	return free
}
