package random

import "math"

// smallSize is the size below which a negative binomial is too skew for the
// Cornish–Fisher quantile.
const smallSize = 20

// NegativeBinomial is a negative binomial count with this mean and variance
// mean + mean²/size, by inversion of the one uniform u: the smallest k with
// u ≤ F(k), monotone in u. With a mean above 20 and a size of at least 20 it
// is the rounded Cornish–Fisher quantile, whose probabilities differ from the
// exact ones by at most 6e-5·(20/m)², m the smaller of mean and size, absolute
// differences summed over all k. Else it is exact; a large mean with a size
// below 20 then takes 1 to 10 microseconds.
//
// A mean below 0, as rounding makes it, counts as 0, and u outside (0,1) is
// clamped. An infinite size gives the Poisson law. NaN, a mean above 1e15 and
// a size not above 0 panic.
func NegativeBinomial(u, mean, size float64) int64 {
	u = inside(u, "NegativeBinomial")
	mean = checkMean(mean, "NegativeBinomial")
	switch {
	case !(size > 0):
		stop("NegativeBinomial", "the size", size, "above 0")
	case math.IsInf(size, 1):
		return Poisson(u, mean)
	case mean == 0:
		return 0
	}
	if mean > switchMean && size >= smallSize {
		a := mean / size
		b := 1 + a
		v := mean * b
		x := cornishFisher(tabledNormal(u), mean, v, v*(a+b), v*(1+6*a*b), v*(a+b)*(1+12*a*b))
		return nearest(x, math.MaxInt64)
	}
	return negBinomialSearch(u, mean, size)
}

// negBinomialSearch is the exact law: a search among the first counts, then
// halvings of an interval of the cdf.
func negBinomialSearch(u, mean, size float64) int64 {
	none := math.Exp(-size * math.Log1p(min(mean/size, math.MaxFloat64)))
	r := mean / (mean + size)
	// f(k)/f(k−1) = (size−1+k)/k · mean/(mean+size)
	k := search(u, none, (size-1)*r, r, searchReach)
	if k <= searchReach {
		return k
	}
	if size >= smallSize { // and a mean of at most 20: less than 1e-17 lies beyond
		return searchReach
	}
	return negBinomialHalving(u, mean, size)
}

// negBinomialHalving finds the smallest k > searchReach with u ≤ F(k). It only
// ever asks at doublings and at their halvings, which are the same for every
// u: so the result is monotone in u whatever the rounding error of F.
func negBinomialHalving(u, mean, size float64) int64 {
	low, high := int64(searchReach), int64(searchReach+1)
	for negBinomialCDF(high, mean, size) < u {
		if high > math.MaxInt64/2 {
			return math.MaxInt64
		}
		low, high = high, 2*high
	}
	for high-low > 1 {
		mid := low + (high-low)/2
		if negBinomialCDF(mid, mean, size) < u {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// negBinomialCDF is F(k) for k > 100 and size < smallSize: the incomplete beta
// function I_x(size, k+1), x = size/(size+mean), by its series of positive
// terms (DLMF 8.17.8). Its absolute error is below 1e-12.
func negBinomialCDF(k int64, mean, size float64) float64 {
	b := float64(k) + 1
	x := size / (size + mean)
	if b*x > 200 { // more than 1 − 1e-40 for such a size
		return 1
	}
	// ln Γ(b+size) − ln Γ(b) as a difference of Stirling series, which loses
	// no digits when b is large.
	c := b + size
	gammas := (b-0.5)*math.Log1p(size/b) - size + stirling(c) - stirling(b)
	logGammaSize, _ := math.Lgamma(size + 1)
	front := math.Exp(size*math.Log(c*x) + gammas - b*math.Log1p(size/mean) - logGammaSize)
	term, sum := 1.0, 1.0
	for n := 1.0; term > 1e-17*sum; n++ {
		term *= (c + n - 1) / (size + n) * x
		sum += term
	}
	return min(front*sum, 1)
}

// stirling is the error of Stirling's formula for ln Γ(z), z > 100.
func stirling(z float64) float64 {
	r := 1 / (z * z)
	return (1.0/12 - r*(1.0/360-r/1260)) / z
}
