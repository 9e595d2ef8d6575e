package study

import (
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
)

// Value is what a plan earns with what the seed that it left behind costs, by replicate, per
// ha. A plan that ends dirty has borrowed: the weed takes yield of whatever is grown next.
// Every plan is therefore continued by the same crops, and what the weed took of those, against
// clean ground, is charged to it. A sum that comes later counts for less.
type Value struct {
	Margin []float64 // a year: the equal sum in each year of the plan with the present value of its margins
	Left   []float64 // what the seed left behind costs, in all: its present value at the start of the plan
	Year   []float64 // the value a year: Margin less the equal sum with the present value of Left
	Later  []float64 // what the weed took, a year of what is grown afterwards; not discounted
}

// ValueOf takes the value of a calendar that is Continued, of runs that keep Margin and
// TakenByWeeds. The harvest of the plan's first season is a year from its start.
func ValueOf(c *rotations.Calendar, o *ensemble.Outcome) Value {
	n := len(c.Seasons) - c.After
	v := Value{Margin: make([]float64, o.Replicates), Left: make([]float64, o.Replicates), Year: make([]float64, o.Replicates),
		Later: make([]float64, o.Replicates)}
	sum, worth := 0.0, 1.0
	for i := range c.Seasons {
		worth /= 1 + c.Discount
		if i < n {
			sum += worth
			add(v.Margin, o.Column(sim.Margin, i), worth)
			continue
		}
		taken := o.Column(sim.TakenByWeeds, i)
		add(v.Left, taken, worth)
		add(v.Later, taken, 1/float64(c.After))
	}
	for k := range v.Year {
		v.Margin[k] /= sum
		v.Year[k] = v.Margin[k] - v.Left[k]/sum
	}
	return v
}

// add adds a column, times a factor, to another.
func add(to, x []float64, by float64) {
	for k := range to {
		to[k] += x[k] * by
	}
}

// continued are calendars with what is grown afterwards behind them.
func continued(list []*rotations.Calendar, b rotations.Behind) ([]*rotations.Calendar, error) {
	var out []*rotations.Calendar
	for _, c := range list {
		more, err := c.Continued(b)
		if err != nil {
			return nil, err
		}
		out = append(out, more)
	}
	return out, nil
}

// LeftAYear is the equal yearly sum, over the plan's years, of what the seed left costs.
func (v *Value) LeftAYear() []float64 {
	out := make([]float64, len(v.Year))
	for k := range out {
		out[k] = v.Margin[k] - v.Year[k]
	}
	return out
}
