// Package decide says what outcomes under common random numbers tell about a
// choice between plans or dates. Replicate i of every outcome met the same
// weather, seasons, chance and parameters, so that what is looked at is the
// difference within a replicate; its variance is
// Var X + Var Y − 2 Cov(X, Y) (Law 2015, Simulation Modeling and Analysis, 5th
// ed., section 11.2, from memory), smaller than that of independent runs by as
// much as the plans share their luck.
//
// It knows columns of numbers by replicate, NaN for no value, and the metrics of
// sim; it neither runs models nor writes reports.
package decide

import "math"

// Differences is x − y, replicate by replicate; NaN where either has no value.
func Differences(x, y []float64) []float64 {
	d := make([]float64, len(x))
	for k := range x {
		d[k] = x[k] - y[k]
	}
	return d
}

// Chances are how likely a plan is to be better than another, in shares of the
// replicates, 0..1. A tie counts half: a plan against itself is better with ½.
type Chances struct {
	Fewer float64 // fewer heads
	More  float64 // more margin
	Both  float64 // fewer heads and more margin
}

// Better compares heads and margins of a plan with those of another.
func Better(heads, margin, otherHeads, otherMargin []float64) Chances {
	var fewer, more, both float64 // halves add up exactly
	for k := range heads {
		f, m := win(otherHeads[k], heads[k]), win(margin[k], otherMargin[k])
		fewer, more, both = fewer+f, more+m, both+min(f, m)
	}
	n := float64(len(heads))
	return Chances{fewer / n, more / n, both / n}
}

// Wins is the share of replicates in which x is greater than y; a tie counts half.
func Wins(x, y []float64) float64 {
	sum := 0.0
	for k := range x {
		sum += win(x[k], y[k])
	}
	return sum / float64(len(x))
}

func win(x, y float64) float64 {
	switch {
	case x > y:
		return 1
	case x == y:
		return 0.5
	}
	return 0
}

// VarianceRatio is how many times as many independent replicates would be
// needed for the same precision of the mean difference: (Var X + Var Y) / Var(X − Y),
// over the replicates in which both have a value. It is 0 where the two never
// differ: no number of independent replicates is as good.
func VarianceRatio(x, y []float64) float64 {
	var a, b, d []float64
	for k := range x {
		if math.IsNaN(x[k]) || math.IsNaN(y[k]) {
			continue
		}
		a, b, d = append(a, x[k]), append(b, y[k]), append(d, x[k]-y[k])
	}
	if v := variance(d); v > 0 {
		return (variance(a) + variance(b)) / v
	}
	return 0
}

// Logs is log(1 + x): the scale on which densities are compared.
func Logs(x []float64) []float64 {
	out := make([]float64, len(x))
	for k := range x {
		out[k] = math.Log1p(x[k])
	}
	return out
}

func mean(x []float64) float64 {
	m := 0.0
	for i, v := range x {
		m += (v - m) / float64(i+1)
	}
	return m
}

// variance is the unbiased sample variance; 0 of fewer than two values.
func variance(x []float64) float64 {
	if len(x) < 2 {
		return 0
	}
	m, v := mean(x), 0.0
	for _, a := range x {
		v += (a - m) * (a - m)
	}
	return v / float64(len(x)-1)
}
