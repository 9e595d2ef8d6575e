package seedbank

import (
	"math"

	"rundown/sim/decay"
)

// erlangMedian is the median of an Erlang-2 law of unit rate: the time at which
// half of the ready seed is through when each stage runs at rate 1.
const erlangMedian = 1.678347

// yearDays is the length of the seedbank year's tables: day 0 is 1 July.
const yearDays = 366

// Rates are the working values of one replicate: Params with what can be
// computed once. The seedbank year starts on 1 July (day 0).
type Rates struct {
	P          Params
	K          float64         // rate of each germination stage, per °C d
	G          [Layers]float64 // germination by layer
	Q          [Layers]float64 // emergence by layer
	deal       [Layers]float64 // share of old seed dealt ready on 1 July
	stir       [Layers]float64 // share of old dormant seed released by the first full stirring
	buried     float64         // death of buried seed, per day
	upper      int             // layers on the quick clock
	unripe     [yearDays]float64
	OldRipe    [yearDays]float64 // after-ripening of old autumn-ready seed, 0..1
	Spring     [yearDays]float64 // after-ripening of spring-ready seed
	Back       [yearDays]float64 // return to dormancy of spring-ready seed, per day
	BackAutumn [yearDays]float64 // the same of autumn-ready seed
}

// newYear is day 184 of the seedbank year: 1 January.
const newYear = 184

// SeedbankDay is the day of the seedbank year (0 on 1 July) of a day of a
// common year (1..365), fractions kept.
func SeedbankDay(yearDay float64) float64 {
	const july1 = 182
	if yearDay >= july1 {
		return yearDay - july1
	}
	return yearDay + 365 - july1
}

// Set computes the working values of a replicate, but for the tables of the year.
func (r *Rates) Set(p *Params) {
	r.P = *p
	r.K = erlangMedian / p.EmergenceTimeCd
	r.G = [Layers]float64{p.GerminationSurface, p.Germination0to5, p.Germination5to10, p.GerminationDeeper, p.GerminationDeeper}
	r.Q = [Layers]float64{p.EmergenceSurface, p.Emergence0to5, p.Emergence5to10, p.Emergence10to15, p.Emergence15to20}
	for l := range r.G {
		g := p.OldReady * r.G[l]
		r.deal[l] = p.OldUnstirred * g
		r.stir[l] = (g - r.deal[l]) / (1 - r.deal[l])
	}
	r.upper = Depth5to10
	for l := Depth5to10; l < Layers; l++ {
		if r.Q[l] >= hardlyComeUp {
			r.upper = l + 1
		}
	}
	r.buried = -math.Log1p(-p.BuriedDeath) / 365
}

// Tabulate fills the tables of the year of a replicate whose values are set: logistics in the
// date, whose exponentials are made by recurrence, four at a time.
func (r *Rates) Tabulate() {
	p := &r.P
	unripe, later := falling(p.AutumnRipe, p.AutumnRipeScaleD)
	green, riper := falling(p.SpringRipe, p.SpringRipeScaleD)
	before, each := falling(p.ReturnDate, p.ReturnScaleD)
	beforeAutumn, _ := falling(p.ReturnAutumnDate, p.ReturnScaleD)
	if max(unripe, green, before, beforeAutumn) > tooSteep {
		r.tabulateDaily()
		return
	}
	for d := range r.unripe {
		ripe, back := 1.0, p.ReturnRate
		if d < newYear {
			a, b := 1+unripe, 1+green
			per := 1 / (a * b) // one division does for two
			ripe, r.Spring[d] = b*per, ripeness(a*per)
			r.unripe[d] = unripe
			unripe *= later
		} else {
			r.Spring[d] = ripeness(1 / (1 + green))
			r.unripe[d] = 0
		}
		r.OldRipe[d] = ripe
		a, b := 1+before, 1+beforeAutumn
		back /= a * b
		r.Back[d], r.BackAutumn[d] = hazardOf(b*back), hazardOf(a*back)
		green, before, beforeAutumn = green*riper, before*each, beforeAutumn*each
	}
}

// Day is what a day of the seedbank year asks of seed.
type Day struct {
	Old, Spring      float64 // after-ripening of old autumn-ready and of spring-ready seed, 0..1
	Back, BackAutumn float64 // return to dormancy, per day
}

// On is what the tables say of one day, worked out without them.
func (r *Rates) On(day int) Day {
	p, d := &r.P, float64(day)
	x := Day{Old: 1}
	green := e(SeedbankDay(p.SpringRipe)-d, p.SpringRipeScaleD)
	if day < newYear {
		unripe := e(SeedbankDay(p.AutumnRipe)-d, p.AutumnRipeScaleD)
		a, b := 1+unripe, 1+green
		per := 1 / (a * b) // one division does for two
		x.Old, x.Spring = b*per, ripeness(a*per)
	} else {
		x.Spring = ripeness(1 / (1 + green))
	}
	a, b := 1+e(SeedbankDay(p.ReturnDate)-d, p.ReturnScaleD), 1+e(SeedbankDay(p.ReturnAutumnDate)-d, p.ReturnScaleD)
	back := p.ReturnRate / (a * b)
	x.Back, x.BackAutumn = hazardOf(b*back), hazardOf(a*back)
	return x
}

// e is e^(days/scale), cut where the logistics made of it are nothing.
func e(days, scale float64) float64 {
	x := days / scale
	if x > 300 {
		x = 300
	}
	return decay.Left(-x)
}

// hazardOf is a hazard per day, or nothing where it would take less than a
// few in a thousand in a year: the foot of a logistic.
func hazardOf(h float64) float64 {
	if h < 1e-5 {
		return 0
	}
	return h
}

// ripeness is a share of seed that is ripe, or nothing at the foot of its
// logistic, where less than a few in ten thousand would germinate in a month.
func ripeness(r float64) float64 {
	if r < 1e-5 {
		return 0
	}
	return r
}

// falling is e^(−(d − centre)/scale) on day 0 of the seedbank year, and its factor from day to day.
func falling(centre, scale float64) (first, factor float64) {
	return math.Exp(SeedbankDay(centre) / scale), math.Exp(-1 / scale)
}

// tooSteep is where a product of two exponentials is too large for a number: then the tables are
// made day by day.
const tooSteep = 1e150

func (r *Rates) tabulateDaily() {
	for d := range r.unripe {
		x := r.On(d)
		r.OldRipe[d], r.Spring[d], r.Back[d], r.BackAutumn[d] = x.Old, x.Spring, x.Back, x.BackAutumn
		r.unripe[d] = 0
		if d < newYear {
			r.unripe[d] = e(SeedbankDay(r.P.AutumnRipe)-float64(d), r.P.AutumnRipeScaleD)
		}
	}
}

// Ripe is how far the class of seed that a season's stirring wakes has after-ripened on a
// day of the seedbank year, 0..1: the autumn's before New Year, then the spring's. Old
// seed's ripening stands for that of all.
func (r *Rates) Ripe(day int) float64 {
	if day < newYear {
		return r.OldRipe[day]
	}
	return r.Spring[day]
}

// Ripe is the same of a day worked out without the tables.
func (d *Day) Ripe(day int) float64 {
	if day < newYear {
		return d.Old
	}
	return d.Spring
}

// Delay is the factor on unripeness that moves the ripening of the fresh rain
// later when its non-dormant share is below the mean, earlier when above.
func (r *Rates) Delay(nonDormant float64) float64 {
	shift := r.P.AutumnRipeShiftD * (nonDormant - r.P.NonDormant)
	return math.Exp(shift / r.P.AutumnRipeScaleD)
}

// FreshRipe is the after-ripening of fresh autumn-ready seed on a day of the
// seedbank year, with the Delay of its rain.
func (r *Rates) FreshRipe(d int, delay float64) float64 { return 1 / (1 + r.unripe[d]*delay) }

// SurfaceDeath is the day's hazard of death on the surface; shelter is the share of the ground under straw or stubble.
func (r *Rates) SurfaceDeath(summer bool, kr, shelter float64) float64 {
	if !summer {
		return r.P.SurfaceDeathWinter
	}
	return (r.P.SurfaceDeath + r.P.SurfaceDeathDry*(1-kr)) * r.Sheltered(shelter)
}

// Sheltered is the factor of shelter on summer's death.
func (r *Rates) Sheltered(shelter float64) float64 { return 1 - shelter*(1-r.P.SurfaceDeathStraw) }

// Skin is how far the skin of the ground lets surface seed take up water, where kr is the Kr of bare ground:
// under straw or stubble it dries less.
func (r *Rates) Skin(kr, shelter float64) float64 { return kr + (1-kr)*r.P.ShelteredSkin*shelter }

// Germination is the germination factor of a layer: sheltered seed on the surface germinates as in 0–5 cm.
func (r *Rates) Germination(l int, shelter float64) float64 {
	if l == Surface {
		return r.G[l] + shelter*(r.G[Depth0to5]-r.G[l])
	}
	return r.G[l]
}

// Emergence is the share of a layer's sprouted seed that comes up: sheltered seed on the surface as seed
// that a drill has placed.
func (r *Rates) Emergence(l int, shelter float64) float64 {
	if l == Surface {
		return r.Q[l] + shelter*(r.P.EmergencePlaced-r.Q[l])
	}
	return r.Q[l]
}

// Buried is the hazard of buried seed, per day.
func (r *Rates) Buried() float64 { return r.buried }

// Warmth is the moisture-weighted thermal time of a day in a layer, °C d, of its
// temperature and its water potential (MPa): nothing at the base potential and drier.
// Warm seed wants moister soil: the base potential rises with temperature (Mesgaran et
// al. 2017), here by a straight line through that at 12 °C.
func (r *Rates) Warmth(t, potential float64) float64 { return r.Heat(t, r.Moisture(t, potential)) }

// Moisture is the weight of a day's thermal time for the water, 0 to 1.
func (r *Rates) Moisture(t, potential float64) float64 {
	base := r.P.BasePotentialMPa + r.P.BasePotentialRise*(t-basePotentialAtC)
	if base > wettestBaseMPa { // compares cost less than min and max, which mind NaN
		base = wettestBaseMPa
	}
	if potential <= base {
		return 0
	}
	return 1 - potential/base
}

// Heat is a day's thermal time at a temperature, times its moisture.
func (r *Rates) Heat(t, moisture float64) float64 {
	if t > r.P.OptimumTemperatureC {
		t = r.P.OptimumTemperatureC
	}
	h := (t - r.P.BaseTemperatureC) * moisture
	if h <= 0 {
		return 0
	}
	return h
}

// The base potential is stated at one temperature, and however warm never above another value, at which hardly
// any soil would do (the bound is assumed).
const (
	basePotentialAtC = 12
	wettestBaseMPa   = -0.2
)

// Dealt is the share of a layer's old seed that is dealt ready on 1 July.
func (r *Rates) Dealt(l int) float64 { return r.deal[l] }

// Stirred is the share of old dormant seed that the first full stirring of a
// layer releases.
func (r *Rates) Stirred(l int) float64 { return r.stir[l] }
