package decide_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"rundown/sim/decide"
)

// Columns that share nearly all of their luck: the flat part is the dates
// within 1 % of the best median, whatever the spread of each.
func TestFlatPart(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	at := []float64{400, 480, 497, 500, 496, 470, 499}
	columns := make([][]float64, len(at))
	for range 1000 {
		luck := 100 * r.NormFloat64()
		for i, m := range at {
			columns[i] = append(columns[i], m+luck)
		}
	}
	o := decide.Best(columns)
	if o.Best != 3 || o.From != 2 || o.To != 4 {
		t.Errorf("best %d, flat from %d to %d; expected 3, 2 to 4 (the last is as good but not next to it)", o.Best, o.From, o.To)
	}
	// Where luck is not shared and runs are few, the error is wider than 1 %: about
	// 1.96·1.25·√2·100/√60 = 45.
	for i, m := range at {
		for k := range columns[i] {
			columns[i][k] = m + 100*r.NormFloat64()
		}
		columns[i] = columns[i][:60]
	}
	if e := decide.MedianError(columns[3], columns[2]); e < 20 || e > 100 {
		t.Errorf("the medians of 60 unpaired runs have an error of %.1f, expected about 45", e)
	}
	// So the date 20 below the best (within its error, beyond 1 %) is as good, and
	// the one 100 below is not.
	columns[3], columns[1] = shifted(columns[3], 500), shifted(columns[1], 480)
	for _, i := range []int{2, 4, 5, 6} {
		columns[i] = shifted(columns[i], 490)
	}
	columns[0] = shifted(columns[0], 400)
	if o := decide.Best(columns); o.Best != 3 || o.From != 1 || o.To != 6 {
		t.Errorf("with few unpaired runs best %d, flat from %d to %d; expected 3, 1 to 6", o.Best, o.From, o.To)
	}
}

// shifted is x moved so that its median is at m.
func shifted(x []float64, m float64) []float64 {
	by := m - decide.Median(x)
	for k := range x {
		x[k] += by
	}
	return x
}

// The 95 % interval of a difference of medians holds the true one in 95 of 100
// samples: 93 to 97 are accepted over 2,000 (false alarm below 1 in 10,000), for
// lopsided columns with and without common luck.
func TestMedianErrorCovers(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for _, shared := range []float64{0, 0.9} {
		const samples, n = 2000, 400
		held := 0
		for range samples {
			x, y := make([]float64, n), make([]float64, n)
			for k := range x {
				a, b := r.NormFloat64(), r.NormFloat64()
				x[k], y[k] = math.Exp(a), 1+math.Exp(shared*a+math.Sqrt(1-shared*shared)*b)
			}
			if math.Abs(decide.Median(y)-decide.Median(x)-1) <= decide.MedianError(x, y) {
				held++
			}
		}
		if share := float64(held) / samples; share < 0.93 || share > 0.97 {
			t.Errorf("shared luck %v: the interval holds the difference in %.3f of samples, expected 0.95", shared, share)
		}
	}
	if e := decide.MedianError(make([]float64, 19), make([]float64, 19)); !math.IsInf(e, 1) {
		t.Errorf("19 runs give an error of %v, expected none", e)
	}
}

// Gains that are straight in the logarithm of density cross where they should.
func TestCross(t *testing.T) {
	gains := func(slope, at, spread float64) []decide.Gain {
		r := rand.New(rand.NewPCG(6, 6))
		g := []decide.Gain{{Density: 0, Differences: []float64{-40 - spread, -40 + spread}}}
		for _, d := range []float64{0.1, 1, 10, 100} {
			x := make([]float64, 400)
			for k := 0; k < len(x); k += 2 { // in pairs about the mean, so that it is exact
				e := spread * r.NormFloat64()
				x[k], x[k+1] = slope*math.Log(d/at)+e, slope*math.Log(d/at)-e
			}
			g = append(g, decide.Gain{Density: d, Differences: x})
		}
		return g
	}
	c := decide.Cross(gains(5, 4, 20))
	if c.Verdict != decide.Crosses || math.Abs(c.Density-4) > 1e-9 {
		t.Errorf("%+v, expected a crossover at 4", c)
	}
	// ±1.96·20/√400 = 1.96 either way, 1.96/5 on the log scale.
	if low, high := 4*math.Exp(-0.392), 4*math.Exp(0.392); math.Abs(c.Low/low-1) > 0.1 || math.Abs(c.High/high-1) > 0.1 {
		t.Errorf("from %.2f to %.2f, expected about %.2f to %.2f", c.Low, c.High, low, high)
	}
	if c := decide.Cross(gains(5, 1000, 20)); c.Verdict != decide.First {
		t.Errorf("%+v, expected the first to be better at every density", c)
	}
	if c := decide.Cross(gains(5, 0.01, 20)); c.Verdict != decide.Crosses || c.Density != 0 {
		t.Errorf("%+v, expected a crossover below the lowest density but clean ground", c)
	}
	all := gains(5, 0.01, 20)
	all[0].Differences = []float64{3, 4}
	if c := decide.Cross(all); c.Verdict != decide.Second {
		t.Errorf("%+v, expected the second to be better at every density", c)
	}
}
