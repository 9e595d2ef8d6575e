package sim

import (
	"math"
	"time"

	"rundown/params"
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
// reference season: seedlings of a steady rain, of the weed that it was measured
// in, that emerge after spraying.
func (m *Model) solveResiduals(u *units) error {
	r, weed, err := m.measured(u)
	if err != nil {
		return err
	}
	var c cycle
	var rates seedbank.Rates
	rates.Set(&weed.Seed)
	c.run(r, &r.usual, weed, &rates)
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
	dry := r.dryAfter(refSprayed)
	m.reference.base = make([][]float64, len(u.herbicides))
	for h := range u.herbicides {
		for a := range u.herbicides[h].Actives {
			x := u.herbicides[h].Actives[a]
			x.Set(0)
			x.Solve(weights, r.ages(first, &x), dry)
			m.reference.base[h] = append(m.reference.base[h], x.Base-logit(x.SeasonControl))
		}
	}
	return nil
}

// measuredIn is the weed that published control is of. Solved on the plan's own, a
// weed that comes in spring would get a stronger herbicide.
const measuredIn = "black-grass"

// measured is that weed as the program carries it, and the reference year as it meets it.
func (m *Model) measured(u *units) (*Reference, *weedUnit, error) {
	if m.calendar.Weed.Name == measuredIn && len(m.calendar.Library.Own()) == 0 {
		return m.reference, &u.weed, nil
	}
	lib, err := params.Load()
	if err != nil {
		return nil, nil, err
	}
	v, b := *u, &binder{central: true}
	b.bind(&v.weed, lib.Find("weeds", measuredIn))
	if b.err != nil {
		return nil, nil, b.err
	}
	r, err := newReference(m, &v)
	return r, &v.weed, err
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
