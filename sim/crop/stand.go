package crop

import "math"

// What a stand does is told in usual stands of its own crop, since 20 plants per
// m² are a full crop of beans and a failed one of wheat.
const (
	wheatStand = 273.0 // plants/m² of a usual stand of winter wheat: the scale of weed heads by crop density
	nearlyBare = 0.2   // usual stands below which the weed grows more and more as on bare ground (assumed)
	thickFrom  = 1.5   // usual stands from which a crop loses by being thick (assumed)
)

// usualStands is a density in usual stands; 1 for a crop that is not sown.
func (p *Params) usualStands(plantsM2 float64) float64 {
	if p.UsualStandM2 <= 0 {
		return 1
	}
	return max(plantsM2, 0) / p.UsualStandM2
}

// StandResponse is the factor on yield of the plants that stand, 1 for a usual
// stand: a rectangular hyperbola (the asymptotic form of yield by density that
// is common for crops of which leaf, grain or seed is taken: Willey & Heath 1969,
// Adv. Agron. 21:281, from memory), less what thick stands lose by lodging.
func (p *Params) StandResponse(plantsM2 float64) float64 {
	x := p.usualStands(plantsM2)
	if x == 0 {
		return 0
	}
	return max(0, x*(1+p.HalfStand)/(x+p.HalfStand)-p.ThickLoss*max(0, x-thickFrom))
}

// HeadsFactor is c: the crop's factor on weed heads against winter wheat at
// 200 plants per m², −15 % per further 100 plants (Lutman et al. 2013) between
// 100 and 350. Other crops are taken as wheat at the same share of its usual
// stand. Far below that c rises towards that of bare fallow.
func (p *Params) HeadsFactor(plantsM2, cultivar, fallow float64) float64 {
	x := p.usualStands(plantsM2)
	c := p.Heads * math.Pow(0.85, (min(max(wheatStand*x, 100), 350)-200)/100) * cultivar
	if x < nearlyBare && fallow > c {
		c += (fallow - c) * (nearlyBare - x) / nearlyBare
	}
	return c
}
