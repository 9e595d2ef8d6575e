package random_test

import (
	"math"
	"testing"
)

// The exact probabilities that the tests go by are SciPy's.
func TestExactLaws(t *testing.T) {
	laws := map[[3]any]*law{}
	for _, r := range readReference(t, "pmf") {
		key := [3]any{r.law, r.a, r.b}
		if laws[key] == nil {
			laws[key] = newLaw(t, r.law, r.a, r.b)
		}
		l := laws[key]
		i := int64(r.x) - l.first
		if i < 0 || i >= int64(len(l.pmf)) {
			t.Errorf("%v has no chance of %v; SciPy: %g", l, r.x, r.value)
			continue
		}
		// SciPy goes through differences of log-gamma: what is lost there grows
		// with the arguments.
		tolerance := 1e-11 + 1e-15*(r.a+r.b+r.x)
		if math.Abs(l.pmf[i]/r.value-1) > tolerance {
			t.Errorf("%v: chance of %v is %.12g, SciPy: %.12g", l, r.x, l.pmf[i], r.value)
		}
	}
}

// Up to a mean of 20 the samplers are exact.
func TestSearchExact(t *testing.T) {
	worst := 0.0
	for _, c := range []struct {
		name string
		a, b float64
	}{
		{"binomial", 1, 0.3}, {"binomial", 2, 0.5}, {"binomial", 40, 0.5}, {"binomial", 40, 0.51}, {"binomial", 100, 0.2},
		{"binomial", 30, 0.97}, {"binomial", 2047, 0.0097}, {"binomial", 2048, 0.0097}, {"binomial", 1e6, 2e-5},
		{"binomial", 1e6, 1e-8}, {"binomial", 1e6, 1 - 1e-5}, {"binomial", 1e15, 1e-14},
		{"poisson", 1e-9, 0}, {"poisson", 0.7, 0}, {"poisson", 20, 0},
		{"negbinomial", 3, 0.5}, {"negbinomial", 0.01, 0.2}, {"negbinomial", 20, 0.2}, {"negbinomial", 20, 30},
		{"negbinomial", 20, 1e9}, {"negbinomial", 60, 19}, {"negbinomial", 200, 2},
	} {
		l := newLaw(t, c.name, c.a, c.b)
		e := l.error()
		worst = max(worst, e)
		if e > 1e-11 {
			t.Errorf("%v: total error %.2g", l, e)
		}
	}
	t.Logf("greatest total error %.2g", worst)
}

// Above, the sum over all counts of the error of the Cornish–Fisher quantile is
// at most 6e-5·(20/m)², m the mean of the rarer outcome or, for the negative
// binomial, the smaller of mean and size: well below the 2e-4 that is promised
// at 20, and falling. The uniforms' own grain adds 1e-16 a count.
func TestCornishFisherError(t *testing.T) {
	const mean = 20.0001
	cases := []struct {
		name string
		a, b float64
	}{
		{"binomial", 41, mean / 41}, {"binomial", 41, 0.5}, {"binomial", 45, mean / 45}, {"binomial", 52, mean / 52},
		{"binomial", 60, mean / 60}, {"binomial", 80, mean / 80}, {"binomial", 120, mean / 120},
		{"binomial", 250, mean / 250}, {"binomial", 2000, mean / 2000}, {"binomial", 1e6, mean / 1e6},
		{"binomial", 1e15, mean / 1e15}, {"binomial", 100, 0.75}, {"binomial", 60, 0.5}, {"binomial", 150, 0.2},
		{"binomial", 200, 0.5}, {"binomial", 1000, 0.1}, {"binomial", 2000, 0.5}, {"binomial", 1e4, 0.1},
		{"binomial", 1e6, 0.5}, {"binomial", 1e6, 0.001}, {"binomial", 1e6, 0.99},
		{"poisson", mean, 0}, {"poisson", 35, 0}, {"poisson", 100, 0}, {"poisson", 1000, 0},
		{"negbinomial", mean, 20}, {"negbinomial", 60, 20}, {"negbinomial", 2000, 20}, {"negbinomial", mean, 50},
		{"negbinomial", 50, 50}, {"negbinomial", 500, 50}, {"negbinomial", 500, 400}, {"negbinomial", mean, 1e9},
		{"negbinomial", 1000, 1e6},
	}
	for _, c := range cases {
		l := newLaw(t, c.name, c.a, c.b)
		m := c.a
		switch c.name {
		case "binomial":
			m = c.a * min(c.b, 1-c.b)
		case "negbinomial":
			m = min(c.a, c.b)
		}
		bound := 6e-5*(20/m)*(20/m) + 1e-16*float64(len(l.pmf))
		e := l.error()
		t.Logf("%v: total error %.2g, bound %.2g", l, e, bound)
		if e > min(bound, 2e-4) {
			t.Errorf("%v: total error %.2g, at most %.2g expected", l, e, bound)
		}
	}
}
