package study

import (
	"slices"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/decide"
	particles "rundown/sim/update"
)

// Compared are the metrics whose paired differences are reported.
var Compared = []sim.Metric{sim.Plants, sim.Heads, sim.SeedReturn, sim.SeedbankJune, sim.Yield, sim.Margin}

// CompareRequest asks which of several plans of one field is better, and what it costs.
type CompareRequest struct {
	Calendars  []*rotations.Calendar
	Replicates int
	Seed       uint64
	Posterior  *particles.Posterior
	Threshold  float64 // heads per m² to stay under; 0: the first plan's, or the library's for its last crop
}

// Runs are one round of all plans.
func (q *CompareRequest) Runs(given []Outcomes) ([]Runs, error) {
	if len(given) > 0 {
		return nil, nil
	}
	return []Runs{{Calendars: q.Calendars, Replicates: q.Replicates, Seed: q.Seed, Past: q.Posterior}}, nil
}

// Contender is one plan of a comparison, against the first.
type Contender struct {
	*Forecast
	Index      int
	SoFar      [][]float64      // margin up to a season, by season and replicate
	Yearly     []float64        // mean yearly margin to the end, by replicate
	Heads      []float64        // at the end, by replicate
	Bank       []float64        // seed in the soil after the last harvest, its own rain included, by replicate
	Difference [][]Band         // by season and compared metric, this plan less the first; seasons that both have
	SumLess    []Band           // difference of the margin so far, by season
	Better     []decide.Chances // than the first plan, by season: heads of the season, margin so far
	PerYear    Band             // difference of the mean yearly margin
	Under      decide.Under     // how heads keep under the threshold to the end
	Control    []Band           // share of the seedlings that did not live to head
	Needed     []Band           // share that would have held the seedbank still
	Ratio      float64          // variance ratio of log heads at the last harvest, 0: no difference
	RatioMoney float64          // and of the mean yearly margin
}

// Compare is what a comparison found. Plans are ranked by what they have at the
// end: the last harvest that all of them have.
type Compare struct {
	CompareRequest
	Plans     []*Contender
	End       int     // season of the end
	Unequal   bool    // plans end in different years
	Longest   int     // index of the plan with the most seasons
	SameCrop  bool    // all plans have one crop at the end: then they are ranked by heads, else by seed in the soil
	Alike     bool    // every plan ends as the first, run by run
	Cleanest  int     // by the medians of what they are ranked by
	Richest   int     // by the medians of the yearly margin
	Wins      float64 // share of runs in which the cleanest has the least of all, ties shared
	Close     int     // nearly as clean as the cleanest, and earns more; −1: none
	CloseBy   float64 // so much more, to the ten
	Beaten    []Beaten
	Unsettled []Contest
	Paid      Band    // what the cleanest earns less than the richest
	Dearer    float64 // share of runs in which it earns less
}

// Beaten is a plan that another beats by the medians in heads, seed in the soil and margin.
type Beaten struct {
	Plan, By int
	Both     float64 // share of runs in which heads and margin both are better
}

// Contest is a pair of plans that is within the error of the runs.
type Contest struct {
	decide.Contest
	Money bool // in margin, else in what the plans are ranked by
}

// Find makes the comparison of its runs.
func (q *CompareRequest) Find(given []Outcomes) *Compare {
	c := &Compare{CompareRequest: *q, End: len(q.Calendars[0].Seasons) - 1, Close: -1}
	for i, plan := range q.Calendars {
		c.End = min(c.End, len(plan.Seasons)-1)
		c.Unequal = c.Unequal || len(plan.Seasons) != len(q.Calendars[0].Seasons)
		if len(plan.Seasons) > len(q.Calendars[c.Longest].Seasons) {
			c.Longest = i
		}
	}
	if c.Threshold == 0 {
		c.Threshold = threshold(q.Calendars[0])
	}
	for i, o := range given[0] {
		one := ForecastRequest{q.Calendars[i], q.Replicates, q.Seed, q.Posterior}
		p := &Contender{Forecast: one.find(o), Index: i}
		p.measure(c)
		c.Plans = append(c.Plans, p)
		p.against(c.Plans[0])
	}
	c.SameCrop = !slices.ContainsFunc(c.Plans, func(p *Contender) bool { return p.Seasons[c.End].Crop != c.Plans[0].Seasons[c.End].Crop })
	c.Alike = !slices.ContainsFunc(c.Plans, func(p *Contender) bool {
		return !slices.Equal(p.Heads, c.Plans[0].Heads) || !slices.Equal(p.Yearly, c.Plans[0].Yearly)
	})
	c.rank()
	return c
}

// threshold is the plan's own, or else what the library says of the last crop.
func threshold(c *rotations.Calendar) float64 {
	if c.ThresholdPer > 0 {
		return c.ThresholdPer
	}
	return c.Seasons[len(c.Seasons)-1].Courses[0].Crop.Value("heads_threshold").Central
}

// measure takes what a plan has on its own.
func (p *Contender) measure(c *Compare) {
	p.SoFar = decide.MarginSoFar(p.Outcome)
	p.Yearly = scaled(p.SoFar[c.End], 1/float64(c.End+1))
	for i := range p.Seasons {
		gone, needed := decide.Controls(p.Outcome, i)
		p.Control, p.Needed = append(p.Control, band(gone)), append(p.Needed, band(needed))
	}
	p.Heads = p.Outcome.Column(sim.Heads, c.End)
	p.Bank = p.Outcome.Column(sim.Seedbank, c.End)
	p.Under = decide.KeepsUnder(p.Outcome, sim.Heads, c.Threshold, c.End+1)
}

// against fills the paired comparison with the first plan.
func (p *Contender) against(first *Contender) {
	for i := range min(len(p.Seasons), len(first.Seasons)) {
		var row []Band
		for _, m := range Compared {
			row = append(row, difference(p.Outcome.Column(m, i), first.Outcome.Column(m, i)))
		}
		p.Difference = append(p.Difference, row)
		p.SumLess = append(p.SumLess, difference(p.SoFar[i], first.SoFar[i]))
		p.Better = append(p.Better, decide.Better(p.Outcome.Column(sim.Heads, i), p.SoFar[i], first.Outcome.Column(sim.Heads, i), first.SoFar[i]))
	}
	p.PerYear = difference(p.Yearly, first.Yearly)
	p.Ratio = decide.VarianceRatio(decide.Logs(p.Heads), decide.Logs(first.Heads))
	p.RatioMoney = decide.VarianceRatio(p.Yearly, first.Yearly)
}

// Measure is what a plan is ranked by: heads at the end, or, where the crops differ
// then, seed in the soil, for heads hang on the crop that they stand in. That is
// seed after harvest: on 30 June the last crop has not shed.
func (c *Compare) Measure(p *Contender) []float64 {
	if c.SameCrop {
		return p.Heads
	}
	return p.Bank
}

// rank finds the leaders, what lies between them and what is not settled.
func (c *Compare) rank() {
	for i, p := range c.Plans {
		if median(c.Measure(p)) < median(c.Measure(c.Plans[c.Cleanest])) {
			c.Cleanest = i
		}
		if median(p.Yearly) > median(c.Plans[c.Richest].Yearly) {
			c.Richest = i
		}
	}
	clean, rich := c.Plans[c.Cleanest], c.Plans[c.Richest]
	c.Wins = c.wins(clean)
	c.Paid = difference(rich.Yearly, clean.Yearly)
	c.Dearer = share(len(clean.Yearly), func(k int) bool { return rich.Yearly[k] > clean.Yearly[k] })
	for i, p := range c.Plans {
		gain := Rounded10(difference(p.Yearly, clean.Yearly).P50)
		if p != clean && p != rich && median(c.Measure(p)) <= closeBehind*median(c.Measure(clean)) && gain > c.CloseBy {
			c.Close, c.CloseBy = i, gain
		}
	}
	if clean != rich {
		c.beaten()
	}
	c.unsettled()
}

// closeBehind is how many times the median of the cleanest still is nearly as clean.
const closeBehind = 1.5

// wins is the share of runs in which a plan has the least of all, ties shared.
func (c *Compare) wins(best *Contender) float64 {
	of := c.Measure(best)
	wins := 0.0
	for k := range of {
		least, ties := true, 1.0
		for _, p := range c.Plans {
			switch other := c.Measure(p); {
			case p == best:
			case other[k] < of[k]:
				least = false
			case other[k] == of[k]:
				ties++
			}
		}
		if least {
			wins += 1 / ties
		}
	}
	return wins / float64(len(of))
}

// beaten finds the plans that another beats: in the decision picture it stands
// below and to the right.
func (c *Compare) beaten() {
	for i, p := range c.Plans {
		if i == c.Cleanest || i == c.Richest {
			continue
		}
		for j, o := range c.Plans {
			if median(o.Heads) < median(p.Heads) && median(o.Bank) < median(p.Bank) && median(o.Yearly) > median(p.Yearly) {
				c.Beaten = append(c.Beaten, Beaten{i, j, decide.Better(o.Heads, o.Yearly, p.Heads, p.Yearly).Both})
				break
			}
		}
	}
}

// unsettled finds where a ranking is within the error of the runs.
func (c *Compare) unsettled() {
	var clean, margin [][]float64
	for _, p := range c.Plans {
		clean, margin = append(clean, c.Measure(p)), append(margin, p.Yearly)
	}
	for _, x := range decide.Unsettled(clean, true) {
		c.Unsettled = append(c.Unsettled, Contest{x, false})
	}
	for _, x := range decide.Unsettled(margin, false) {
		c.Unsettled = append(c.Unsettled, Contest{x, true})
	}
}
