package sim

import (
	"math"

	"rundown/sim/random"
)

// Streams is four indices, one for each kind of randomness, by random.Kind: an
// ordinary replicate has all four equal; a frozen kind is held at index 0.
type Streams [4]uint32

// StreamsOf are the streams of an ordinary replicate.
func StreamsOf(replicate uint32) Streams { return Streams{replicate, replicate, replicate, replicate} }

// Season effects: what differs between years for the whole field. The numbers
// are part of every result and are never renumbered.
const (
	effectDormancyYear uint64 = iota + 1
	effectDormancySite
	effectSeed
	effectShedding
	effectYield
	effectHarvest
	effectResidual // + HRAC group
	effectPlough   // + ordinal in the season
	effectSpray    // + ordinal in the season
	effectCoverYield
)

// fieldYield is the address of the field's own departure of yield, once per replicate.
const fieldYield = "field/yield"

// effects are the season effects of a replicate, on the field or on one weed.
type effects struct{ random.Key }

// effect is the uniform of a season effect: keyed by harvest year, effect and
// which of several, never by how many draws came before.
func (e effects) effect(year int, effect, which uint64) float64 {
	return e.With(uint64(year)).With(effect).Uniform(which)
}

// normal is a season effect with mean 0 and a standard deviation.
func (e effects) normal(year int, effect, which uint64, sd float64) float64 {
	if sd == 0 {
		return 0
	}
	return sd * random.Normal(e.effect(year, effect, which))
}

// lognormal is a season effect with median 1 and a geometric standard deviation.
func (e effects) lognormal(year int, effect, which uint64, gsd float64) float64 {
	if gsd <= 1 {
		return 1
	}
	return math.Exp(math.Log(gsd) * random.Normal(e.effect(year, effect, which)))
}

// quantiles is a tabulated quantile function, for values drawn per event.
type quantiles [257]float64

func (q *quantiles) at(u float64) float64 {
	x := u * 256
	i := min(int(x), 255)
	return q[i] + (x-float64(i))*(q[i+1]-q[i])
}
