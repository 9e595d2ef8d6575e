package decide_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"rundown/sim/decide"
)

// Two normals of equal variance with correlation ρ: (Var X + Var Y)/Var(X − Y)
// is 1/(1 − ρ). The sample value must lie within 4 standard errors, about
// √(2/n) each way on the log scale (false alarm below 1 in 10,000; fixed seed).
func TestVarianceRatioOfNormals(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	const n = 4000
	for _, rho := range []float64{0, 0.5, 0.9, 0.98} {
		x, y := make([]float64, n), make([]float64, n)
		for k := range x {
			a, b := r.NormFloat64(), r.NormFloat64()
			x[k], y[k] = a, rho*a+math.Sqrt(1-rho*rho)*b
		}
		got, want := decide.VarianceRatio(x, y), 1/(1-rho)
		if math.Abs(math.Log(got/want)) > 4*math.Sqrt(2.0/n) {
			t.Errorf("ρ = %v: ratio %.3f, expected %.3f", rho, got, want)
		}
		// gonum's variances give the same number.
		d := decide.Differences(x, y)
		if same := (stat.Variance(x, nil) + stat.Variance(y, nil)) / stat.Variance(d, nil); math.Abs(got/same-1) > 1e-12 {
			t.Errorf("ρ = %v: ratio %v, by gonum %v", rho, got, same)
		}
	}
}

func TestAgainstItself(t *testing.T) {
	heads, margin := []float64{3, 0, 17, math.NaN()}, []float64{500, -20, 310, 90}
	if got := decide.VarianceRatio(heads, heads); got != 0 {
		t.Errorf("variance ratio %v, expected 0 for no difference", got)
	}
	if got := decide.Better(heads[:3], margin[:3], heads[:3], margin[:3]); got != (decide.Chances{Fewer: 0.5, More: 0.5, Both: 0.5}) {
		t.Errorf("chances %v, expected a half each", got)
	}
	for k, d := range decide.Differences(heads, heads) {
		if d != 0 && !math.IsNaN(heads[k]) {
			t.Errorf("difference %v", d)
		}
	}
	if got := decide.Unsettled([][]float64{margin, margin}, false, decide.Median); len(got) != 0 {
		t.Errorf("a plan against itself is unsettled: %v", got)
	}
}

func TestBetterCountsTiesHalf(t *testing.T) {
	got := decide.Better([]float64{1, 2, 5, 4}, []float64{10, 9, 8, 7}, []float64{2, 2, 4, 5}, []float64{9, 9, 9, 9})
	// heads: win, tie, lose, win; margin: win, tie, lose, lose.
	if want := (decide.Chances{Fewer: 0.625, More: 0.375, Both: 0.375}); got != want {
		t.Errorf("%v, expected %v", got, want)
	}
}

// Two plans that are equal but for chance are left unsettled in 95 of 100
// pairs; 93 to 97 of 100 are accepted over 2,000 pairs (false alarm below 1 in
// 10,000). The interval is that of the binomial: 2,000 runs settle a share of 0.523,
// not one of 0.521.
func TestUnsettled(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 2))
	const pairs, n = 2000, 400
	left := 0
	for range pairs {
		x, y := make([]float64, n), make([]float64, n)
		for k := range x {
			x[k], y[k] = r.Float64(), r.Float64()
		}
		left += len(decide.Unsettled([][]float64{x, y}, true, decide.Median))
	}
	if share := float64(left) / pairs; share < 0.93 || share > 0.97 {
		t.Errorf("unsettled in %.3f of equal pairs, expected 0.95", share)
	}
	for _, c := range []struct {
		wins    int
		settled bool
	}{{1042, false}, {1046, true}} {
		x, y := make([]float64, 2000), make([]float64, 2000)
		for k := range x {
			if y[k] = 1; k < c.wins {
				x[k] = 2
			}
		}
		got := decide.Unsettled([][]float64{x, y}, false, decide.Median)
		if (len(got) == 0) != c.settled {
			t.Errorf("%d wins of 2,000: %v", c.wins, got)
		}
		tail := 2 * distuv.Binomial{N: 2000, P: 0.5}.CDF(float64(2000-c.wins)) // two-sided sign test
		if (tail < 0.05) != c.settled {
			t.Errorf("%d wins of 2,000: the exact sign test gives %.4f", c.wins, tail)
		}
	}
}

// The plan with the better median may lose in most runs: that is told too.
func TestMedianAgainstRuns(t *testing.T) {
	x, y := make([]float64, 1000), make([]float64, 1000)
	for k := range x {
		x[k] = float64(k)
		if y[k] = x[k] + 1; k >= 300 && k < 600 {
			y[k] = x[k] - 200 // lower about the middle only
		}
	}
	got := decide.Unsettled([][]float64{x, y}, false, decide.Median)
	if len(got) != 1 || got[0].Better != 0 || !got[0].Against || got[0].Wins != 0.3 {
		t.Errorf("%+v, expected the first better by the median and in 0.3 of runs", got)
	}
}

// A share of wins of 0.51 needs (1.96·0.5/0.01)² = 9,604 runs, in thousands 10,000.
func TestNeeded(t *testing.T) {
	x, y := make([]float64, 1000), make([]float64, 1000)
	for k := range x {
		if y[k] = 1; k < 510 {
			x[k] = 2
		}
	}
	got := decide.Unsettled([][]float64{y, x}, false, decide.Median)
	if len(got) != 1 || got[0].Better != 1 || got[0].Worse != 0 || got[0].Needed != 10000 || math.Abs(got[0].Wins-0.51) > 1e-12 {
		t.Errorf("%+v, expected plan 1 better in 0.51 and 10,000 needed", got)
	}
}
