package stand

import (
	"math"

	"rundown/params/date"
)

// patches are the nodes t and weights of an integral of e^−t·f(t) over t > 0:
// sixteen-point Gauss–Legendre quadrature (Abramowitz & Stegun 1964, table 25.4)
// in u, with 1 − e^−t = 3u² − 2u³, which tames both ends. Over the shapes and
// densities that occur, the error is below 4e-6.
var patches = [16][2]float64{
	{8.3960983698e-05, 0.000429398289549}, {0.00226394144752, 0.00503217143126}, {0.0130191060209, 0.0178909388716}, {0.0420851849915, 0.0401334120204},
	{0.100444433717, 0.0693634279366}, {0.199070684831, 0.100253228669}, {0.348678666296, 0.126092146506}, {0.560287343982, 0.140805276275},
	{0.846403153286, 0.140805276275}, {1.22288326287, 0.126092146506}, {1.71197999048, 0.100253228669}, {2.34795247641, 0.0693634279366},
	{3.1890282958, 0.0401334120204}, {4.34783979719, 0.0178909388716}, {6.09177973854, 0.00503217143126}, {9.38520032701, 0.000429398289549},
}

// YieldLoss is the share of yield lost to plants that would bear a mean of d heads per m²
// uncrowded (Cousens 1985: i·D/(1 + i·D/A)), averaged over D ~ gamma(mean d, shape k)
// because fields are patchy. With the gamma's Laplace transform,
// E[1/(1 + xD/d)] = ∫ e^−t (1 + x·t/k)^−k dt, x = i·d/A.
func (p *Params) YieldLoss(d, factor float64) float64 {
	if d <= 0 {
		return 0
	}
	x := p.LossPerHead * factor * d / p.MaxLoss
	k := p.PatchinessK
	var lost float64
	for _, n := range &patches {
		lost -= n[1] * math.Expm1(-k*math.Log1p(x*n[0]/k))
	}
	return p.MaxLoss * min(lost, 1)
}

// Competing is the density that the yield loss counts: the heads per m² that the plants to
// be expected of those up by a day would bear uncrowded, h1 Σ n·size·cover·room. A plant costs
// what it becomes, so that date, crop and herbicide act on loss and heads alike.
func (s *Stand) Competing(p *Params, season *Season, by date.Day, areaM2 float64) float64 {
	var d, size float64
	for i := range s.Cohorts {
		k := &s.Cohorts[i]
		if k.Day <= by {
			if i == 0 || !k.alike(&s.Cohorts[i-1]) {
				size = p.Size(k.Up, season)
			}
			d += float64(k.N) * k.alive * size * k.Cover * k.room
		}
	}
	return p.HeadsPerPlant * d / areaM2
}
