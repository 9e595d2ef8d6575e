package seedbank

import "math"

// Exposure is what seed has met, summed over days. Differences of two
// exposures describe a step.
type Exposure struct {
	Days        float64
	Warmth      ByLayer // ΣH, °C d
	Unripe      ByLayer // ΣH·(1 − r) of old autumn-ready seed
	UnripeFresh ByLayer // of fresh autumn-ready seed
	Spring      ByLayer // ΣH·r of spring-ready seed
	Surface     float64 // Σ hazard of death on the surface
	Back        float64 // Σ hazard of return to dormancy, spring-ready
	BackAutumn  float64 // the same, autumn-ready
}

// Warm adds a day's moisture-weighted thermal time and what it does to seed in
// each state of after-ripening. temp is the temperature of each layer, top and
// low the factor of water potential in the two stores, kr that of the surface,
// whose skin dries first; delay is that of the fresh rain.
func (x *Exposure) Warm(r *Rates, day int, delay float64, temp *[Layers]float64, top, low, kr float64) {
	h := [Layers]float64{r.Warmth(temp[Surface], top*kr), r.Warmth(temp[Depth0to5], top), r.Warmth(temp[Depth5to10], top),
		r.Warmth(temp[Depth10to15], low), r.Warmth(temp[Depth15to20], low)}
	x.Warmth.add(&h, 1)
	if day < newYear { // later all autumn-ready seed is ripe
		x.Unripe.add(&h, 1-r.OldRipe[day])
		x.UnripeFresh.add(&h, 1-r.FreshRipe(day, delay))
	}
	if spring := r.Spring[day]; spring > 0 {
		x.Spring.add(&h, spring)
	}
}

// ByLayer is one number for each layer.
type ByLayer [Layers]float64

// add adds a factor times h.
func (x *ByLayer) add(h *[Layers]float64, by float64) {
	x[0] += h[0] * by
	x[1] += h[1] * by
	x[2] += h[2] * by
	x[3] += h[3] * by
	x[4] += h[4] * by
}

// Fates are the shares of a ready pool at the end of a step; they add up to 1.
type Fates struct {
	Leave   float64 // all that is no longer ready
	Die     float64
	Sleep   float64 // dormant again
	Sprout  float64 // sprouted, not yet through
	Through float64
}

// ReadyFates is what Meet makes of a ready pool.
func ReadyFates(a, m, s, b, left, keep float64) (f Fates) {
	f.Meet(a, m, s, b, left, keep)
	return f
}

// Meet integrates a step exactly: a is the germination exposure g·k·ΣHr,
// m the summed hazard of death, s that of return to dormancy, b = k·ΣH that of
// the second stage and left = e^−b, keep the share of what would sprout that a
// cover keeps dormant. The hazards are taken to keep their proportions through
// the step.
func (f *Fates) Meet(a, m, s, b, left, keep float64) {
	t := a + m + s
	if t <= 0 {
		*f = Fates{}
		return
	}
	if t == m { // death alone
		d := Died(m)
		*f = Fates{Leave: d, Die: d}
		return
	}
	stay := Decay(t)
	leave := 1 - stay
	if t < 1e-5 { // 1 − e^−t keeps no digits here
		leave = t - t*t/2
	}
	each := leave / t
	f.Leave, f.Die, f.Sleep = leave, m*each, s*each
	if a <= 0 {
		f.Sprout, f.Through = 0, 0
		return
	}
	germ := a * each
	var sprout float64
	if d := b - t; d < 1e-6 && d > -1e-6 {
		sprout = a * left
	} else {
		sprout = a * (stay - left) / d
	}
	if sprout < 0 {
		sprout = 0
	}
	if sprout > germ {
		sprout = germ
	}
	f.Sleep += keep * germ
	f.Sprout = (1 - keep) * sprout
	f.Through = (1 - keep) * (germ - sprout)
}

// Decay is e^−x for x ≥ 0, with an error below 1e-13: 2^(−n/16) from a table
// and a power of two, times a polynomial for the rest, in a third of the time of math.Exp.
func Decay(x float64) float64 {
	if x > 700 {
		return 0
	}
	n := uint64(x*(16/math.Ln2) + 0.5)
	r := float64(n)*(math.Ln2/16) - x // within ±ln2/32
	r2 := r * r
	p := (1 + r) + r2*((1.0/2+r*(1.0/6))+r2*(1.0/24+r*(1.0/120)))
	return p * sixteenths[n&15] * math.Float64frombits((1023-n>>4)<<52)
}

// sixteenths are 2^(−n/16).
var sixteenths = [16]float64{
	1, 0.95760328069857365, 0.91700404320467123, 0.87812608018664974, 0.84089641525371454, 0.80524516597462716, 0.77110541270397041, 0.73841307296974967,
	0.70710678118654752, 0.67712777346844637, 0.64841977732550484, 0.62092890603674203, 0.59460355750136054, 0.56939431737834583, 0.54525386633262883, 0.52213689121370692,
}

// Died is the share of a pool that a summed hazard kills.
func Died(hazard float64) float64 {
	if hazard < 1e-5 {
		return hazard - hazard*hazard/2
	}
	return 1 - Decay(hazard)
}
