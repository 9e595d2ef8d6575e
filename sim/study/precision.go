package study

import (
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// quantileInterval is a distribution-free confidence interval of the quantile
// p from the order statistics of a sample (Conover 1999, Practical
// Nonparametric Statistics, 3rd ed., section 3.2): the number of values below
// the quantile is binomial (n, p). An end is infinite where the sample is too
// small to give one.
func quantileInterval(sample []float64, p, level float64) (low, high float64) {
	x := slices.DeleteFunc(slices.Clone(sample), math.IsNaN)
	slices.Sort(x)
	r, s := orderRanks(len(x), p, level)
	low, high = math.Inf(-1), math.Inf(1)
	if r >= 1 {
		low = x[r-1]
	}
	if s <= len(x) {
		high = x[s-1]
	}
	return low, high
}

// orderRanks are the ranks (from 1) of the values that enclose the quantile p
// with at least the confidence level: r the largest with P(B < r) ≤ α/2, s the
// smallest with P(B ≥ s) ≤ α/2, B binomial (n, p). r is 0 and s is n + 1 where
// there is none.
func orderRanks(n int, p, level float64) (r, s int) {
	b := distuv.Binomial{N: float64(n), P: p}
	tail := (1 - level) / 2
	r = sort.Search(n, func(k int) bool { return b.CDF(float64(k)) > tail }) // P(B ≤ k) > tail first at k = r
	s = 1 + sort.Search(n, func(k int) bool { return b.CDF(float64(k)) >= 1-tail })
	return r, s
}
