package random

import "math"

// Binomial is the number of successes in n trials of chance p, by inversion of
// the one uniform u: the smallest k with u ≤ F(k), monotone in u. When the
// rarer outcome is expected m ≤ 20 times this is exact; above, it is the rounded
// Cornish–Fisher quantile, whose probabilities differ from the exact ones by
// at most 6e-5·(20/m)², absolute differences summed over all k.
//
// n is 0 to 1e15. p outside [0,1], as rounding makes it, is clamped, and u
// outside (0,1) too; NaN, and n out of range, panic.
func Binomial(u float64, n int64, p float64) int64 {
	u = inside(u, "Binomial")
	if n < 0 || n > maxCount {
		stop("Binomial", "the number of trials", float64(n), "0 to 1e15")
	}
	switch {
	case p <= 0.5:
		return rarer(u, n, p)
	case p > 0.5:
		return n - rarer(1-u, n, 1-p)
	}
	stop("Binomial", "the chance", p, "a number from 0 to 1")
	return 0
}

// None tells of some draws of Binomial that it will be 0, in no time: of those where u is not above 1 − n·p, which
// the chance of none is never below. u is inside (0,1).
func None(u float64, n int64, p float64) bool { return u <= 1-float64(n)*p }

// rarer is Binomial for p ≤ ½.
func rarer(u float64, n int64, p float64) int64 {
	if p <= 0 {
		return 0
	}
	mean := float64(n) * p
	if u <= 1-mean { // no more than the chance of none, (1−p)ⁿ
		return 0
	}
	if mean <= switchMean {
		return binomialSearch(u, n, p, mean)
	}
	z := tabledNormal(u) // first, so that nothing has to be put aside
	q := 1 - p
	v := mean * q
	pq := p * q
	x := cornishFisher(z, mean, v, v*(q-p), v*(1-6*pq), v*(q-p)*(1-12*pq))
	return nearest(x, n)
}

// binomialSearch is Binomial for p ≤ ½ and a mean of at most 20, exact but for
// rounding (at most 1e-11 summed over all k).
func binomialSearch(u float64, n int64, p, mean float64) int64 {
	odds := p / (1 - p)
	last := min(n, furthest(mean))
	// f(k)/f(k−1) = (n+1−k)/k · p/q
	return min(search(u, noSuccess(n, p), float64(n+1)*odds, -odds, last), last)
}

// noSuccess is (1−p)ⁿ for n·p ≤ 20: few trials by squaring, which takes a
// third of the time of a logarithm and an exponential; many by the series of
// ln(1−p), p being below 0.01.
func noSuccess(n int64, p float64) float64 {
	if n < 2048 {
		product, q := 1.0, 1-p
		for ; n > 0; n >>= 1 {
			product *= [2]float64{1, q}[n&1]
			q *= q
		}
		return product
	}
	p2 := p * p
	p4 := p2 * p2
	series := (1 + p*(1.0/2)) + p2*(1.0/3+p*(1.0/4)) + p4*((1.0/5+p*(1.0/6))+p2*(1.0/7+p*(1.0/8)))
	return math.Exp(-float64(n) * p * series)
}
