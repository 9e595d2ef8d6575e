package counts

import (
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// Ratio compares the density of one side with that of another.
type Ratio struct {
	Interval           // of side over other; 0 where nothing was found on the side, infinite where nothing was on the other
	Cleaner    float64 // how sure one can be that the side is cleaner, 0..1; ½ where nothing was found at all and where each side has one quadrat
	MoreNeeded int     // further quadrats on each side that would settle it at 95 %, were the ratio as found; 0 when settled, −1 when it cannot be said
}

// settled is how sure one must be, of one side, for a comparison to be settled:
// 95 %, two-sided.
const settled = 0.975

// FewestToSettle is the fewest quadrats on each side that settle a comparison:
// fewer do not show whether the counts are as patchy as the likelihood takes
// them to be, however far apart the sides are.
const FewestToSettle = 10

// mostMore is beyond how many further quadrats nothing is said of them.
const mostMore = 100000

// leastRatio and mostRatio are the ends of what is searched for a ratio, of that
// of the plain means.
const (
	leastRatio = 1e-6
	mostRatio  = 1e6
)

// Compare is the ratio of densities from a negative-binomial model with one
// patchiness for both sides: profile likelihood over that and the density.
//
// The signed root of the likelihood ratio (the directed deviance:
// Barndorff-Nielsen & Cox 1994, Inference and Asymptotics, §4.2; from memory) is
// read as Student's t with n − 2 degrees of freedom, n quadrats and two densities
// fitted, in the interval too, and not as a normal deviate: the patchiness is
// estimated from the same quadrats, as a dispersion is when deviances are read as
// F and not as chi-square (McCullagh & Nelder 1989, Generalized Linear Models;
// Venables & Ripley 2002, Modern Applied Statistics with S, ch. 7; both from
// memory). For counts that is an approximation; TestEqualSides measures it.
func Compare(side, other []Quadrat, level float64) Ratio {
	e := weigh(cells(side), cells(other))
	if !e.found || e.freedom() < 1 {
		return Ratio{Interval: Interval{e.ratio, 0, math.Inf(1)}, Cleaner: 0.5, MoreNeeded: -1}
	}
	t := student(e.freedom()).Quantile((1 + level) / 2)
	drop := t * t / 2
	if e.ratio == 0 || math.IsInf(e.ratio, 1) { // at the end of the scale: that all are empty has what is left of the level
		drop = math.Max(drop, -math.Log((1-level)/2))
	}
	fall, least, most := e.top-drop, leastRatio*e.start, mostRatio*e.start
	low, high := 0.0, math.Inf(1)
	if e.ratio > 0 {
		if x := edge(math.Min(e.ratio, most), 0.5, e.profile, fall, least, most); x > least {
			low = x
		}
	}
	if !math.IsInf(e.ratio, 1) {
		if x := edge(math.Max(e.ratio, least), 2, e.profile, fall, least, most); x < most {
			high = x
		}
	}
	switch {
	case e.ratio == 0:
		high = math.Max(high, emptyAgainst(side, other, level))
	case math.IsInf(e.ratio, 1):
		low = math.Min(low, 1/emptyAgainst(other, side, level))
	}
	return Ratio{Interval: Interval{e.ratio, low, high}, Cleaner: e.cleaner(), MoreNeeded: e.more()}
}

// emptyAgainst is the upper limit of an empty side's density by NoneUpper, as
// patchy as the other side at least, over what the other is likeliest to have: a
// ratio never says more of an empty side than its own limit does.
func emptyAgainst(empty, other []Quadrat, level float64) float64 {
	c := cells(other)
	k, _ := bestK(c)
	return NoneUpper(empty, math.Min(k, AssumedK), level) / meanGiven(c, k)
}

// evidence is what the quadrats of two sides say of the ratio of their densities.
type evidence struct {
	quadrats [2]float64            // of the side and of the other
	found    bool                  // something was, on either side
	profile  func(float64) float64 // best log likelihood at a ratio
	start    float64               // ratio of the plain means, an empty side taken for half a plant
	ratio    float64               // most likely; 0 or infinite with an empty side, NaN where nothing was found
	top      float64               // log likelihood there
	root     float64               // signed root of the likelihood ratio against equal densities; above 0: the side is cleaner
}

// weigh finds the most likely ratio of a side over another and how far it lies
// from equal densities.
func weigh(side, other []cell) evidence {
	na, areaA, sumA := sums(side)
	nb, areaB, sumB := sums(other)
	e := evidence{quadrats: [2]float64{na, nb}, found: sumA+sumB > 0, ratio: math.NaN()}
	if !e.found || na == 0 || nb == 0 {
		return e
	}
	e.profile = func(r float64) float64 { _, l := bestK(slices.Concat(scaled(side, r), other)); return l }
	e.start = (math.Max(sumA, 0.5) / areaA) / (math.Max(sumB, 0.5) / areaB)
	switch {
	case sumA == 0:
		e.ratio, e.top = 0, e.profile(leastRatio*e.start)
	case sumB == 0:
		e.ratio, e.top = math.Inf(1), e.profile(mostRatio*e.start)
	case oneSize(side) && oneSize(other):
		e.ratio, e.top = e.start, e.profile(e.start) // the plain means, whatever the patchiness
	default:
		e.ratio, e.top = peak(e.start, e.profile)
	}
	e.root = math.Sqrt(math.Max(0, 2*(e.top-e.profile(1))))
	if e.ratio > 1 {
		e.root = -e.root
	}
	return e
}

// freedom is the degrees of freedom that two densities leave; below 1 with a
// quadrat on each side or none on one.
func (e *evidence) freedom() float64 {
	if e.quadrats[0] == 0 || e.quadrats[1] == 0 {
		return 0
	}
	return e.quadrats[0] + e.quadrats[1] - 2
}

// cleaner is how sure one can be that the side is.
func (e *evidence) cleaner() float64 { return student(e.freedom()).CDF(e.root) }

// more is how many further quadrats on each side would settle it, were what they
// say as what was found: the root grows as that of their number.
func (e *evidence) more() int {
	n := e.quadrats[0] + e.quadrats[1]
	settles := func(further int) bool {
		all := n + 2*float64(further)
		return math.Min(e.quadrats[0], e.quadrats[1])+float64(further) >= FewestToSettle &&
			student(all-2).CDF(math.Abs(e.root)*math.Sqrt(all/n)) >= settled
	}
	further := sort.Search(mostMore+1, settles)
	if further > mostMore {
		return -1
	}
	return further
}

func student(freedom float64) distuv.StudentsT {
	return distuv.StudentsT{Sigma: 1, Nu: freedom}
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
