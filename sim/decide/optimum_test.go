package decide_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"rundown/sim/decide"
)

// Columns that share nearly all of their luck: as good are the dates next to the
// best whose differences are within their own small error, whatever the spread of each.
func TestAsGoodAsTheBest(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	at := []float64{400, 480, 499.99, 500, 499.98, 470, 499.99}
	columns := make([][]float64, len(at))
	for range 1000 {
		luck := 100 * r.NormFloat64()
		for i, m := range at { // the error of a difference is 1.96·√2/√1000, 0.09
			columns[i] = append(columns[i], m+luck+r.NormFloat64())
		}
	}
	columns[3] = shifted(columns[3], 500)
	for _, i := range []int{2, 4, 6} {
		columns[i] = shifted(columns[i], 499.95)
	}
	o := decide.Best(columns, nil, 0)
	if o.Best != 3 || o.From != 2 || o.To != 4 {
		t.Errorf("best %d, as good from %d to %d; expected 3, 2 to 4 (the last is as good but not next to it)", o.Best, o.From, o.To)
	}
	if o := decide.Best(columns, nil, 25); o.Best != 3 || o.From != 1 || o.To != 4 {
		t.Errorf("with less than 25 not worth saying %d, from %d to %d; expected 3, 1 to 4", o.Best, o.From, o.To)
	}
	may := []bool{true, true, true, false, true, true, true}
	columns[2] = shifted(columns[2], 499.97)
	if o := decide.Best(columns, may, 0); o.Best != 2 || o.From != 2 || o.To != 2 {
		t.Errorf("without the fourth best %d, from %d to %d; expected 2 alone", o.Best, o.From, o.To)
	}
	if o := decide.Best(columns, make([]bool, len(at)), 0); o.Best != -1 {
		t.Errorf("none may be taken, but %d is best", o.Best)
	}
}

// shifted is x moved so that its mean is at m.
func shifted(x []float64, m float64) []float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	by := m - sum/float64(len(x))
	for k := range x {
		x[k] += by
	}
	return x
}

// The 95 % interval of a paired mean difference holds the true one in 95 of 100
// samples: 93 to 97 are accepted over 2,000 (false alarm below 1 in 1,000; the
// columns are lopsided).
func TestMeanErrorCovers(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for _, shared := range []float64{0, 0.9} {
		const samples, n = 2000, 400
		held := 0
		for range samples {
			d := make([]float64, n)
			for k := range d {
				a, b := r.NormFloat64(), r.NormFloat64()
				d[k] = 1 + math.Exp(0.5*(shared*a+math.Sqrt(1-shared*shared)*b)) - math.Exp(0.5*a)
			}
			sum := 0.0
			for _, x := range d {
				sum += x
			}
			if math.Abs(sum/n-1) <= decide.MeanError(d) {
				held++
			}
		}
		if share := float64(held) / samples; share < 0.93 || share > 0.97 {
			t.Errorf("shared luck %v: the interval holds the difference in %.3f of samples, expected 0.95", shared, share)
		}
	}
	if e := decide.MeanError(make([]float64, 19)); !math.IsInf(e, 1) {
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
