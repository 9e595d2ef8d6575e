package sim

import (
	"math"
	"time"

	"rundown/params/date"
	"rundown/sim/herbicide"
	"rundown/sim/seedbank"
)

func logit(p float64) float64 { return math.Log(p / (1 - p)) }

// refSprayed is the day on which a residual programme is sprayed in the season
// that its published control belongs to, two days after drilling.
var refSprayed = date.Annual{Month: time.October, Day: 1}

// solveResiduals finds, for each residual active at its central values, the
// efficacy just after spraying that gives its published control over the
// reference season: seedlings of a steady rain that emerge after spraying.
func (m *Model) solveResiduals(u *units) error {
	r := m.reference
	var c cycle
	var rates seedbank.Rates
	rates.Set(&u.weed.Seed)
	c.run(r, &r.usual, &u.weed, &rates)
	bank := c.steady()
	first := r.after(refSprayed) + 1
	var weights []float64
	for i := first; i < len(r.steps); i++ {
		up := c.emerged[i][0]
		for l, n := range bank {
			up += n * c.emerged[i][1+l]
		}
		weights = append(weights, up)
	}
	dry, straw := r.dryAfter(refSprayed), r.usual.ground[r.after(refSprayed)].Cover
	r.base = make([][]float64, len(u.herbicides))
	for h := range u.herbicides {
		for a := range u.herbicides[h].Actives {
			x := u.herbicides[h].Actives[a]
			x.Set(0)
			x.Solve(weights, r.ages(first, &x), dry)
			r.base[h] = append(r.base[h], x.Base-logit(x.SeasonControl)-x.Straw(straw))
		}
	}
	return nil
}

// ages are the thermal ages of an active, in days at 8 °C, in the middle of
// each step from the first.
func (r *Reference) ages(first int, x *herbicide.Active) []float64 {
	var age float64
	var all []float64
	for i := first; i < len(r.steps); i++ {
		s := &r.steps[i]
		d := x.Days8C(s.days, s.soil)
		all = append(all, age+d/2)
		age += d
	}
	return all
}

// dryAfter is the mean dryness, 1 − Kr, of the fortnight after a date.
func (r *Reference) dryAfter(a date.Annual) float64 {
	i := r.after(a) + 1
	var dry, days float64
	for ; i < len(r.steps) && days < 14; i++ {
		dry += r.steps[i].dry * r.steps[i].days
		days += r.steps[i].days
	}
	return dry / days
}
