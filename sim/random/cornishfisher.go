package random

import "math"

// switchMean is the mean (of the rarer outcome, for a binomial) above which
// the Cornish–Fisher quantile replaces the sequential search.
const switchMean = 20

// cornishFisher is the continuous quantile, at z of the standard normal, whose rounding to the nearest
// whole number gives the law of a count with these cumulants: the expansion
// of Cornish & Fisher (1937, Revue de l'Institut International de Statistique
// 5:307–320; polynomials as in Abramowitz & Stegun 1964, 26.2.49) to third
// order, that is, to the terms in the fifth cumulant.
//
// A count has mass on whole numbers only. By the Euler–Maclaurin sum its cdf
// at k+½ is that of a smooth law whose second and fourth cumulants carry
// Sheppard's corrections −1/12 and +1/120 (Kolassa & McCullagh 1990, Annals
// of Statistics 18:981–985). The second is as small as the first term left out.
func cornishFisher(z, k1, k2, k3, k4, k5 float64) float64 {
	k2 -= 1.0 / 12
	k4 += 1.0 / 120
	sd, over := math.Sqrt(k2), 1/k2 // side by side
	per := sd * over
	g1 := k3 * over * per
	g2 := k4 * over * over
	g3 := k5 * over * over * per

	z2 := z * z
	g11 := g1 * g1
	w := z + g1*(z2-1)*(1.0/6) +
		z*(g2*(z2-3)*(1.0/24)-g11*(2*z2-5)*(1.0/36)) +
		(g3*((z2-6)*z2+3)*(1.0/120) - g1*g2*((z2-5)*z2+2)*(1.0/24) + g11*g1*((12*z2-53)*z2+17)*(1.0/324))
	return k1 + sd*w
}

// nearest rounds x to a whole number within 0 and top.
func nearest(x float64, top int64) int64 {
	x += 0.5
	if x < 1 {
		return 0
	}
	return min(int64(x), top)
}
