package counts

import "math"

// Patchiest and most even k that are told apart.
const (
	leastK = 1e-3
	mostK  = 1e4
)

// LogProb is the log probability of a count under a negative binomial with mean
// mu and size k; k above 10,000 is taken for Poisson.
func LogProb(n int, mu, k float64) float64 { return logProb(float64(n), mu, k) }

func logProb(n, mu, k float64) float64 {
	if mu <= 0 {
		if n == 0 {
			return 0
		}
		return math.Inf(-1)
	}
	ways, _ := math.Lgamma(n + 1)
	if k >= mostK {
		return n*math.Log(mu) - mu - ways
	}
	a, _ := math.Lgamma(n + k)
	b, _ := math.Lgamma(k)
	return a - b - ways - k*math.Log1p(mu/k) + n*(math.Log(mu)-math.Log(mu+k))
}

// logLik is the log likelihood of a density m per m² and a patchiness k.
func logLik(c []cell, m, k float64) float64 {
	var l float64
	for _, x := range c {
		l += x.times * logProb(x.n, m*x.area, k)
	}
	return l
}

// meanGiven is the density that maximises the likelihood for a k: Σ (y − μ)/(1 + μ/k) = 0.
func meanGiven(c []cell, k float64) float64 {
	_, area, n := sums(c)
	m := n / area
	for range 50 { // weights 1/(1 + μ/k) from the last density
		var a, b float64
		for _, x := range c {
			w := x.times / (1 + m*x.area/k)
			a += w * x.n
			b += w * x.area
		}
		next := a / b
		if math.Abs(next-m) <= 1e-12*next {
			return next
		}
		m = next
	}
	return m
}

// bestK maximises over k with the density profiled out.
func bestK(c []cell) (k, l float64) {
	return highest(func(k float64) float64 { return logLik(c, meanGiven(c, k), k) })
}

// bestKAt maximises over k at a given density.
func bestKAt(c []cell, m float64) (k, l float64) {
	return highest(func(k float64) float64 { return logLik(c, m, k) })
}
