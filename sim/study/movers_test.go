package study

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Spearman's rank correlation of hours of television and IQ of ten people, the
// worked example of the encyclopedia article "Spearman's rank correlation
// coefficient" (Wikipedia; from memory): −29/165.
func TestRankCorrelation(t *testing.T) {
	iq := []float64{106, 100, 86, 101, 99, 103, 97, 113, 112, 110}
	hours := []float64{7, 27, 2, 50, 28, 29, 20, 12, 6, 17}
	if got := correlation(ranks(iq), ranks(hours)); math.Abs(got+29.0/165) > 1e-12 {
		t.Errorf("%v, want −29/165 = %v", got, -29.0/165)
	}
}

// Ties share their mean rank (the usual definition, common practice).
func TestRanksOfTies(t *testing.T) {
	got := ranks([]float64{3, 1, 3, 2, 3})
	for i, want := range []float64{4, 1, 4, 2, 4} {
		if got[i] != want {
			t.Fatalf("ranks %v", got)
		}
	}
	if c := correlation(ranks([]float64{1, 1, 1}), ranks([]float64{1, 2, 3})); c != 0 {
		t.Errorf("what does not vary correlates %v", c)
	}
}

// The interval of independent samples holds 0 in about 95 of 100 cases: of 400
// it may miss between 6 and 40 (binomial, false alarm under 1 in 1,000).
func TestRankIntervalCovers(t *testing.T) {
	p := rand.New(rand.NewPCG(3, 8))
	misses := 0
	for range 400 {
		x, y := make([]float64, 60), make([]float64, 60)
		for i := range x {
			x[i], y[i] = p.Float64(), p.ExpFloat64()
		}
		if low, high := RankInterval(correlation(ranks(x), ranks(y)), 60); low > 0 || high < 0 {
			misses++
		}
	}
	if misses < 6 || misses > 40 {
		t.Errorf("%d of 400 intervals miss 0", misses)
	}
}
