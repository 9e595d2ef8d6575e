// Package counts reads what quadrats say: the mean density of a patchy weed
// with its interval, how patchy it is, whether one side is really cleaner, and
// how many quadrats would tell.
//
// Counts are negative binomial about a common density: variance μ + μ²/k per
// quadrat (Anscombe 1949, Biometrics 5:165–173; weed seedlings: Johnson et al.
// 1996, Weed Science 44:555–559). Estimates are maximum likelihood. Intervals
// of the mean, of k and of a ratio of two sides are profile likelihood: the values
// whose best likelihood, with the others free, is within half a squared quantile
// of Student's t of the best of all (Venzon & Moolgavkar 1988, Appl. Stat. 37:87–94,
// with chi-square), so that zeros are taken for what they are.
package counts

import (
	"math"
	"slices"
)

// Quadrat is one quadrat counted.
type Quadrat struct {
	AreaM2 float64 // above 0
	N      int     // plants, heads or seedlings in it, 0 or more
}

// Interval is a value with the ends of its interval; High may be infinite.
type Interval struct{ Value, Low, High float64 }

// cell is quadrats of one size with one count: a field has far fewer of them
// than of quadrats, and a likelihood needs each only once.
type cell struct {
	area  float64 // m²
	n     float64
	times float64
}

// cells counts quadrats that are alike together, in order of first appearance.
func cells(q []Quadrat) []cell {
	at := map[Quadrat]int{}
	var out []cell
	for _, x := range q {
		i, seen := at[x]
		if !seen {
			i = len(out)
			at[x] = i
			out = append(out, cell{area: x.AreaM2, n: float64(x.N)})
		}
		out[i].times++
	}
	return out
}

// sums are the quadrats, their area in m² and what stood in them.
func sums(c []cell) (quadrats, area, n float64) {
	for _, x := range c {
		quadrats += x.times
		area += x.times * x.area
		n += x.times * x.n
	}
	return quadrats, area, n
}

// oneSize tells whether all quadrats are of one size.
func oneSize(c []cell) bool {
	return !slices.ContainsFunc(c, func(x cell) bool { return x.area != c[0].area })
}

// scaled multiplies every area by a factor.
func scaled(c []cell, by float64) []cell {
	out := make([]cell, len(c))
	for i, x := range c {
		x.area *= by
		out[i] = x
	}
	return out
}

// varToMean is the variance-to-mean ratio of counts brought to a typical
// quadrat; NaN with fewer than two quadrats and where nothing was found.
func varToMean(c []cell, typical float64) float64 {
	quadrats, _, _ := sums(c)
	var mean, s float64
	for _, x := range c {
		mean += x.times * x.n * typical / x.area / quadrats
	}
	for _, x := range c {
		s += x.times * math.Pow(x.n*typical/x.area-mean, 2)
	}
	if quadrats < 2 || mean == 0 {
		return math.NaN()
	}
	return s / (quadrats - 1) / mean
}
