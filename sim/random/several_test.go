package random_test

import (
	"math"
	"testing"

	"rundown/sim/random"
)

// The sum of several binomials against its exact law, which is made trial by trial: the sum over all counts
// of the errors is at most 6e-5·(32/v)², v the variance, from the least that counts as many, for which that is less than
// what the other samplers are allowed.
func TestSeveral(t *testing.T) {
	for _, c := range []struct {
		name   string
		trials []int64
		chance []float64
	}{
		{"one", []int64{165}, []float64{0.5}},
		{"halves and near certain", []int64{160, 300}, []float64{0.5, 0.995}},
		{"rare and common", []int64{4000, 120}, []float64{0.005, 0.7}},
		{"rare both ways", []int64{1800, 1800}, []float64{0.0115, 0.9885}},
		{"many kinds", []int64{35, 35, 35, 35, 35, 35, 35, 35}, []float64{0.03, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.97}},
		{"certain and none beside", []int64{170, 50, 70}, []float64{0.4, 1, 0}},
		{"wide", []int64{400, 300, 1500}, []float64{0.2, 0.9, 0.05}},
	} {
		var s random.Several
		pmf, variance := []float64{1}, 0.0
		for i, n := range c.trials {
			s.Add(n, c.chance[i])
			variance += float64(n) * c.chance[i] * (1 - c.chance[i])
			for range n {
				next := make([]float64, len(pmf)+1)
				for k, f := range pmf {
					next[k] += f * (1 - c.chance[i])
					next[k+1] += f * c.chance[i]
				}
				pmf = next
			}
		}
		l := law{name: c.name, draw: s.Draw, pmf: pmf}
		bound := 6e-5*(32/variance)*(32/variance) + 1e-16*float64(len(pmf))
		e := l.error()
		t.Logf("%s, variance %.1f: total error %.2g, bound %.2g", c.name, variance, e, bound)
		if !s.Many() || s.Trials() != int64(len(pmf)-1) || e > bound {
			t.Errorf("%s: %d trials, many: %v, total error %.2g, at most %.2g expected", c.name, s.Trials(), s.Many(), e, bound)
		}
	}
	var few random.Several
	few.Add(150, 0.5)
	if few.Add(10, math.Nextafter(1, 2)); few.Many() || few.Trials() != 160 {
		t.Errorf("150 trials of a half, and 10 that rounding has made more than certain, are many: %v", few)
	}
}
