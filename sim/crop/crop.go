// Package crop models the crop and the cover crop: when they come up, how they
// cover the ground and draw water, how a cover suppresses the weed and shades
// the soil after its death, and what a crop yields for its drilling date.
package crop

import (
	"math"

	"rundown/params/date"
)

// Crop is a drilled crop.
type Crop struct {
	Drilled  date.Day
	Up       date.Day // the day of emergence; 0 before
	PlantsM2 float64
	heat     float64 // °C d since drilling, base 0 °C
}

// Drill sows a crop.
func Drill(today date.Day, p *Params, seedsPerM2 float64) Crop {
	return Crop{Drilled: today, PlantsM2: seedsPerM2 * p.Establishes(today)}
}

// Establishes is the share of seed that becomes plants, by the day of drilling: it falls as
// seedbeds turn cold and wet.
func (p *Params) Establishes(drilled date.Day) float64 {
	late := max(0, float64(drilled)-nearest(drilled, p.EstablishFrom))
	if late == 0 || p.EstablishLate == 1 {
		return p.Establishment
	}
	return p.Establishment * (p.EstablishLate + (1-p.EstablishLate)*math.Exp(-late/p.EstablishScaleD))
}

// Grow adds a day's thermal time and returns ground cover (0..1) and its
// basal crop coefficient Kcb.
func (c *Crop) Grow(p *Params, meanC float64, today date.Day) (cover, kcb float64) {
	if meanC > 0 { // costs less than max, which minds NaN
		c.heat += meanC
	}
	since := c.heat - p.EmergenceTimeCd
	if since < 0 {
		return 0, 0
	}
	if c.Up == 0 {
		c.Up = today
	}
	// A logistic in thermal time that is half of full cover at CoverTimeCd;
	// s²/(h² + s²) costs no exponential and is as good a curve.
	x := since * since
	cover = 0.95 * x / (p.CoverTimeCd*p.CoverTimeCd + x)
	return cover, p.KcbFull * cover
}

// DateResponse is the factor on yield of a drilling date: 1 from BestFrom to BestUntil, less
// by TooEarlyLoss a day before, then falling at EarlyLoss a day, from LateFrom at LateLoss a day.
func (p *Params) DateResponse(drilled date.Day) float64 {
	best := nearest(drilled, p.BestUntil)
	late := nearest(drilled, p.LateFrom)
	if late < best {
		late = best
	}
	d := float64(drilled)
	loss := p.EarlyLoss*max(0, min(d, late)-best) + p.LateLoss*max(0, d-late)
	if d < best {
		loss = p.TooEarlyLoss * max(0, nearest(drilled, p.BestFrom)-d)
	}
	return max(0, 1-loss)
}

// nearest is the date (day of a common year) that lies closest to a day.
func nearest(d date.Day, yearDay float64) float64 {
	y := d.Year()
	best := math.Inf(1)
	for k := y - 1; k <= y+1; k++ {
		x := float64(date.Of(k, 1, 1)) + yearDay - 1
		if math.Abs(x-float64(d)) < math.Abs(best-float64(d)) {
			best = x
		}
	}
	return best
}

// StrawKept is the share of the ground cover of chopped straw that a day
// leaves: it rots by half in StrawHalfLife days.
func (p *Params) StrawKept() float64 { return math.Exp2(-1 / p.StrawHalfLife) }
