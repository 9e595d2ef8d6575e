package study

import (
	"math"
	"slices"

	"rundown/params"
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
	Names      []string // of the plans; what they say is no surprise
	Threshold  float64  // heads per m² to stay under; 0: the first plan's, or the library's for its last crop
	Afterwards bool     // the plans are valued with what the seed that they leave behind costs
}

// Runs are one round of all plans.
func (q *CompareRequest) Runs(given []Outcomes) ([]Runs, error) {
	if len(given) > 0 {
		return nil, nil
	}
	plans, err := q.run()
	return []Runs{{Calendars: plans, Replicates: q.Replicates, Seed: q.Seed, Work: true, Past: q.Posterior}}, err
}

// run are the calendars that are run: the plans, with what is grown afterwards behind them
// where that is asked for.
func (q *CompareRequest) run() ([]*rotations.Calendar, error) {
	if !q.Afterwards {
		return q.Calendars, nil
	}
	return continued(q.Calendars, rotations.Behind{})
}

// Contender is one plan of a comparison, against the first.
type Contender struct {
	*Forecast
	Index      int
	SoFar      [][]float64      // margin up to a season, by season and replicate
	Yearly     []float64        // mean yearly margin to the end, by replicate
	Heads      []float64        // at the end, by replicate
	Seed       []float64        // at the end with its year's rain, whatever the last crop, by replicate
	Difference [][]Band         // by season and compared metric, this plan less the first; seasons that both have
	SumLess    []Band           // difference of the margin so far, by season
	Better     []decide.Chances // than the first plan, by season: heads of the season, margin so far
	PerYear    Band             // difference of the mean yearly margin
	Against    Against          // the first plan
	Costs      Costs            // a year, to the end
	Extra      Control          // than the first plan
	Differs    []Practice       // what it does differently from the first plan
	Under      decide.Under     // how heads keep under the threshold, from From to the end
	Control    []Band           // share of the seedlings that did not live to head
	Needed     []Band           // share that would have held the seedbank still
	Ratio      float64          // variance ratio of log heads at the last harvest, 0: no difference
	RatioMoney float64          // and of the mean yearly margin
	Value      *Value           // with what the seed left behind costs; nil: not asked for
}

// Compare is what a comparison found. Plans are ranked by what they have at the
// end, the last harvest that all of them have: as clean by the median of the seed, as
// profitable by the mean of the margin, since money adds up over the years.
type Compare struct {
	CompareRequest
	Plans     []*Contender
	From      int     // first season that Under is about: behind the year last counted, as in a forecast
	End       int     // season of the end
	Unequal   bool    // plans end in different years
	Longest   int     // index of the plan with the most seasons
	SameCrop  bool    // all plans have one crop at the end; else heads there hang on the crop
	Alike     bool    // every plan ends as the first, run by run
	Cleanest  int     // by the median of the seed
	Richest   int     // by the mean of the yearly margin
	Wins      float64 // share of runs in which the cleanest has the least seed of all, ties shared
	Close     int     // nearly as clean as the cleanest, and earns more; −1: none
	CloseBy   float64 // so much more a year, per ha
	Beaten    []Beaten
	Unsettled []Contest
	Trade     Against       // the cleanest against the richest, or, where they are one, against the first, or the next best earner
	Other     int           // that the Trade is against
	MainCrop  *params.Entry // grown in most seasons of all plans, of crops that are sold; nil: none is
	Near      bool          // the two of the Trade end about as clean: see nearBy
	Besides   []Practice    // what the two of the Trade do differently that their names do not say
	Worth     int           // worth most by the mean of the value a year; −1: not asked for
}

// Beaten is a plan that another beats: less seed by the median, more margin by the mean.
type Beaten struct {
	Plan, By int
	Both     float64 // share of runs in which both are better, ties half
}

// Contest is a pair of plans that is within the error of the runs.
type Contest struct {
	decide.Contest
	Money bool // in margin, else in seed
}

// Find makes the comparison of its runs.
func (q *CompareRequest) Find(given []Outcomes) *Compare {
	c := &Compare{CompareRequest: *q, End: len(q.Calendars[0].Seasons) - 1, Close: -1, Worth: -1}
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
	c.From = endsOf(q.Calendars[0], q.Posterior, c.End).From
	run, _ := q.run() // there were runs, so they can be continued
	for i, whole := range given[0] {
		o := whole.FirstSeasons(len(q.Calendars[i].Seasons))
		one := ForecastRequest{q.Calendars[i], q.Replicates, q.Seed, q.Posterior}
		p := &Contender{Forecast: one.find(o), Index: i}
		if q.Afterwards {
			v := ValueOf(run[i], whole)
			p.Value = &v
		}
		p.measure(c)
		c.Plans = append(c.Plans, p)
		p.against(c.Plans[0])
		p.Differs = c.practices(i, 0)
	}
	c.SameCrop = !slices.ContainsFunc(c.Plans, func(p *Contender) bool { return oneCrop(p.Calendar, c.End) != c.Plans[0].Seasons[c.End].Crop })
	c.Alike = !slices.ContainsFunc(c.Plans, func(p *Contender) bool {
		return !slices.Equal(p.Heads, c.Plans[0].Heads) || !slices.Equal(p.Yearly, c.Plans[0].Yearly)
	})
	c.rank()
	c.MainCrop = mainCrop(c.Plans, c.End)
	for _, p := range c.Plans {
		p.Costs = YearlyCosts(p.Seasons, c.End)
		p.Extra = p.control(c.Plans[0], c.End, c.MainCrop)
	}
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
	p.Seed = p.Outcome.Column(sim.SeedAfter, c.End)
	p.Under = decide.KeepsUnder(p.Outcome, sim.Heads, c.Threshold, c.From, c.End)
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
	p.Against = p.way().against(first.way(), p.Calendar.AreaHa)
	p.Ratio = decide.VarianceRatio(decide.Logs(p.Heads), decide.Logs(first.Heads))
	p.RatioMoney = decide.VarianceRatio(p.Yearly, first.Yearly)
}

func (p *Contender) way() way { return way{p.Heads, p.Seed, p.Yearly} }

// rank finds the leaders, what lies between them and what is not settled.
func (c *Compare) rank() {
	for i, p := range c.Plans {
		if median(p.Seed) < median(c.Plans[c.Cleanest].Seed) {
			c.Cleanest = i
		}
		if mean(p.Yearly) > mean(c.Plans[c.Richest].Yearly) {
			c.Richest = i
		}
		if p.Value != nil && (c.Worth < 0 || mean(p.Value.Year) > mean(c.Plans[c.Worth].Value.Year)) {
			c.Worth = i
		}
	}
	clean := c.Plans[c.Cleanest]
	c.Wins = c.wins(clean)
	for i, p := range c.Plans {
		gain := mean(decide.Differences(p.Yearly, clean.Yearly))
		if i != c.Cleanest && i != c.Richest && median(p.Seed) <= closeBehind*median(clean.Seed) && gain > c.CloseBy {
			c.Close, c.CloseBy = i, gain
		}
	}
	c.trade()
	c.beaten()
	c.unsettled()
}

// trade sets the cleanest plan against the one that earns most; where that is one plan, against
// the first, which is the grower's own, and where that is the first itself against the next.
func (c *Compare) trade() {
	if c.Other = c.Richest; c.Other == c.Cleanest {
		c.Other = 0
	}
	if c.Other == c.Cleanest {
		c.Other = -1
		for i, p := range c.Plans {
			if i != c.Cleanest && (c.Other < 0 || mean(p.Yearly) > mean(c.Plans[c.Other].Yearly)) {
				c.Other = i
			}
		}
	}
	clean, other := c.Plans[c.Cleanest], c.Plans[c.Other]
	c.Trade = clean.way().against(other.way(), clean.Calendar.AreaHa)
	end := median(other.Seed)
	apart := math.Abs(median(clean.Seed) - end)
	c.Near = math.Abs(c.Trade.Seed) <= nearBy*end && apart <= nearBy*end || // many ties hide a difference
		math.Abs(c.Trade.Cleaner-0.5) <= tossUp && apart <= (closeBehind-1)*min(median(clean.Seed), end)
	for _, p := range c.practices(c.Cleanest, c.Other) {
		if !p.Named {
			c.Besides = append(c.Besides, p)
		}
	}
}

// nearBy is the part of a plan's seed, by the median, below which another with less is
// not cleaner to anybody who walks the field, however sure it is (assumed).
const nearBy = 0.1

// tossUp is how near to a half the share of runs in which one of two plans has less seed says nothing of
// which is cleaner (assumed).
const tossUp = 0.05

func (c *Compare) practices(here, there int) []Practice {
	names := [2]string{}
	if len(c.Names) > 0 {
		names = [2]string{c.Names[here], c.Names[there]}
	}
	return Practices(c.Calendars[here], c.Calendars[there], names)
}

// closeBehind is how many times the median of the cleanest still is nearly as clean.
const closeBehind = 1.5

// wins is the share of runs in which a plan has the least of all, ties shared.
func (c *Compare) wins(best *Contender) float64 {
	of := best.Seed
	wins := 0.0
	for k := range of {
		least, ties := true, 1.0
		for _, p := range c.Plans {
			switch other := p.Seed; {
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
			if median(o.Seed) < median(p.Seed) && mean(o.Yearly) > mean(p.Yearly) {
				c.Beaten = append(c.Beaten, Beaten{i, j, decide.Better(o.Seed, o.Yearly, p.Seed, p.Yearly).Both})
				break
			}
		}
	}
}

// unsettled finds where a ranking is within the error of the runs.
func (c *Compare) unsettled() {
	var seed, margin [][]float64
	for _, p := range c.Plans {
		seed, margin = append(seed, p.Seed), append(margin, p.Yearly)
	}
	for _, x := range decide.Unsettled(seed, true, median) {
		c.Unsettled = append(c.Unsettled, Contest{x, false})
	}
	for _, x := range decide.Unsettled(margin, false, mean) {
		c.Unsettled = append(c.Unsettled, Contest{x, true})
	}
}
