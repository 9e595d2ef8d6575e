package counts

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The ratio of two sides with its interval against R's (testdata/counts).
func TestCompareAgainstR(t *testing.T) {
	s, want := sides(t), reference(t)["side-by-side"]
	c := Compare(s["with cover"], s["without cover"], 0.9)
	near(t, "ratio", c.Value, want["ratio"])
	near(t, "ratio, by glm.nb", c.Value, want["glm_nb_ratio"])
	near(t, "lower end", c.Low, want["ratio_low"])
	near(t, "upper end", c.High, want["ratio_high"])
	near(t, "how sure", c.Cleaner, want["cleaner"])
	back := Compare(s["without cover"], s["with cover"], 0.9)
	near(t, "ratio the other way", back.Value, 1/want["ratio"])
	near(t, "how sure the other way", back.Cleaner, 1-c.Cleaner)
}

// What a trial can and cannot tell.
func TestCompare(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	empty := func(n int) []Quadrat { return draw(r, n, 0.25, 0, 1) }
	for _, c := range []struct {
		why         string
		side, other []Quadrat
		settled     bool
		least, most float64 // of how sure one is
	}{
		{"a third of the plants", draw(r, 80, 0.25, 10, 0.8), draw(r, 80, 0.25, 30, 0.8), true, 0.99, 1},
		{"three times the plants", draw(r, 80, 0.25, 30, 0.8), draw(r, 80, 0.25, 10, 0.8), true, 0, 0.01},
		{"nothing against a few", empty(40), draw(r, 40, 0.25, 20, 0.8), true, 0.999, 1},
		{"nothing against one plant", empty(40), append(empty(39), Quadrat{0.25, 1}), false, 0.5, 0.95},
	} {
		x := Compare(c.side, c.other, 0.9)
		if (x.MoreNeeded == 0) != c.settled || x.Cleaner < c.least || x.Cleaner > c.most || !(x.Low <= x.Value && x.Value <= x.High) {
			t.Errorf("%s: %+v", c.why, x)
		}
	}
	if x := Compare(empty(10), empty(20), 0.9); x.Cleaner != 0.5 || x.MoreNeeded != -1 || x.Low != 0 || !math.IsInf(x.High, 1) {
		t.Errorf("nothing on either side: %+v", x)
	}
	one := Compare(empty(40), draw(r, 40, 0.25, 20, 0.8), 0.9)
	if one.Value != 0 || one.Low != 0 || !(one.High > 0 && one.High < 0.2) {
		t.Errorf("an empty side: %+v", one)
	}
}

// A ratio never says more of an empty side than that side's own limit does (by
// NoneUpper: the rule of three where even), and the other way round the same.
func TestEmptySide(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	for _, n := range []int{6, 24, 200} {
		for _, k := range []float64{0.3, 2, 1e5} {
			none, some := draw(r, n, 0.25, 0, 1), draw(r, n, 0.25, 24, k)
			x, back := Compare(none, some, 0.9), Compare(some, none, 0.9)
			mean := Estimate(some, 0.9).MeanPerM2.Value
			if least := NoneUpper(none, 1e5, 0.9) / mean; x.Value != 0 || x.High < least {
				t.Errorf("%d quadrats, k %g: at most %.4f times the density, the rule of three says %.4f", n, k, x.High, least)
			}
			if math.Abs(back.Low*x.High-1) > 1e-6 || !math.IsInf(back.High, 1) {
				t.Errorf("%d quadrats, k %g: %+v, the other way %+v", n, k, x, back)
			}
		}
	}
}

// With as many further quadrats as were asked for, most like trials are settled:
// half of them, when the ratio is as it was found. 100 trials know a half to
// 5 %: the bar is four of those.
func TestMoreNeeded(t *testing.T) {
	if testing.Short() {
		t.Skip("a second")
	}
	const n = 40 // quadrats a side, 10 a quadrat, ratio 1.5
	found := evidence{quadrats: [2]float64{n, n}, root: math.Log(1.5) / math.Sqrt(2*(1.0/(10*n)+1/(0.8*n)))}
	more := found.more()
	r := rand.New(rand.NewPCG(8, 8))
	settled := 0
	const trials = 100
	for range trials {
		if Compare(draw(r, n+more, 0.25, 40, 0.8), draw(r, n+more, 0.25, 60, 0.8), 0.9).MoreNeeded == 0 {
			settled++
		}
	}
	if s := float64(settled) / trials; s < 0.3 || s > 0.7 {
		t.Errorf("with %d more quadrats a side %.2f of trials are settled, expected about a half", more, s)
	}
}

// Four empty quadrats against one plant in each of two are no 99 %, and a single
// quadrat a side, or few that are far apart, settles nothing.
func TestFewQuadrats(t *testing.T) {
	want := reference(t)["few"]
	few := Compare(quadratsOf(0, 0, 0, 0), quadratsOf(1, 1), 0.9)
	near(t, "how sure of four empty quadrats against two plants", few.Cleaner, want["cleaner"])
	if two := Compare(quadratsOf(0, 0, 0, 0), quadratsOf(2, 2), 0.9); few.MoreNeeded < FewestToSettle-2 || two.MoreNeeded < FewestToSettle-2 ||
		two.Cleaner >= 0.99 {
		t.Errorf("four empty quadrats against two with a plant or two each: %+v and %+v", few, two)
	}
	if x := Compare(quadratsOf(0, 0, 0, 1), quadratsOf(900, 800, 1000, 900), 0.9); x.Cleaner < 0.99 || x.MoreNeeded != FewestToSettle-4 {
		t.Errorf("four quadrats a side, far apart: %+v, expected to be sure and not settled", x)
	}
	if x := Compare(quadratsOf(0), quadratsOf(1000), 0.9); x.Cleaner != 0.5 || x.MoreNeeded != -1 || !math.IsInf(x.High, 1) {
		t.Errorf("a quadrat a side: %+v", x)
	}
}

// How many more, by R's pt (testdata/counts/reference.R).
func TestMoreAgainstR(t *testing.T) {
	e := evidence{quadrats: [2]float64{40, 40}, root: 1}
	if got, want := e.more(), int(reference(t)["root of 1"]["more"]); got != want {
		t.Errorf("%d more quadrats, R gives %d", got, want)
	}
	if e.root = 0; e.more() != -1 {
		t.Errorf("equal as found: %d more quadrats would settle it", e.more())
	}
}

// quadratsOf are quadrats of 0.25 m² with these counts.
func quadratsOf(n ...int) (q []Quadrat) {
	for _, x := range n {
		q = append(q, Quadrat{0.25, x})
	}
	return q
}
