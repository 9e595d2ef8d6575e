package random

import "math"

// Poisson is a Poisson count by inversion of the one uniform u: the smallest k
// with u ≤ F(k), monotone in u. It is exact up to a mean of 20; above, it is
// the rounded Cornish–Fisher quantile, whose probabilities differ from the
// exact ones by at most 6e-5·(20/mean)², absolute differences summed over all k.
//
// A mean below 0, as rounding makes it, counts as 0, and u outside (0,1) is
// clamped; NaN, and a mean above 1e15, panic.
func Poisson(u, mean float64) int64 {
	u = inside(u, "Poisson")
	mean = checkMean(mean, "Poisson")
	if mean > switchMean {
		return nearest(cornishFisher(tabledNormal(u), mean, mean, mean, mean, mean), math.MaxInt64)
	}
	last := furthest(mean)
	return min(search(u, math.Exp(-mean), mean, 0, last), last) // f(k)/f(k−1) = mean/k
}
