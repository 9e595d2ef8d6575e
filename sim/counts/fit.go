// Package counts reads what quadrats say: the mean density of a patchy weed
// with its interval, how patchy it is, whether one side is really cleaner, and
// how many quadrats would tell.
//
// Counts are negative binomial about a common density: variance μ + μ²/k per
// quadrat (Anscombe 1949, Biometrics 5:165–173; weed seedlings: Johnson et al.
// 1996, Weed Science 44:555–559). Estimates are maximum likelihood; intervals of
// the mean and of k are profile likelihood, so that few quadrats and zeros are
// taken for what they are.
package counts

import (
	"math"
	"slices"
)

// Quadrat is one quadrat counted.
type Quadrat struct {
	AreaM2 float64
	N      int
}

// Interval is a value with the ends of its interval; High may be infinite.
type Interval struct{ Value, Low, High float64 }

// Fit is what a set of quadrats says.
type Fit struct {
	Quadrats  int
	MeanPerM2 Interval
	K         Interval // of a quadrat; +Inf where the counts are no patchier than chance (Poisson)
	VarToMean float64  // of counts brought to the mean quadrat; NaN with fewer than two
	Empty     float64  // share of empty quadrats
	Level     float64  // confidence level of the intervals, e.g. 0.9
	AreaM2    float64  // all quadrats together
	typical   float64  // mean quadrat, m²
}

// Patchiest and most even k that are told apart.
const (
	leastK = 1e-3
	mostK  = 1e4
)

// AssumedK stands in where counts cannot tell: all quadrats empty (0.5:
// management defaults for 0.1 m² quadrats, from memory).
const AssumedK = 0.5

// Estimate fits quadrats. level is the confidence level, 0.9 say.
func Estimate(q []Quadrat, level float64) Fit {
	f := Fit{Quadrats: len(q), Level: level, VarToMean: math.NaN()}
	total, empty := 0, 0
	for _, x := range q {
		f.AreaM2 += x.AreaM2
		total += x.N
		if x.N == 0 {
			empty++
		}
	}
	if len(q) == 0 {
		return f
	}
	f.typical = f.AreaM2 / float64(len(q))
	f.Empty = float64(empty) / float64(len(q))
	f.VarToMean = varToMean(q, f.typical)
	if total == 0 {
		f.MeanPerM2 = Interval{0, 0, noneUpper(len(q), f.typical, AssumedK, level)}
		f.K = Interval{math.NaN(), 0, math.Inf(1)}
		return f
	}
	drop := chiSquare1(level) / 2
	bestK, best := profileK(q)
	m := meanGiven(q, bestK)
	f.MeanPerM2.Value = m
	f.MeanPerM2.Low = edge(m, 0, func(x float64) float64 { _, l := bestKAt(q, x); return l }, best-drop)
	f.MeanPerM2.High = edge(m, 1, func(x float64) float64 { _, l := bestKAt(q, x); return l }, best-drop)
	f.K.Value = bestK
	atK := func(k float64) float64 { return logLik(q, meanGiven(q, k), k) }
	f.K.Low = edge(bestK, 0, atK, best-drop)
	f.K.High = edge(bestK, 1, atK, best-drop)
	if f.K.Low <= leastK*1.01 {
		f.K.Low = 0
	}
	if f.K.High >= mostK*0.99 {
		f.K.High = math.Inf(1)
	}
	if bestK >= mostK*0.99 {
		f.K.Value = math.Inf(1)
	}
	return f
}

// edge looks for where a profile falls to a level, from its top downwards (0)
// or upwards (1) on a log scale.
func edge(from float64, up int, profile func(float64) float64, level float64) float64 {
	step := 0.5
	if up == 0 {
		step = 2
	}
	in, out := from, from
	for range 60 {
		out = in / step
		if out < leastK*1e-6 || out > mostK*1e6 {
			return out
		}
		if profile(out) < level {
			break
		}
		in = out
	}
	for range 26 {
		mid := math.Sqrt(in * out)
		if profile(mid) < level {
			out = mid
		} else {
			in = mid
		}
	}
	return math.Sqrt(in * out)
}

// logLik is the log likelihood of a density m per m² and a patchiness k.
func logLik(q []Quadrat, m, k float64) float64 {
	var l float64
	for _, x := range q {
		l += LogProb(x.N, m*x.AreaM2, k)
	}
	return l
}

// LogProb is the log probability of a count under a negative binomial with mean
// mu and size k; k above 10,000 is taken for Poisson.
func LogProb(n int, mu, k float64) float64 {
	if mu <= 0 {
		if n == 0 {
			return 0
		}
		return math.Inf(-1)
	}
	x := float64(n)
	lx, _ := math.Lgamma(x + 1)
	if k >= mostK {
		return x*math.Log(mu) - mu - lx
	}
	a, _ := math.Lgamma(x + k)
	b, _ := math.Lgamma(k)
	return a - b - lx - k*math.Log1p(mu/k) + x*(math.Log(mu)-math.Log(mu+k))
}

// meanGiven is the density that maximises the likelihood for a k: Σ (y − μ)/(1 + μ/k) = 0.
func meanGiven(q []Quadrat, k float64) float64 {
	var n, area float64
	for _, x := range q {
		n += float64(x.N)
		area += x.AreaM2
	}
	m := n / area
	for range 50 { // weights 1/(1 + μ/k) from the last density
		var a, b float64
		for _, x := range q {
			w := 1 / (1 + m*x.AreaM2/k)
			a += w * float64(x.N)
			b += w * x.AreaM2
		}
		next := a / b
		if math.Abs(next-m) < 1e-12*(m+1e-12) {
			return next
		}
		m = next
	}
	return m
}

// profileK maximises over k with the density profiled out.
func profileK(q []Quadrat) (k, l float64) {
	return highest(func(k float64) float64 { return logLik(q, meanGiven(q, k), k) })
}

// bestKAt maximises over k at a given density.
func bestKAt(q []Quadrat, m float64) (k, l float64) {
	return highest(func(k float64) float64 { return logLik(q, m, k) })
}

// highest maximises a function of k on a log scale by a golden section search
// within the best cell of a grid.
func highest(f func(float64) float64) (k, l float64) {
	const cells = 28
	at := func(i float64) float64 { return leastK * math.Pow(mostK/leastK, i/cells) }
	best := 0
	for i := 0; i <= cells; i++ {
		if f(at(float64(i))) > f(at(float64(best))) {
			best = i
		}
	}
	lo, hi := math.Max(0, float64(best-1)), math.Min(cells, float64(best+1))
	g := (math.Sqrt(5) - 1) / 2
	a, b := hi-g*(hi-lo), lo+g*(hi-lo)
	fa, fb := f(at(a)), f(at(b))
	for hi-lo > 1e-6 {
		if fa > fb {
			hi, b, fb = b, a, fa
			a = hi - g*(hi-lo)
			fa = f(at(a))
		} else {
			lo, a, fa = a, b, fb
			b = lo + g*(hi-lo)
			fb = f(at(b))
		}
	}
	k = at((lo + hi) / 2)
	return k, f(k)
}

// noneUpper is the upper limit of the density when n quadrats are all empty:
// the density at which that has probability 1 − level. With even counts and
// level 0.95 it is the rule of three, 3 over the area; clumping widens it.
func noneUpper(n int, areaM2, k, level float64) float64 {
	// (1 + m·a/k)^(−k·n) = 1 − level
	return k / areaM2 * (math.Pow(1-level, -1/(k*float64(n))) - 1)
}

// varToMean is the variance-to-mean ratio of counts brought to a typical quadrat.
func varToMean(q []Quadrat, typical float64) float64 {
	if len(q) < 2 {
		return math.NaN()
	}
	var x []float64
	var mean float64
	for _, c := range q {
		y := float64(c.N) * typical / c.AreaM2
		x = append(x, y)
		mean += y / float64(len(q))
	}
	var s float64
	for _, y := range x {
		s += (y - mean) * (y - mean)
	}
	if mean == 0 {
		return math.NaN()
	}
	return s / float64(len(q)-1) / mean
}

// Needed is how many such quadrats would give a standard error of a share of
// the mean: (1/μ + 1/k)/share² of the negative binomial's variance; 0 where
// nothing was found.
func (f *Fit) Needed(share float64) int {
	mu := f.MeanPerM2.Value * f.typical
	if mu <= 0 {
		return 0
	}
	return int(math.Ceil((1/mu + inverse(f.K.Value)) / (share * share)))
}

func inverse(k float64) float64 {
	if math.IsInf(k, 1) {
		return 0
	}
	return 1 / k
}

// chiSquare1 is the quantile of the chi-square law with one degree of freedom:
// the square of a normal quantile, by bisection on erfc.
func chiSquare1(level float64) float64 {
	lo, hi := 0.0, 10.0
	for range 80 {
		z := (lo + hi) / 2
		if math.Erf(z/math.Sqrt2) < level {
			lo = z
		} else {
			hi = z
		}
	}
	return lo * lo
}

// Ratio compares the density of one side with that of another.
type Ratio struct {
	Interval           // of side over other
	Cleaner    float64 // how sure one can be that the side is cleaner, 0..1
	MoreNeeded int     // further quadrats on each side that would settle it at 95 %, were the ratio as found; 0 when settled, −1 when it cannot be said
}

// Compare is the ratio of densities from a negative-binomial model with one
// patchiness: Wald on the log scale, var = 1/Σμ + 1/(n·k) a side; an empty side
// is taken at half a plant.
func Compare(side, other []Quadrat, level float64) Ratio {
	k, _ := profileK(append(slices.Clone(centred(side)), centred(other)...))
	a, va, na := logDensity(side, k)
	b, vb, nb := logDensity(other, k)
	d, se := a-b, math.Sqrt(va+vb)
	z := math.Sqrt(chiSquare1(level))
	r := Ratio{Interval: Interval{math.Exp(d), math.Exp(d - z*se), math.Exp(d + z*se)}, Cleaner: 0.5 * math.Erfc(d/se/math.Sqrt2)}
	if math.Abs(d)/se >= 1.96 {
		return r
	}
	if d == 0 || na == 0 || nb == 0 {
		r.MoreNeeded = -1
		return r
	}
	grow := math.Pow(1.96*se/math.Abs(d), 2) // times as many quadrats
	r.MoreNeeded = int(math.Ceil((grow - 1) * float64(na+nb) / 2))
	if r.MoreNeeded > 100000 {
		r.MoreNeeded = -1
	}
	return r
}

// centred scales a side's areas so that its density becomes 1: both sides then
// tell of one patchiness together.
func centred(q []Quadrat) []Quadrat {
	var n, area float64
	for _, x := range q {
		n += float64(x.N)
		area += x.AreaM2
	}
	out := slices.Clone(q)
	for i := range out {
		out[i].AreaM2 *= math.Max(n, 0.5) / area
	}
	return out
}

func logDensity(q []Quadrat, k float64) (log, variance float64, quadrats int) {
	var n, area float64
	for _, x := range q {
		n += float64(x.N)
		area += x.AreaM2
	}
	n = math.Max(n, 0.5)
	return math.Log(n / area), 1/n + 1/(k*float64(len(q))), len(q)
}
