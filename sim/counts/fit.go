package counts

import "math"

// Fit is what a set of quadrats says.
type Fit struct {
	Quadrats  int
	MeanPerM2 Interval
	K         Interval // of a quadrat; Value is +Inf where the counts are no patchier than chance (Poisson), NaN where nothing was found
	VarToMean float64  // of counts brought to the mean quadrat; NaN with fewer than two
	Empty     float64  // share of empty quadrats
	Level     float64  // confidence level of the intervals, e.g. 0.9
	AreaM2    float64  // all quadrats together
	typical   float64  // mean quadrat, m²
}

// Estimate fits quadrats. level is the confidence level, 0.9 say.
//
// The signed roots of the likelihood ratio of the mean and of k are read as
// Student's t with n − 1 degrees of freedom, n quadrats and one density fitted, as
// Compare reads that of a ratio; TestCoverage measures how well that does. A single
// quadrat has no interval.
func Estimate(q []Quadrat, level float64) Fit {
	f := Fit{Quadrats: len(q), Level: level, VarToMean: math.NaN()}
	if len(q) == 0 {
		return f
	}
	c := cells(q)
	quadrats, area, total := sums(c)
	f.AreaM2, f.typical = area, area/quadrats
	for _, x := range c {
		if x.n == 0 {
			f.Empty += x.times / quadrats
		}
	}
	f.VarToMean = varToMean(c, f.typical)
	if total == 0 {
		f.MeanPerM2 = Interval{0, 0, NoneUpper(q, AssumedK, level)}
		f.K = Interval{math.NaN(), 0, math.Inf(1)}
		return f
	}
	k, top := bestK(c)
	m := meanGiven(c, k)
	f.MeanPerM2, f.K = Interval{m, 0, math.Inf(1)}, Interval{k, 0, math.Inf(1)}
	if len(q) > 1 {
		t := student(quadrats - 1).Quantile((1 + level) / 2)
		f.MeanPerM2.Low, f.MeanPerM2.High = ends(m, func(x float64) float64 { _, l := bestKAt(c, x); return l }, top-t*t/2, m*1e-9, m*1e9)
		f.K.Low, f.K.High = ends(k, func(k float64) float64 { return logLik(c, meanGiven(c, k), k) }, top-t*t/2, leastK, mostK)
	}
	if k >= mostK*0.99 {
		f.K.Value = math.Inf(1)
	}
	return f
}

// Needed is how many such quadrats would give a standard error of a share of
// the mean: (1/μ + 1/k)/share² by the negative binomial's variance, μ plants to a
// quadrat; 0 where nothing was found.
func (f *Fit) Needed(share float64) int {
	mu := f.MeanPerM2.Value * f.typical
	if mu <= 0 {
		return 0
	}
	k := f.K.Value
	if f.Quadrats < FewestToSettle {
		k = min(k, AssumedK)
	}
	return int(math.Ceil((1/mu + 1/k) / (share * share))) // 1/∞ is 0
}
