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

// cycleOf is the weed's cycle in a reference year at the values of a unit.
func cycleOf(r *Reference, weed *weedUnit) *cycle {
	var c cycle
	var rates seedbank.Rates
	rates.Set(&weed.Seed)
	c.run(r, &r.usual, weed, &rates)
	return &c
}

// met is what the seedlings of a steady rain meet of an active in the middle of each step
// from the first on which it is in the soil.
func (r *Reference) met(first int, c *cycle, bank [seedbank.Layers]float64, x *herbicide.Active) []herbicide.Met {
	var age float64
	var all []herbicide.Met
	for i := first; i < len(r.steps); i++ {
		s := &r.steps[i]
		up := c.emerged[i][0]
		for l, n := range bank {
			up += n * c.emerged[i][1+l]
		}
		d := x.Days8C(s.days, s.soil)
		all = append(all, herbicide.Met{Share: up, Age: age + d/2, TempC: s.soil})
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
