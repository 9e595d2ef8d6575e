package weather

import (
	"math"
	"testing"
)

// The parameters of Cambridge by Geng et al. 1986, computed outside this
// project from its monthly rain and rain days, printed to two digits.
func TestGengCambridge(t *testing.T) {
	p01 := [12]float64{.26, .24, .20, .20, .18, .22, .20, .21, .20, .24, .27, .25}
	perDay := [12]float64{4.5, 4.0, 4.1, 4.8, 5.9, 5.7, 5.8, 6.4, 6.3, 5.9, 4.8, 4.7}
	shape := [12]float64{.74, .77, .77, .73, .68, .69, .69, .67, .67, .68, .72, .73}
	c := cambridge()
	for m := range 12 {
		f := c.WetDays[m] / monthLength(m)
		ch := gengChain(f, 0.25)
		near(t, "p01", ch.wetAfterDry, p01[m], 0.0051)
		near(t, "p11 − p01", ch.wetAfterWet-ch.wetAfterDry, 0.25, 1e-15)
		near(t, "share of wet days", ch.wetShare(), f, 1e-15)
		mean := c.RainMM[m] / c.WetDays[m]
		near(t, "mm per wet day", mean, perDay[m], 0.051)
		a, scale := gengAmounts(mean)
		near(t, "shape", a, shape[m], 0.0051)
		near(t, "mean of the gamma", a*scale, mean, 1e-12)
	}
}

func TestGengShapeStaysPositive(t *testing.T) {
	for mean := 0.05; mean < 200; mean *= 1.1 {
		shape, scale := gengAmounts(mean)
		if !(shape >= leastShape) || !(scale > 0) {
			t.Errorf("mean %g mm: shape %g, scale %g", mean, shape, scale)
		}
	}
}

// Identities of the two-state chain (Katz 1977), worked outside this project
// for p01 0.2, p11 0.5, 365 days and amounts gamma(0.7, 7 mm).
func TestChainIdentities(t *testing.T) {
	c := chain{0.2, 0.5}
	near(t, "wet share", c.wetShare(), 0.285714, 5e-7)
	near(t, "variance of wet days", c.wetDayVariance(365), 138.3382, 5e-5)
	near(t, "mean total", 365*c.wetShare()*0.7*7, 511.0, 0.05)
	near(t, "variance of the total", c.totalVariance(365, 0.7*7, 0.7*49), 6898.5, 0.05)
}

// pgamma and qgamma of R 4.2.2.
func TestGammaAgainstR(t *testing.T) {
	near(t, "pgamma(5, 0.8, scale = 8.9)", gammaShare(0.8, 5/8.9), 0.5346363, 5e-8)
	near(t, "qgamma(0.95, 0.8, scale = 8.9)", 8.9*gammaQuantile(0.8, 0.95, 1), 23.09678, 5e-6)
}

func TestGammaQuantileInverts(t *testing.T) {
	for _, a := range []float64{0.1, 0.5, 0.8, 1, 3, 20} {
		for _, p := range []float64{1e-6, 0.01, 0.3, 0.5, 0.9, 0.999, 1 - 1e-9} {
			for _, from := range []float64{0, 1, 50} {
				near(t, "P(a, quantile)", gammaShare(a, gammaQuantile(a, p, from)), p, 1e-9)
			}
		}
	}
	// The exponential is known in closed form.
	near(t, "exponential", gammaQuantile(1, 0.9, 1), -math.Log(0.1), 1e-9)
}

// The tables that stand in for the distributions: exact mean (gamma) or
// variance (normal), and the error stated beside them.
func TestTablesKeepMoments(t *testing.T) {
	for _, a := range []float64{0.546, 0.7, 0.8, 1, 2, 3} {
		mean, square := gammaTable(a).moments()
		near(t, "gamma mean", mean, 1, 1e-12)
		near(t, "gamma sd over the true one", math.Sqrt((square-1)*a), 1, 1e-3)
	}
	q := normalTable()
	_, square := q.moments()
	near(t, "normal variance", square, 1, 1e-12)
	for _, p := range []float64{0.5, 0.6, 0.9, 0.99, 0.999, 0.9999} {
		z := q.normal(uint32((2*p - 1) * (1 << 31)))
		near(t, "normal quantile", z, math.Sqrt2*math.Erfinv(2*p-1), 2e-3)
	}
	if a, b := q.normal(12345), q.normal(12345|1<<31); a != -b || a <= 0 {
		t.Errorf("the sign bit turns %g into %g", a, b)
	}
}
