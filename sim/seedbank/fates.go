package seedbank

import "rundown/sim/decay"

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
// low the water potential of the two stores, kr a factor of the surface,
// whose skin dries first; delay is that of the fresh rain. The two deepest layers
// have one temperature and one store: only the first of them is summed.
func (x *Exposure) Warm(r *Rates, day int, delay float64, temp *[Layers]float64, top, low, kr float64) {
	h0, h1, h2, h3 := kr*r.Warmth(temp[Surface], top), r.Warmth(temp[Depth0to5], top), r.Warmth(temp[Depth5to10], top), r.Warmth(temp[Depth10to15], low)
	x.Warmth.add(h0, h1, h2, h3, 1)
	if day < newYear { // later all autumn-ready seed is ripe
		x.Unripe.add(h0, h1, h2, h3, 1-r.OldRipe[day])
		x.UnripeFresh.add(h0, h1, h2, h3, 1-r.FreshRipe(day, delay))
	}
	if spring := r.Spring[day]; spring > 0 {
		x.Spring.add(h0, h1, h2, h3, spring)
	}
}

// Ready is the warmth that ripe seed of a layer met, ΣH·r.
func (x *Exposure) Ready(layer int) float64 { return x.Warmth[layer] - x.Unripe[layer] }

// Since makes x what seed met between two sums, at the earlier of them.
func (x *Exposure) Since(sum, at *Exposure) {
	x.Days = sum.Days - at.Days
	if x.Days <= 0 {
		return
	}
	x.Warmth.less(&sum.Warmth, &at.Warmth)
	x.Unripe.less(&sum.Unripe, &at.Unripe)
	x.UnripeFresh.less(&sum.UnripeFresh, &at.UnripeFresh)
	x.Spring.less(&sum.Spring, &at.Spring)
	x.Surface = sum.Surface - at.Surface
	x.Back = sum.Back - at.Back
	x.BackAutumn = sum.BackAutumn - at.BackAutumn
}

// ByLayer is one number for each layer.
type ByLayer [Layers]float64

// add adds a factor times the numbers of all layers but the last.
func (x *ByLayer) add(h0, h1, h2, h3, by float64) {
	x[0] += h0 * by
	x[1] += h1 * by
	x[2] += h2 * by
	x[3] += h3 * by
}

// less makes x a difference; the last layer's is that of the one above.
func (x *ByLayer) less(a, b *ByLayer) {
	x[0], x[1], x[2], x[3] = a[0]-b[0], a[1]-b[1], a[2]-b[2], a[3]-b[3]
	x[4] = x[3]
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
		d := decay.Gone(m)
		*f = Fates{Leave: d, Die: d}
		return
	}
	stay := decay.Left(t)
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
