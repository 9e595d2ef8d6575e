package counts

import (
	"math"
	"slices"
)

// Ratio compares the density of one side with that of another.
type Ratio struct {
	Interval           // of side over other; 0 where nothing was found on the side, infinite where nothing was on the other
	Cleaner    float64 // how sure one can be that the side is cleaner, 0..1; ½ where nothing was found at all
	MoreNeeded int     // further quadrats on each side that would settle it at 95 %, were the ratio as found; 0 when settled, −1 when it cannot be said
}

// settled is how many standard errors settle a comparison: 95 %, two-sided.
const settled = 1.96

// FewestToSettle is the fewest quadrats a side with which a comparison can be
// called settled: with fewer the likelihood ratio is too sure of itself
// (TestEqualSidesAreSeldomSettled measures how often equal sides would be).
const FewestToSettle = 20

// mostMore is beyond how many further quadrats nothing is said of them.
const mostMore = 100000

// leastRatio and mostRatio are the ends of what is searched for a ratio.
const (
	leastRatio = 1e-6
	mostRatio  = 1e6
)

// Compare is the ratio of densities from a negative-binomial model with one
// patchiness for both sides: profile likelihood over that and the density. How
// sure one can be is Φ of the signed root of the likelihood ratio against equal
// densities (the directed deviance: Barndorff-Nielsen & Cox 1994, Inference and
// Asymptotics, §4.2; from memory).
func Compare(side, other []Quadrat, level float64) Ratio {
	a, b := cells(side), cells(other)
	na, areaA, sumA := sums(a)
	nb, areaB, sumB := sums(b)
	if sumA+sumB == 0 || na == 0 || nb == 0 {
		return Ratio{Interval: Interval{math.NaN(), 0, math.Inf(1)}, Cleaner: 0.5, MoreNeeded: -1}
	}
	profile := func(r float64) float64 { _, l := bestK(slices.Concat(scaled(a, r), b)); return l }
	// The start is the ratio of the plain means; an empty side is looked at from
	// where it would have half a plant.
	start := (math.Max(sumA, 0.5) / areaA) / (math.Max(sumB, 0.5) / areaB)
	r, top := start, 0.0
	switch {
	case sumA == 0:
		r, top = 0, profile(leastRatio*start)
	case sumB == 0:
		r, top = math.Inf(1), profile(mostRatio*start)
	default:
		r, top = peak(start, profile)
	}
	z := normalAt(level)
	low, high := 0.0, math.Inf(1)
	if sumA > 0 {
		low = edge(math.Min(r, mostRatio*start), 0.5, profile, top-z*z/2, leastRatio*start, mostRatio*start)
	}
	if sumB > 0 {
		high = edge(math.Max(r, leastRatio*start), 2, profile, top-z*z/2, leastRatio*start, mostRatio*start)
	}
	root := math.Sqrt(math.Max(0, 2*(top-profile(1))))
	if r > 1 {
		root = -root
	}
	return Ratio{Interval: Interval{r, low, high}, Cleaner: 0.5 * math.Erfc(-root/math.Sqrt2), MoreNeeded: more(math.Abs(root), (na+nb)/2)}
}

// peak is the top of a profile near a start, by a golden section search on a
// log scale: with quadrats of several sizes it is not quite the ratio of means.
func peak(start float64, profile func(float64) float64) (at, top float64) {
	lo, hi := math.Log(start)-0.7, math.Log(start)+0.7
	g := (math.Sqrt(5) - 1) / 2
	f := func(x float64) float64 { return profile(math.Exp(x)) }
	a, b := hi-g*(hi-lo), lo+g*(hi-lo)
	fa, fb := f(a), f(b)
	for hi-lo > 1e-5 {
		if fa > fb {
			hi, b, fb = b, a, fa
			a = hi - g*(hi-lo)
			fa = f(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + g*(hi-lo)
			fb = f(b)
		}
	}
	x := (lo + hi) / 2
	return math.Exp(x), f(x)
}

// more is how many further quadrats a side would settle a comparison that now
// lies so many standard errors from equal.
func more(errors, quadrats float64) int {
	if errors >= settled {
		return 0
	}
	further := math.Ceil((math.Pow(settled/errors, 2) - 1) * quadrats) // the standard error falls as the root of their number
	if !(further <= mostMore) {
		return -1
	}
	return int(math.Max(further, 1))
}
