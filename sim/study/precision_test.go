package study

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Ranks computed with scipy 1.10.1 from scipy.stats.binom.cdf by the
// definition in orderRanks. The row of 16 is the worked case of the 0.75
// quantile of 16 values in Conover (1999), section 3.2 (from memory), whose
// tables round the levels; ranks here are those with at least the level.
func TestOrderRanks(t *testing.T) {
	for _, c := range []struct {
		n        int
		p, level float64
		r, s     int
	}{
		{20, 0.5, 0.95, 6, 15},
		{100, 0.5, 0.95, 40, 61},
		{16, 0.75, 0.90, 9, 16},
		{71, 0.95, 0.95, 63, 72}, // too few for an upper end: 1 − 0.95^71 < 0.975
		{72, 0.95, 0.95, 64, 72},
		{100, 0.95, 0.95, 90, 100},
		{400, 0.95, 0.95, 371, 389},
		{2000, 0.95, 0.95, 1880, 1920},
	} {
		if r, s := orderRanks(c.n, c.p, c.level); r != c.r || s != c.s {
			t.Errorf("n %d, p %v: ranks %d and %d, want %d and %d", c.n, c.p, r, s, c.r, c.s)
		}
	}
}

// The interval holds the true quantile of an exponential law at least at its
// level. 2000 samples of fixed seed: the count of misses is binomial with mean
// at most 100, sd 9.7; the limit 145 is 4.6 sd away (false alarm below 1e-5).
func TestQuantileIntervalCovers(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 7))
	truth := -math.Log(0.05)
	misses := 0
	for range 2000 {
		x := make([]float64, 200)
		for i := range x {
			x[i] = rng.ExpFloat64()
		}
		if low, high := quantileInterval(x, 0.95, 0.95); truth < low || truth > high {
			misses++
		}
	}
	if misses > 145 || misses < 20 {
		t.Errorf("%d of 2000 intervals miss the quantile; about 60 to 100 were expected", misses)
	}
}

func TestQuantileIntervalOfFew(t *testing.T) {
	low, high := quantileInterval([]float64{3, math.NaN(), 1}, 0.95, 0.95)
	if !math.IsInf(high, 1) || low > 1 {
		t.Errorf("two values give %v to %v; an open upper end was expected", low, high)
	}
}
