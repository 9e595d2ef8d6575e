package stand

import (
	"math"

	"rundown/params/date"
)

// patches are the nodes t and weights of an integral of e^−t·f(t) over t > 0:
// twelve-point Gauss–Legendre quadrature (Abramowitz & Stegun 1964, table 25.4)
// in u, with 1 − e^−t = 3u² − 2u³, which tames both ends. Over the shapes and
// densities that occur, the error is below 3e-5.
var patches = [12][2]float64{
	{0.000253472385296, 0.00129279485125}, {0.00669712665467, 0.0146430939052}, {0.0373519507086, 0.0488939091392},
	{0.116712761977, 0.0998147783453}, {0.269931585011, 0.151425745217}, {0.521829217248, 0.183929678542},
	{0.900009087064, 0.183929678542}, {1.44151841387, 0.151425745217}, {2.20582825608, 0.0998147783453},
	{3.30598798498, 0.0488939091392}, {5.0094233966, 0.0146430939052}, {8.28038240813, 0.00129279485125},
}

// YieldLoss is the share of yield lost to a mean of d average plants per m²
// (Cousens 1985: i·D/(1 + i·D/A)), averaged over D ~ gamma(mean d, shape k)
// because fields are patchy. With the gamma's Laplace transform,
// E[1/(1 + xD/d)] = ∫ e^−t (1 + x·t/k)^−k dt, x = i·d/A.
func (p *Params) YieldLoss(d, factor float64) float64 {
	if d <= 0 {
		return 0
	}
	x := p.LossPerPlant * factor * d / p.MaxLoss
	k := p.PatchinessK
	var e float64
	for _, n := range &patches {
		e += n[1] * math.Exp(-k*math.Log1p(x*n[0]/k))
	}
	return p.MaxLoss * min(max(1-e, 0), 1)
}

// Competing is the density that the yield loss counts: plants weighted by how
// late they came up after the crop, Σ n·w, per m².
func (s *Stand) Competing(p *Params, cropUp date.Day, areaM2 float64) float64 {
	var d float64
	for i := range s.Cohorts {
		k := &s.Cohorts[i]
		d += float64(k.N) * math.Exp(-p.LatenessRate*float64(max(0, k.Day-cropUp)))
	}
	return d / areaM2
}
