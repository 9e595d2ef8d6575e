package weather

import "math"

// gammaShare is P(a, x), the regularised lower incomplete gamma function: its
// power series below a + 1, Legendre's continued fraction by Lentz's method
// above (Abramowitz & Stegun 1964, 6.5.29 and 6.5.31).
func gammaShare(a, x float64) float64 {
	if x <= 0 {
		return 0
	}
	lg, _ := math.Lgamma(a)
	return gammaShareOf(a, x, math.Exp(a*math.Log(x)-x-lg))
}

// gammaShareOf is P(a, x) of an x above 0; front is x times the density at x.
func gammaShareOf(a, x, front float64) float64 {
	if x < a+1 {
		term, sum := 1/a, 1/a
		for k := 1.0; term > 1e-16*sum; k++ {
			term *= x / (a + k)
			sum += term
		}
		return front * sum
	}
	return 1 - front*gammaFraction(a, x)
}

func gammaFraction(a, x float64) float64 {
	const tiny = 1e-300
	b := x + 1 - a
	c, d := 1/tiny, 1/b
	h := d
	for i := 1.0; i < 500; i++ {
		an := -i * (i - a)
		b += 2
		d = 1 / (an*d + b)
		c = b + an/c
		h *= d * c
		if math.Abs(d*c-1) < 1e-15 {
			break
		}
	}
	return h
}

// gammaQuantile inverts gammaShare by Newton steps in log x, kept between
// bounds that close in; from is a guess.
func gammaQuantile(a, p, from float64) float64 {
	lg, _ := math.Lgamma(a)
	return gammaQuantileOf(a, lg, p, from)
}

// gammaQuantileOf does so where lg, ln Γ(a), is at hand.
func gammaQuantileOf(a, lg, p, from float64) float64 {
	if small := math.Exp((math.Log(p*a) + lg) / a); small < 1e-3 || from <= 0 {
		from = small // P(a, x) ≈ x^a / (a Γ(a)) near zero
	}
	low, high := 0.0, math.Inf(1)
	x := from
	for range 100 {
		density := math.Exp(a*math.Log(x) - x - lg) // times x
		gap := gammaShareOf(a, x, density) - p
		if gap > 0 {
			high = x
		} else {
			low = x
		}
		next := x * math.Exp(min(1, max(-1, -gap/density)))
		if !(next > low && next < high) {
			next = (low + min(high, 2*x+1)) / 2
		}
		if math.Abs(next-x) <= 1e-7*x {
			return next
		}
		x = next
	}
	return x
}
