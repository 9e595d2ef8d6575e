package random_test

import (
	"math"
	"testing"

	"rundown/sim/random"
)

// Draws fall into cells with the chances that SciPy gives (testdata/
// reference.csv), the tails included: one chi-square test per law, 28 in all,
// each with a false-alarm rate of 1e-4.
func TestDrawsChiSquare(t *testing.T) {
	const draws = 200_000 // as in reference.py
	cells := map[[3]any][]row{}
	for _, r := range readReference(t, "cell") {
		key := [3]any{r.law, r.a, r.b}
		cells[key] = append(cells[key], r)
	}
	for key, rows := range cells {
		l := newLaw(t, rows[0].law, rows[0].a, rows[0].b)
		luck := random.Root(20, random.Chance, 0).WithText(l.String())
		counts := make([]int, len(rows))
		for i := range uint64(draws) {
			k := float64(l.draw(luck.Uniform(i)))
			cell := 0
			for !rows[cell].openTop && k > rows[cell].y {
				cell++
			}
			counts[cell]++
		}
		x := 0.0
		for i, r := range rows {
			d := float64(counts[i]) - draws*r.value
			x += d * d / (draws * r.value)
		}
		if limit := critical(t, "chi2", len(rows)-1); x > limit {
			t.Errorf("%v: chi-square %.1f, limit %.1f", key, x, limit)
		}
	}
}

// Quantiles are SciPy's. Where they differ, u must lie next to the step of the
// cdf between the two: within rounding for the exact samplers, within half the
// promised total error for the others.
func TestQuantiles(t *testing.T) {
	laws := map[[3]any]*law{}
	for _, r := range readReference(t, "quantile") {
		if r.law == "normal" {
			if z := random.Normal(r.x); math.Abs(z-r.value) > 4e-16*max(1, math.Abs(r.value)) {
				t.Errorf("Normal(%v) is %.17g, SciPy: %.17g", r.x, z, r.value)
			}
			continue
		}
		key := [3]any{r.law, r.a, r.b}
		if laws[key] == nil {
			laws[key] = newLaw(t, r.law, r.a, r.b)
		}
		l := laws[key]
		k, want := l.draw(r.x), int64(r.value)
		if k == want {
			continue
		}
		step := math.Abs(l.cumulative(min(k, want)) - r.x)
		if max(k, want)-min(k, want) > 1 || step > 3e-5 || l.exact() && step > 1e-11 {
			t.Errorf("%v: quantile %v is %d, SciPy: %d", l, r.x, k, want)
		}
	}
}

// exact tells the laws that are searched from those that are expanded.
func (l *law) exact() bool {
	switch l.name {
	case "binomial":
		return l.a*min(l.b, 1-l.b) <= 20
	case "poisson":
		return l.a <= 20
	}
	return l.a <= 20 || l.b < 20
}

// Published values, as R gives them: dbinom, pbinom, qbinom, dnbinom.
func TestPublishedValues(t *testing.T) {
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 6e-8 { // seven digits
			t.Errorf("%s is %.8f, want %.7f", what, got, want)
		}
	}
	b := newLaw(t, "binomial", 10, 0.2)
	near("dbinom(3, 10, 0.2)", b.drawn(3)-b.drawn(2), 0.2013266)
	near("pbinom(3, 10, 0.2)", b.drawn(3), 0.8791261)
	if k := random.Binomial(0.95, 100, 0.03); k != 6 {
		t.Errorf("qbinom(0.95, 100, 0.03) is %d, want 6", k)
	}
	n := newLaw(t, "negbinomial", 3, 0.5)
	before := 0.0
	for k, want := range []float64{.3779645, .1619848, .1041331, .0743808, .0557856, .0430346} {
		below := n.drawn(int64(k))
		near("dnbinom(k, size 0.5, mean 3)", below-before, want)
		before = below
	}
}
