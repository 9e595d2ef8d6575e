// Package herbicide models herbicides: residues in the soil that decay while
// late flushes come, and the share killed by a contact spray.
//
// A residual kills seedlings as they emerge with probability
// logistic(logit E00 + dry·(mean dryness of the 14 days after spraying) +
// B·ln(C·(8/T)^x) + s + y); C = 2^(−age/DT50) is what is left, its age counted in days
// at 8 °C (Q10), T the soil's temperature: a seedling takes up the more the longer it
// stays in treated soil, and the time to come up goes as 1/T. s is the site's and y the
// year's departure, common to the actives of a programme. No date is typed in: later drilling
// controls better because the tail of emergence is shorter and the soil moister and colder.
package herbicide

import (
	"math"

	"rundown/sim/decay"
)

// Active is one active of a programme, with its values for a replicate.
type Active struct {
	ResidualParams
	OnWeed float64 // added for the weed of the field, logit; 0 for black-grass, in which SeasonControl was measured
	Base   float64 // logit E00, solved so that a reference season gives SeasonControl
	lnQ10  float64
	slope  float64 // fall of ln odds in a day at 8 °C
	slow   float64 // B·x: rise of ln odds with ln of the time in treated soil
}

// Set fills what follows from the parameters; base is the logit of E00 on the weed of the field.
func (p *Active) Set(base float64) {
	p.Base, p.lnQ10, p.slope = base, math.Log(p.Q10), p.DoseSlope*math.Ln2/p.HalfLifeD
	p.slow = p.DoseSlope * p.SlowEmergence
}

// Days8C is what days at a mean soil temperature (°C) count for in days at 8 °C.
func (p *Active) Days8C(days, tempC float64) float64 { return days * decay.Exp(p.lnQ10*(tempC-8)/10) }

// coldest is the soil temperature (°C) below which a seedling stays in treated soil no
// longer: hardly any comes up then.
const coldest = 2

// stay is ln of the time that a seedling stays in treated soil, against that at 8 °C.
func stay(tempC float64) float64 { return math.Log(8 / max(tempC, coldest)) }

// Application is a residual programme in the soil.
type Application struct {
	Actives []Active
	Lost    []float64 // share of each active's efficacy lost to resistance; nil for none
	Shift   float64   // s + y, logit
	By      int       // the piece of work that laid it down
	Live    float64   // share that it let live of the seedlings of the last step
	days    int
	dry     float64             // Σ dryness of the first 14 days
	age     [MaxActives]float64 // days at 8 °C
	odds    [MaxActives]float64 // of killing, at this age on moist soil
	drier   [MaxActives]float64 // factor of dryness on them
	settled bool                // dryness counts no more
	Ask     bool                // Kills is asked for
	Kills   [MaxActives]float64 // what each active killed of the seedlings of the last step, resistance apart
}

// MaxActives is the most actives that one programme may have.
const MaxActives = 6

// DryDays is how long after spraying the dryness of the seedbed counts.
const DryDays = 14

// Start lays a programme on the soil.
func (a *Application) Start(actives []Active, lost []float64, shift float64) {
	*a = Application{Actives: actives, Lost: lost, Shift: shift, Live: 1}
	for i := range actives {
		a.odds[i] = math.Exp(actives[i].logit(0, 0, 8, shift))
	}
}

// Through takes from the programme what straw on a share of the ground keeps from the soil.
func (a *Application) Through(straw float64) {
	for i := range a.Actives {
		a.odds[i] *= math.Exp(a.Actives[i].Straw(straw))
	}
}

// Straw is the effect (logit) of straw on a share of the ground at spraying: of the dose, less reaches the soil.
func (p *Active) Straw(cover float64) float64 { return p.DoseSlope * math.Log1p(-p.StrawKeeps*cover) }

// Day counts a day's seedbed dryness, 1 − Kr; it is not needed after the first DryDays.
func (a *Application) Day(dryness float64) {
	if a.days < DryDays {
		a.dry += dryness
	}
	a.days++
}

// dryness is the mean dryness of the days counted so far.
func (a *Application) dryness() float64 {
	n := min(a.days, DryDays)
	if n == 0 {
		return 0
	}
	return a.dry / float64(n)
}

// Up is when the seedlings of a step come up on the whole: the share of its days that has
// passed, 0..1, and the temperature of the soil on their days, °C.
type Up struct{ Passed, TempC float64 }

// Step lets days pass at a mean soil temperature (°C) and returns the share of
// the seedlings emerging in them that the programme lets live: the survivals
// of its actives multiply, as it is when the seedlings come up on the whole.
func (a *Application) Step(days, tempC float64, up Up) float64 {
	if !a.settled {
		a.dries()
	}
	live, all := 1.0, 1.0
	older, q10 := 0.0, math.NaN()
	stayed, longer, slow := stay(up.TempC), 1.0, math.NaN()
	for i := range a.Actives {
		p := &a.Actives[i]
		if p.lnQ10 != q10 { // actives mostly share one Q10
			older, q10 = p.Days8C(days, tempC), p.lnQ10
		}
		odds := a.odds[i] * decay.Left(p.slope*older*up.Passed)
		a.odds[i] *= decay.Left(p.slope * older)
		a.age[i] += older
		if p.slow != slow {
			longer, slow = decay.Exp(p.slow*stayed), p.slow
		}
		odds *= a.drier[i] * longer
		if a.Ask {
			a.Kills[i] = odds / (1 + odds)
		}
		if a.Lost != nil { // of the odds/(1 + odds) that it would kill
			live *= 1 + odds*a.Lost[i]
		}
		all *= 1 + odds
	}
	return live / all
}

// NowOf is Now of one active.
func (a *Application) NowOf(i int, dryness, tempC float64) float64 {
	p := &a.Actives[i]
	odds := a.odds[i] * math.Exp(p.DryEffect*dryness+p.slow*stay(tempC))
	return p.JustUp * odds / (1 + odds)
}

// Now is the share that the programme kills, on the day of spraying, of seedlings that are
// as good as coming up: dryness (1 − Kr) and soil temperature (°C) are the day's.
func (a *Application) Now(dryness, tempC float64) float64 {
	live := 1.0
	for i := range a.Actives {
		k := a.NowOf(i, dryness, tempC)
		if a.Lost != nil {
			k *= 1 - a.Lost[i]
		}
		live *= 1 - k
	}
	return 1 - live
}

// dries works out what dryness takes from the odds so far.
func (a *Application) dries() {
	dry := a.dryness()
	for i := range a.Actives {
		a.drier[i] = decay.Exp(a.Actives[i].DryEffect * dry)
	}
	a.settled = a.days >= DryDays
}

// spentHalfLives is how many half-lives leave too little to matter.
const spentHalfLives = 7

// Spent tells that too little is left to matter.
func (a *Application) Spent() bool {
	for i := range a.Actives {
		if a.age[i] < spentHalfLives*a.Actives[i].HalfLifeD {
			return false
		}
	}
	return true
}

// Kill is the share of emerging seedlings that one active kills at an age in
// days at 8 °C and a soil temperature.
func (p *Active) Kill(dryness, age, tempC, shift float64) float64 {
	return 1 / (1 + math.Exp(-p.logit(dryness, age, tempC, shift)))
}

func (p *Active) logit(dryness, age, tempC, shift float64) float64 {
	return p.Base + p.DryEffect*dryness - p.DoseSlope*math.Ln2*age/p.HalfLifeD + p.slow*stay(tempC) + shift
}

// Met is what seedlings of one step of a reference season meet: their share of the
// season's emergence after spraying, the active's age (days at 8 °C) and the soil's temperature (°C).
type Met struct{ Share, Age, TempC float64 }

// Solve sets Base so that the emergence-weighted mean kill of a reference
// season is SeasonControl.
func (p *Active) Solve(season []Met, dryness float64) {
	var total float64
	for _, s := range season {
		total += s.Share
	}
	lo, hi := -20.0, 40.0
	for range 80 {
		p.Base = (lo + hi) / 2
		var killed float64
		for _, s := range season {
			killed += s.Share * p.Kill(dryness, s.Age, s.TempC, 0)
		}
		if killed < p.SeasonControl*total {
			lo = p.Base
		} else {
			hi = p.Base
		}
	}
}
