package random

import (
	"math"
	"testing"
)

// The law of Hypergeometric, read off its steps in u, against probabilities from binomial
// coefficients (math.Lgamma): sums of absolute differences for small counts, and the cdf at some
// points for large ones.
func TestHypergeometricLaw(t *testing.T) {
	choose := func(n, k float64) float64 {
		a, _ := math.Lgamma(n + 1)
		b, _ := math.Lgamma(k + 1)
		c, _ := math.Lgamma(n - k + 1)
		return a - b - c
	}
	for _, x := range []struct{ all, marked, n int64 }{{10, 3, 4}, {100, 40, 30}, {100, 60, 80}, {1000, 500, 30}, {5000, 100, 900},
		{100000, 3000, 5000}, {1000000, 70, 1000}, {100000, 50000, 400}} {
		cdf, worst := 0.0, 0.0
		for k := int64(0); k <= min(x.marked, x.n); k++ {
			cdf += math.Exp(choose(float64(x.marked), float64(k)) + choose(float64(x.all-x.marked), float64(x.n-k)) - choose(float64(x.all), float64(x.n)))
			if x.n-k > x.all-x.marked {
				continue
			}
			if cdf > 1e-3 && cdf < 1-1e-3 { // the uniform at which k becomes k + 1
				low, high := 0.0, 1.0
				for range 50 {
					u := (low + high) / 2
					if Hypergeometric(u, x.all, x.marked, x.n) <= k {
						low = u
					} else {
						high = u
					}
				}
				worst = math.Max(worst, math.Abs(low-cdf))
			}
		}
		t.Logf("%v: the cdf departs by %.1g", x, worst)
		if worst > 2e-5 {
			t.Errorf("%v: the cdf departs by %g", x, worst)
		}
	}
}

// Counts as large as a field holds, and rare carriers among them: a carrier among 10¹⁵ is found
// as often as its share.
func TestHypergeometricOfRare(t *testing.T) {
	const all = 1_000_000_000_000
	for _, x := range []struct {
		marked, n int64
		none      float64 // chance of none
	}{{1, all / 4, 0.75}, {2, all / 4, 0.5625}, {1000, all / 1000, math.Exp(-1000.0 / 1000 * (1 + 0.5/1000))}, {1_000_000, 1_000_000, math.Exp(-1)}} {
		low, high := 0.0, 1.0
		for range 50 {
			u := (low + high) / 2
			if Hypergeometric(u, all, x.marked, x.n) == 0 {
				low = u
			} else {
				high = u
			}
		}
		if math.Abs(low-x.none) > 2e-6 {
			t.Errorf("%+v: none with chance %.8f", x, low)
		}
	}
	if got := Hypergeometric(0.3, 10, 4, 10); got != 4 {
		t.Errorf("all taken: %d", got)
	}
}
