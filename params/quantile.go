package params

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Quantile is the value below which the spread lies with probability u, for u
// in (0, 1). It is Central for a fixed or stated value and never leaves the
// physical limits.
func (v *Value) Quantile(u float64) float64 {
	return min(max(v.unlimited(u), v.Low), v.High)
}

// unlimited is the quantile of the spread itself.
func (v *Value) unlimited(u float64) float64 {
	s := v.Spread
	switch s.Kind {
	case Lognormal:
		return v.Central * math.Exp(math.Log(s.A)*mathext.NormalQuantile(u))
	case Normal:
		// A normal cut at the limits: u is scaled into what is left between them.
		low, high := cumulative((v.Low-v.Central)/s.A), cumulative((v.High-v.Central)/s.A)
		return v.Central + s.A*mathext.NormalQuantile(low+u*(high-low))
	case LogitNormal:
		x := math.Log(v.Central/(1-v.Central)) + s.A*mathext.NormalQuantile(u)
		return 1 / (1 + math.Exp(-x))
	case Beta:
		return mathext.InvRegIncBeta(s.A, s.B, u)
	case Triangular:
		return triangular(u, s.A, s.B, s.C)
	case Range:
		return triangular(u, s.A, v.Central, s.B)
	}
	return v.Central
}

// cumulative is the standard normal distribution function.
func cumulative(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// triangular is the quantile of the triangular distribution.
func triangular(u, low, mode, high float64) float64 {
	width := high - low
	if left := (mode - low) / width; u < left {
		return low + math.Sqrt(u*width*(mode-low))
	}
	return high - math.Sqrt((1-u)*width*(high-mode))
}
