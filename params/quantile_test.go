package params

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

func TestQuantileAgainstPublishedFigures(t *testing.T) {
	const z975, z75 = 1.959963985, 0.6744897502 // standard normal quantiles: NIST/SEMATECH e-Handbook, table 1.3.6.7.1, and R qnorm
	wide := Value{Central: 0, Low: -100, High: 100}
	for _, c := range []struct {
		name string
		v    Value
		u    float64
		want float64
		tol  float64
	}{
		// R 4.2.2: qbeta(c(.025, .975), 3, 17) prints .03382625 .33137666; the digits beyond solve
		// Abramowitz & Stegun 26.5.24, I_x(3, 17) = P(binomial(19, x) ≥ 3), in 40-digit decimals.
		{"beta low", Value{Central: 0.15, High: 1, Spread: Spread{Kind: Beta, A: 3, B: 17}}, 0.025, 0.033826249002, 1e-11},
		{"beta high", Value{Central: 0.15, High: 1, Spread: Spread{Kind: Beta, A: 3, B: 17}}, 0.975, 0.331376664466, 1e-11},
		{"lognormal median", Value{Central: 6, High: 100, Spread: Spread{Kind: Lognormal, A: 1.5}}, 0.5, 6, 1e-9},
		// A lognormal's 97.5 % point is median × gsd^1.96 (Limpert, Stahel & Abbt 2001, BioScience 51:341–352).
		{"lognormal high", Value{Central: 6, High: 100, Spread: Spread{Kind: Lognormal, A: 1.5}}, 0.975, 6 * math.Pow(1.5, z975), 1e-7},
		{"normal high", withSpread(wide, Spread{Kind: Normal, A: 2}), 0.975, 2 * z975, 1e-7},
		// A normal cut at its mean is half-normal: its median is the upper quartile of the normal.
		{"half normal", Value{Central: 0, Low: 0, High: 100, Spread: Spread{Kind: Normal, A: 3}}, 0.5, 3 * z75, 1e-7},
		{"logit-normal", Value{Central: 0.5, High: 1, Spread: Spread{Kind: LogitNormal, A: 1}}, 0.975, 1 / (1 + math.Exp(-z975)), 1e-8},
		// Median of the triangular distribution: Evans, Hastings & Peacock, Statistical Distributions (from memory).
		{"triangular", Value{Central: 0.7, High: 1, Spread: Spread{Kind: Triangular, A: 0, B: 0.7, C: 1}}, 0.5, math.Sqrt(0.7 / 2), 1e-12},
		{"range", Value{Central: 0.2, High: 1, Spread: Spread{Kind: Range, A: 0, B: 1}}, 0.5, 1 - math.Sqrt(0.8/2), 1e-12},
		{"fixed", Value{Central: 4, High: 9}, 0.9, 4, 0},
		{"stated", Value{Central: 4, High: 9, Spread: Spread{Kind: Stated, A: 2, B: 8}}, 0.9, 4, 0},
	} {
		if got := c.v.Quantile(c.u); math.Abs(got-c.want) > c.tol {
			t.Errorf("%s: quantile %g is %.9g, want %.9g", c.name, c.u, got, c.want)
		}
	}
}

func withSpread(v Value, s Spread) Value { v.Spread = s; return v }

// The distribution functions of gonum's distuv undo the quantiles.
func TestQuantileUndoneByDistributionFunction(t *testing.T) {
	for _, c := range []struct {
		v   Value
		cdf func(float64) float64
	}{
		{Value{Central: 0.85, High: 1, Spread: Spread{Kind: Beta, A: 8.5, B: 1.5}}, distuv.Beta{Alpha: 8.5, Beta: 1.5}.CDF},
		{Value{Central: 0.97, High: 1, Spread: Spread{Kind: Beta, A: 58, B: 2}}, distuv.Beta{Alpha: 58, Beta: 2}.CDF},
		{Value{Central: 100, High: 2000, Spread: Spread{Kind: Lognormal, A: 1.3}}, distuv.LogNormal{Mu: math.Log(100), Sigma: math.Log(1.3)}.CDF},
		{Value{Central: -70, Low: -300, High: 100, Spread: Spread{Kind: Normal, A: 25}}, distuv.Normal{Mu: -70, Sigma: 25}.CDF},
		{Value{Central: 0.5, High: 2, Spread: Spread{Kind: Range, A: 0.2, B: 0.8}}, distuv.NewTriangle(0.2, 0.8, 0.5, nil).CDF},
	} {
		last := math.Inf(-1)
		for i := 1; i < 200; i++ {
			u := float64(i) / 200
			x := c.v.Quantile(u)
			if x <= last {
				t.Errorf("%v: quantile %g does not rise", c.v.Spread, u)
			}
			if last = x; math.Abs(c.cdf(x)-u) > 1e-9 {
				t.Errorf("%v: F(Q(%g)) = %.12g", c.v.Spread, u, c.cdf(x))
			}
		}
	}
}

func TestQuantileKeepsLimits(t *testing.T) {
	v := Value{Central: 0.5, Low: 0.2, High: 1.5, Spread: Spread{Kind: Lognormal, A: 3}}
	if lo, hi := v.Quantile(1e-12), v.Quantile(1-1e-12); lo != 0.2 || hi != 1.5 {
		t.Errorf("quantiles reach %g and %g, want the limits 0.2 and 1.5", lo, hi)
	}
	for _, u := range []float64{1e-300, 1 - 1e-16} {
		for _, s := range []Spread{{Kind: Beta, A: 0.5, B: 30}, {Kind: Normal, A: 0.1}, {Kind: LogitNormal, A: 2}, {Kind: Range, A: 0.1, B: 0.9}} {
			v := Value{Central: 0.5, High: 1, Spread: s}
			if x := v.Quantile(u); math.IsNaN(x) || x < 0 || x > 1 {
				t.Errorf("%v: quantile %g is %g", s, u, x)
			}
		}
	}
}

func BenchmarkQuantile(b *testing.B) {
	for _, v := range []Value{
		{Central: 6, High: 100, Spread: Spread{Kind: Lognormal, A: 1.5}},
		{Central: 0.6, High: 1, Spread: Spread{Kind: Beta, A: 6, B: 4}},
		{Central: 0.85, High: 1, Spread: Spread{Kind: Beta, A: 8.5, B: 1.5}},
	} {
		b.Run(v.Spread.String(), func(b *testing.B) {
			u := 0.0
			for b.Loop() {
				if u += 0.377; u >= 1 {
					u -= 0.999
				}
				v.Quantile(u)
			}
		})
	}
}
