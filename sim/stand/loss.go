package stand

import (
	"math"

	"rundown/params/date"
)

// laguerre are the nodes and weights of Gauss–Laguerre quadrature, 12 points
// (Abramowitz & Stegun 1964, table 25.9).
var laguerre = [12][2]float64{
	{0.115722117358, 2.64731371055e-1}, {0.611757484515, 3.77759275873e-1}, {1.512610269776, 2.44082011320e-1},
	{2.833751337744, 9.04492222117e-2}, {4.599227639418, 2.01023811546e-2}, {6.844525453115, 2.66397354187e-3},
	{9.621316842457, 2.03231592663e-4}, {13.006054993306, 8.36505585682e-6}, {17.116855187462, 1.66849387654e-7},
	{22.151090379397, 1.34239103052e-9}, {28.487967250984, 3.06160163504e-12}, {37.099121044467, 8.14807746743e-16},
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
	for _, n := range &laguerre {
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
