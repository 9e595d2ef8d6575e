package crop

import (
	"math"

	"rundown/params/date"
	"rundown/sim/decay"
)

// Cover is a cover crop, living and then dead.
type Cover struct {
	Sown      date.Day
	Destroyed date.Day // 0 while it lives
	Ground    float64  // living ground cover, 0..1
	Residue   float64  // ground covered by its dead residue, 0..1
	AtDeath   float64  // ground cover on the day of its death
	heat      float64  // thermal time since sowing, less what the winter's want of light takes, °C d
	foot      float64  // of the logistic, on bare ground
	scale     float64  // ground cover over the logistic less its foot
	kept      float64  // of residue in a day
}

// Sow starts a cover crop.
func Sow(today date.Day) Cover { return Cover{Sown: today} }

// Day grows a living cover or lets its residue rot. Growth goes by thermal time;
// growth being in proportion to the light that is caught (Monteith 1977, from memory), a day of
// winter counts by light, its radiation over that of the equinox, at most 1 (the
// bound is assumed). Hard frost kills tender covers (assumed).
func (c *Cover) Day(p *CoverParams, meanC, minC, light float64, today date.Day) {
	if c.Sown == 0 {
		return
	}
	if c.Destroyed != 0 {
		if c.kept == 0 {
			c.kept = 1 - math.Ln2/p.ResidueHalfLife
		}
		c.Residue *= c.kept
		return
	}
	if minC < p.FrostKillC {
		c.Destroy(today)
		return
	}
	if meanC <= 0 {
		return
	}
	if c.heat == 0 {
		c.foot = decay.Logistic(-p.HalfCoverCd / p.SlopeCd)
		c.scale = p.MaxCover / (1 - c.foot)
	}
	c.heat += meanC * light
	// A logistic in thermal time since sowing, less its foot so that bare
	// ground starts at zero.
	g := decay.Logistic((c.heat - p.HalfCoverCd) / p.SlopeCd)
	c.Ground = c.scale * (g - c.foot)
}

// Transpires is Kcb of the whole ground. A canopy draws more water than its
// share of the ground: FAO-56 eq. 76, solved for Kcb, with nothing from bare ground:
// ground^(1/(1 + h/2)), h the height of a cover, 0.4 m (assumed; little hangs on it),
// which makes the power 5/6.
func (c *Cover) Transpires(p *CoverParams) float64 {
	x := c.Ground * powerSteps
	i := int(x)
	if x <= 0 {
		return 0
	}
	return p.Kcb * (power[i] + (x-float64(i))*(power[i+1]-power[i]))
}

// power is x^(5/6) over 0 to 1 in straight pieces: within 1e-4 at the barest, 5e-6
// from a hundredth of the ground on.
var power = func() (t [powerSteps + 2]float64) {
	for i := range t {
		t[i] = math.Pow(float64(i)/powerSteps, 5.0/6)
	}
	return t
}()

const powerSteps = 1024

// Destroy kills the cover; its residue shades the ground until it has rotted.
func (c *Cover) Destroy(today date.Day) {
	if c.Sown == 0 || c.Destroyed != 0 {
		return
	}
	c.Destroyed, c.AtDeath, c.Residue, c.Ground = today, c.Ground, c.Ground, 0
}

// Bury takes the residue from the surface by the share of it that a pass stirs in.
func (c *Cover) Bury(share float64) { c.Residue *= 1 - share }

// Keeps is the share of seed that would sprout now which a living cover keeps dormant.
func (c *Cover) Keeps(p *CoverParams) float64 { return p.EmergenceLoss * c.Ground }

// Fecundity is the factor on the fecundity of what emerges now.
func (c *Cover) Fecundity(p *CoverParams) float64 { return 1 - p.GrowthLoss*c.Ground }

// ResidueKill is the share of emerging seedlings that fresh residue holds
// back, for some weeks after destruction (weak evidence).
func (c *Cover) ResidueKill(p *CoverParams, today date.Day) float64 {
	if c.Destroyed == 0 || p.ResidueDays <= 0 {
		return 0
	}
	left := 1 - float64(today-c.Destroyed)/p.ResidueDays
	if left <= 0 {
		return 0
	}
	return p.ResidueLoss * c.AtDeath * left
}
