// Package weather makes daily weather: from a record, or from twelve monthly
// normals by a stochastic generator.
//
//   - Rain: two-state first-order Markov chain with gamma amounts (Richardson
//     1981, Water Resour. Res. 17:182), parameters from monthly means after
//     Geng, Penning de Vries & Supit 1986 (Agric. For. Meteorol. 36:363).
//   - Temperature: bivariate lag-one autoregression of the residuals of Tmax and
//     Tmin (Richardson 1981), means conditioned on wet and dry days.
//   - Year to year: month-scale anomalies make up what these lack of the spread
//     of monthly means, the known fault of daily generators (Wilks & Wilby 1999,
//     Prog. Phys. Geogr. 23:329).
//   - Radiation, daylength and reference evapotranspiration: FAO-56 (Allen,
//     Pereira, Raes & Smith 1998), eqs 21–25, 34 and 52 (Hargreaves).
package weather

import (
	"math"
	"sync"
)

// Generator makes the weather of one climate. It is immutable and may be shared.
type Generator struct {
	days   [yearDays]dayNormals
	gamma  [12]*quantiles // amounts above 1 mm, mean 1
	normal *quantiles
	// The autoregression of Tmax and Tmin; b is lower triangular.
	a11, a12, a21, a22, b11, b21, b22 float64
	// Anomalies at the mid-months: standard deviations, the correlation between
	// Tmax and Tmin, and the log-scale sd of the factor on rain.
	maxAnomaly, minAnomaly, rainAnomaly [12]float64
	correlation                         float64
}

// dayNormals is all that a calendar day needs, side by side in memory.
type dayNormals struct {
	wetAfter   [2]uint32 // probability of rain after a dry and a wet day, in 2^−32
	left       int32     // mid-month before (see weight)
	month      int32
	right      float64    // weight of the mid-month after
	amount     float64    // mean above 1 mm of a wet day
	tmax       [2]float64 // mean on dry and wet days
	tmin       float64
	sdMax      float64
	sdMin      float64
	hargreaves float64
}

// NewGenerator tabulates a climate by calendar day. It takes some milliseconds.
func NewGenerator(c Climate) *Generator {
	g := &Generator{normal: normalTable()}
	m0, m1 := temperatureOnly(richardson())
	a, b := autoregression(m0, m1)
	g.a11, g.a12, g.a21, g.a22 = a[0][0], a[0][1], a[1][0], a[1][1]
	g.b11, g.b21, g.b22 = b[0][0], b[1][0], b[1][1]
	g.correlation = m0[0][1]

	var rain [12]rainMonth
	var ownMax, ownMin, factor [12]float64
	var wait sync.WaitGroup
	defer wait.Wait()
	for m := range 12 {
		rain[m] = newRainMonth(&c, m)
		factor[m] = rain[m].factor
		shape := rain[m].shape
		wait.Go(func() { g.gamma[m] = gammaTable(shape) }) // most of the time that this takes
		ownMax[m] = meanVariance(a, m0, 0, monthLength(m))
		ownMin[m] = meanVariance(a, m0, 1, monthLength(m))
	}
	for m, v := range nodeVariances(factor) {
		g.rainAnomaly[m] = math.Sqrt(math.Log1p(v)) // lognormal of mean 1
	}
	tmax := shareOut(c.TmaxDaySD, c.TmaxYearSD, c.WetShiftC, &rain, ownMax)
	tmin := shareOut(c.TminDaySD, c.TminYearSD, [12]float64{}, &rain, ownMin)
	g.maxAnomaly, g.minAnomaly = tmax.anomalySD, tmin.anomalySD
	g.tabulate(&c, &rain, &tmax, &tmin)
	return g
}

func (g *Generator) tabulate(c *Climate, rain *[12]rainMonth, tmax, tmin *spread) {
	var wet, above [12]float64
	for m := range 12 {
		wet[m], above[m] = rain[m].wet, rain[m].meanMM
	}
	w := weights()
	factor := hargreavesFactors(c.LatitudeDeg)
	wetCourse, amount := bounded(wet, 0, 0.99), bounded(above, 0, math.Inf(1))
	persistence, shift := bounded(c.Persistence, 0, 0.9), course(c.WetShiftC)
	meanMax, meanMin := course(c.TmaxC), course(c.TminC)
	sdMax, sdMin := bounded(tmax.daySD, 0, math.Inf(1)), bounded(tmin.daySD, 0, math.Inf(1))
	var of [yearDays][4]float64
	for i := range of {
		of[i] = [4]float64{meanMax[i] - meanMin[i], g.rangeSD(w[i], sdMax[i], sdMin[i]), wetCourse[i], shift[i]}
	}
	ranges := widenedYear(&of)
	for i := range g.days {
		f := wetCourse[i]
		ch := gengChain(f, persistence[i])
		wider := ranges[i] - (meanMax[i] - meanMin[i])
		top := meanMax[i] + wider/2
		g.days[i] = dayNormals{
			wetAfter: [2]uint32{inBits(ch.wetAfterDry), inBits(ch.wetAfterWet)},
			left:     int32(w[i].left), right: w[i].right, month: int32(monthOf(i)),
			amount: amount[i],
			tmax:   [2]float64{top - f*shift[i], top + (1-f)*shift[i]},
			tmin:   meanMin[i] - wider/2,
			sdMax:  sdMax[i], sdMin: sdMin[i],
			hargreaves: factor[i],
		}
	}
}

// rangeSD is the sd of Tmax − Tmin about its mean on wet or on dry days.
func (g *Generator) rangeSD(w weight, sdMax, sdMin float64) float64 {
	v := sdMax*sdMax + sdMin*sdMin - 2*g.correlation*sdMax*sdMin
	for k, x := range [2]float64{1 - w.right, w.right} {
		m := (w.left + 11 + k) % 12
		p, q := x*g.maxAnomaly[m], x*g.minAnomaly[m]
		v += p*p + q*q - 2*g.correlation*p*q
	}
	return math.Sqrt(v)
}

func inBits(p float64) uint32 { return uint32(min(p, 1-1e-9) * (1 << 32)) }
