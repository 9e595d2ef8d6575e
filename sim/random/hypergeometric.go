package random

import "math"

// Hypergeometric is how many of n taken at random from all are of a sort that has marked
// of them, by inversion of the one uniform u, monotone in it. Where it is expected at most
// 20 times (in all four ways to put the question) this is exact to 1e-9; above, it is the
// rounded Cornish–Fisher quantile with the first four cumulants of the law.
//
// all is 0 to 1e15, marked and n are 0 to all. u outside (0,1) is clamped; counts out of
// range and NaN panic.
func Hypergeometric(u float64, all, marked, n int64) int64 {
	u = inside(u, "Hypergeometric")
	if all < 0 || all > maxCount || marked < 0 || marked > all || n < 0 || n > all {
		stop("Hypergeometric", "a count", float64(marked), "0 to the number of all, itself at most 1e15")
	}
	switch {
	case marked == 0 || n == 0:
		return 0
	case n == all:
		return marked
	case marked == all:
		return n
	case 2*n > all: // those left behind are fewer
		return marked - Hypergeometric(1-u, all, marked, all-n)
	case 2*marked > all:
		return n - Hypergeometric(1-u, all, all-marked, n)
	}
	mean := float64(n) / float64(all) * float64(marked)
	if u <= 1-mean { // no more than the chance of none
		return 0
	}
	few, many := min(n, marked), max(n, marked)
	if mean <= switchMean {
		return drawFew(u, all, few, many, mean)
	}
	return nearest(hypergeometricQuantile(u, float64(all), float64(marked), float64(n), mean), few)
}

// drawFew adds up probabilities. The law is the same for few marked and many taken as for
// many marked and few taken.
func drawFew(u float64, all, few, many int64, mean float64) int64 {
	f := noneOf(all, few, many)
	sum, last := f, min(few, furthest(mean))
	k := int64(0)
	for ; sum < u && k < last; k++ {
		f *= float64(few-k) * float64(many-k) / (float64(k+1) * float64(all-few-many+k+1))
		sum += f
	}
	return k
}

// noneOf is the chance that none of many is among few: Π (1 − many/(all − i)), few factors.
// Longer products go by Stirling's series, in logarithms of ratios so that no digits cancel.
func noneOf(all, few, many int64) float64 {
	if few <= 6 || all < 2000 {
		p := 1.0
		for i := range few {
			p *= 1 - float64(many)/float64(all-i)
		}
		return p
	}
	k, a, b := float64(few), float64(all-many), float64(all)
	over, of := 1/a, 1/b
	x, y := lessOf(k*over), lessOf(k*of)
	log := k*lessOf(float64(many)*of) - (a-k)*x + (b-k)*y + (y-x)/2 - k*(over/(a-k)-of/(b-k))/12
	return math.Exp(log)
}

// lessOf is ln(1 − x).
func lessOf(x float64) float64 {
	if x > 1e-3 {
		return math.Log1p(-x)
	}
	return -x * (1 + x*(1.0/2+x*(1.0/3+x*(1.0/4+x*(1.0/5)))))
}

// hypergeometricQuantile is the Cornish–Fisher quantile.
func hypergeometricQuantile(u, all, marked, n, mean float64) float64 {
	p := marked / all
	v := mean * (1 - p) * (all - n) / (all - 1)
	k3 := v * (1 - 2*p) * (all - 2*n) / (all - 2)
	q := n / all
	over, of := p*(1-p), q*(1-q)
	excess := ((all-1)*(1+1/all-6*over-6*of) + 6*over*of*(5*all-6)) / (over * of * (all - 2) * (all - 3))
	return cornishFisher(tabledNormal(u), mean, v, k3, excess*v*v, 0)
}
