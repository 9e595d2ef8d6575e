// Package bands has the statistics that a quantity is told by: its sample
// quantiles, mean and share of nothing, over runs that have a value of it.
package bands

import (
	"math"
	"slices"
)

// Band summarises one quantity over replicates.
type Band struct {
	N                       int     // replicates with a value
	Zero                    float64 // share of them that is exactly 0
	Mean                    float64
	P05, P25, P50, P75, P95 float64 // Hyndman–Fan type 8
}

// Summarise summarises the values that are not NaN. All members but N are NaN
// when there are none.
func Summarise(x []float64) Band {
	kept := make([]float64, 0, len(x))
	for _, v := range x {
		if !math.IsNaN(v) {
			kept = append(kept, v)
		}
	}
	slices.Sort(kept)
	return summarise(kept)
}

func summarise(x []float64) Band {
	nan := math.NaN()
	q := Band{N: len(x), Zero: nan, Mean: nan, P05: nan, P25: nan, P50: nan, P75: nan, P95: nan}
	if len(x) == 0 {
		return q
	}
	zero, mean := 0, 0.0
	for i, v := range x {
		if v == 0 {
			zero++
		}
		mean += (v - mean) / float64(i+1)
	}
	q.Zero, q.Mean = float64(zero)/float64(len(x)), mean
	q.P05, q.P25, q.P50, q.P75, q.P95 = Quantile(x, 0.05), Quantile(x, 0.25), Quantile(x, 0.5), Quantile(x, 0.75), Quantile(x, 0.95)
	return q
}

// Quantile is the sample quantile of sorted values by Hyndman & Fan's type 8
// (1996, Am. Stat. 50:361), median-unbiased whatever the distribution.
func Quantile(sorted []float64, p float64) float64 {
	n := float64(len(sorted))
	h := (n+1.0/3)*p + 1.0/3
	i := int(math.Floor(h))
	switch {
	case i < 1:
		return sorted[0]
	case i >= len(sorted):
		return sorted[len(sorted)-1]
	}
	a, b := sorted[i-1], sorted[i]
	return a + (h-float64(i))*(b-a)
}
