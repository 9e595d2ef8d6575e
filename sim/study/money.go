package study

import (
	"math"

	"rundown/params"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/decide"
)

// Costs are what was spent on work and seed, as it was done: mean over the runs, per ha, in
// whatever was grown. The rest of a crop's inputs and its harvest are not among them.
type Costs struct {
	Herbicide   float64 // every spray against the weed, also before drilling and of a cover
	Cultivation float64 // passes before drilling
	Drilling    float64
	Seed        float64
	Cover       float64 // its seed and sowing
	InCrop      float64 // hoeing, topping, pulling and such; passes paid by patch without what the patches cost
}

// All is their sum.
func (c Costs) All() float64 {
	return c.Herbicide + c.Cultivation + c.Drilling + c.Seed + c.Cover + c.InCrop
}

// plus adds costs that were spent in a share of the runs.
func (c Costs) plus(o Costs, share float64) Costs {
	return Costs{c.Herbicide + share*o.Herbicide, c.Cultivation + share*o.Cultivation, c.Drilling + share*o.Drilling, c.Seed + share*o.Seed,
		c.Cover + share*o.Cover, c.InCrop + share*o.InCrop}
}

// Costs are those of a season; its runs must have kept the work.
func (s *Season) Costs() Costs {
	var out Costs
	for i := range s.Parts { // of those runs that took the branch, over all
		out = out.plus(s.Parts[i].Costs(), 1)
	}
	if s.Parts != nil {
		return out
	}
	for i := range s.Work {
		w := &s.Work[i]
		out = out.plus(w.costs(&s.Courses[w.Course]), w.Called*w.Passes)
	}
	return out
}

// costs are those of a piece of work where it is done.
func (w *Work) costs(c *rotations.Course) Costs {
	pass := central(w.With, "cost")
	switch w.Is {
	case sim.Drilled:
		return Costs{Drilling: pass, Seed: sim.SeedCost(c)}
	case sim.CoverSown:
		return Costs{Cover: pass}
	case sim.CoverDestroyed:
		if w.With.Kind != "herbicides" {
			return Costs{Cultivation: pass}
		}
		return Costs{Herbicide: pass}
	}
	if w.Is == sim.SeedControlled {
		return Costs{} // of the harvest
	}
	switch w.Op.Action {
	case rotations.SprayOff, rotations.Herbicide:
		return Costs{Herbicide: pass}
	case rotations.Cultivate:
		return Costs{Cultivation: pass}
	}
	return Costs{InCrop: pass}
}

// central is a value of an entry; 0 where it has none.
func central(e *params.Entry, key string) float64 {
	if e == nil {
		return 0
	}
	if v := e.Value(key); v != nil {
		return v.Central
	}
	return 0
}

// YearlyCosts are the costs of a year, mean of the seasons up to one.
func YearlyCosts(seasons []Season, last int) Costs {
	var out Costs
	for i := range last + 1 {
		out = out.plus(seasons[i].Costs(), 1/float64(last+1))
	}
	return out
}

// Control is what a plan spends on work and seed beyond another, and what heads it has less for it.
type Control struct {
	More      float64 // costs, per ha and year
	Prevented float64 // heads per m², mean over runs and seasons
	Per100    float64 // cost per ha of 100 heads per m² prevented; NaN: it costs no more, or prevents none
	// EvenAt is the price of a crop at which both earn the same; NaN where there is none
	// above 0, or both grow about as much of it. What is chosen on the way hangs on no price.
	EvenAt float64
}

// control sets a plan against another up to a season.
func (p *Contender) control(first *Contender, last int, crop *params.Entry) Control {
	c := Control{More: YearlyCosts(p.Seasons, last).All() - YearlyCosts(first.Seasons, last).All(), Per100: math.NaN(), EvenAt: math.NaN()}
	for i := range last + 1 {
		c.Prevented += (headsOf(first, i) - headsOf(p, i)) / float64(last+1)
	}
	if c.More > 0 && c.Prevented > 0 {
		c.Per100 = 100 * c.More / c.Prevented
	}
	if crop == nil {
		return c
	}
	tonnes := p.tonnes(crop, last) - first.tonnes(crop, last)
	if math.Abs(tonnes) < leastTonnes {
		return c
	}
	earns := mean(decide.Differences(p.Yearly, first.Yearly))
	if at := p.price(crop, first, last) - earns/tonnes; at > 0 {
		c.EvenAt = at
	}
	return c
}

// leastTonnes is the difference in yield, t/ha a year, below which no price makes two plans even.
const leastTonnes = 0.02

// headsOf is the mean of the heads of a season; a crop without heads has none.
func headsOf(p *Contender, i int) float64 {
	sum := 0.0
	heads := p.Outcome.Column(sim.Heads, i)
	for _, x := range heads {
		if !math.IsNaN(x) {
			sum += x
		}
	}
	return sum / float64(len(heads))
}

// plannedIn are the branches of a season as planned; one where nothing is chosen.
func (p *Contender) plannedIn(i int) []*rotations.Course {
	var out []*rotations.Course
	for b := range p.Calendar.Branches(i) {
		if s := p.Calendar.Taken(i, b); s != nil {
			out = append(out, &s.Courses[0])
		} else {
			out = append(out, &p.Calendar.Seasons[i].Courses[0]) // no run takes it
		}
	}
	return out
}

// tonnes are what a plan harvests of a crop where it is planned, mean per ha and year.
func (p *Contender) tonnes(crop *params.Entry, last int) (sum float64) {
	for i := range last + 1 {
		planned, branch := p.plannedIn(i), p.Outcome.Column(sim.Branch, i)
		yields := p.Outcome.Column(sim.Yield, i)
		for k, x := range yields {
			if !math.IsNaN(x) && planned[int(branch[k])].Crop.Name == crop.Name {
				sum += x / float64(len(yields)*(last+1))
			}
		}
	}
	return sum
}

// price is what a crop fetches in the first season of two plans that grows it.
func (p *Contender) price(crop *params.Entry, other *Contender, last int) float64 {
	for _, plan := range []*Contender{p, other} {
		for i := range last + 1 {
			for _, c := range plan.plannedIn(i) {
				if c.Crop.Name == crop.Name {
					return c.Price.Central
				}
			}
		}
	}
	return math.NaN()
}

// mainCrop is the crop that plans grow in most seasons, of those that are sold.
func mainCrop(plans []*Contender, last int) *params.Entry {
	var best *params.Entry
	most := map[string]int{}
	for _, p := range plans {
		for i := range last + 1 {
			c := &p.Seasons[i].Courses[0]
			if c.Price == nil || c.Price.Central <= 0 {
				continue
			}
			if most[c.Crop.Name]++; best == nil || most[c.Crop.Name] > most[best.Name] {
				best = c.Crop
			}
		}
	}
	return best
}
