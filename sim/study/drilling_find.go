package study

import (
	"math"
	"slices"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/ensemble"
)

// Drilling is what a sweep of drilling dates found.
type Drilling struct {
	DrillingRequest
	SideReplicates int
	Outcomes       []*ensemble.Outcome
	Sides          []Side         // every date at other infestations, ascending
	Between        []Side         // the two dates of the crossover at more of them, ascending from clean ground
	Planned        int            // the planned date
	Missed         []float64      // by date: share of runs in which the crop of the first season moved does not go in
	GoesInShare    []float64      // by date: share of runs in which the crop goes in, over the seasons moved
	May            []bool         // by date: whether that is as often as is asked
	Onward         [][]float64    // by date: mean yearly margin from the season to the plan's end
	Best           decide.Optimum // of those, among the dates that may be called best
	Now            decide.Optimum // of the season's own margin, likewise
	DateLoss       [][]float64    // by date: share of the weed-free yield that the date costs
	Heads          [][]float64    // by date: mean over the seasons moved, in whatever is grown
	Against        []Against      // by date: the planned one
	NowLess        []float64      // by date: mean margin of the season less that of the planned date
	Early, Late    int            // the dates of the crossover
	Cross          decide.Crossover
	CleanGain      float64     // what the later of them earns more on clean ground, mean, per ha and year
	Work           []DatedWork // of the planned date, and of the answer's where that is another
	Warnings       []Warning
	Answer         *DrillingAnswer
}

// Choice says what the answer of a sweep comes to.
type Choice string

// Choices.
const (
	Keep    Choice = "keep"    // the planned date is best, or not told apart from it
	Later   Choice = "later"   // the best date is later
	Earlier Choice = "earlier" // the best date is earlier
	Seldom  Choice = "seldom"  // the crop goes in as often as is asked on no date
)

// DrillingAnswer is what a sweep owes first: the best date against the planned one.
type DrillingAnswer struct {
	Choice     Choice
	Best       int     // index of the best date; where there is none, of that on which the crop goes in most often
	HeadsRatio float64 // of the best date's heads to the planned one's, over the seasons moved, median over the runs; NaN: there are none
	Against            // of the best date
	Now        float64 // what the best date earns more this season, per ha
	Alone      float64 // what it earns more a year with the work before it left on its day, per ha; NaN: not asked
}

// dated is a sweep as far as its dates at the plan's infestation tell it.
func (q *DrillingRequest) dated(outcomes Outcomes) (d *Drilling, now [][]float64) {
	d = &Drilling{DrillingRequest: *q, SideReplicates: q.sideReplicates(), Outcomes: outcomes}
	d.Onward = d.margins(d.Outcomes)
	d.Planned = slices.Index(q.Dates, q.PlannedDay())
	for _, o := range d.Outcomes {
		now = append(now, o.Column(sim.Margin, d.Season()))
		d.Missed = append(d.Missed, decide.Missed(o, d.Season()))
		d.goesIn(o)
		d.Heads = append(d.Heads, d.meanHeads(o))
	}
	d.Best, d.Now = decide.Best(d.Onward, d.May, WorthSaying), decide.Best(now, d.May, WorthSaying)
	return d, now
}

// Find makes the sweep of its runs.
func (q *DrillingRequest) Find(given []Outcomes) *Drilling {
	d, now := q.dated(given[0])
	d.DateLoss = decide.DateLosses(d.Outcomes, d.Season())
	d.against(now)
	d.Answer = d.answer()
	first := ForecastRequest{q.Calendar, q.Replicates, q.Seed, q.Posterior}
	planned := &Forecast{ForecastRequest: first, Outcome: d.Outcomes[d.Planned]}
	d.Warnings = appendIf(append(ofPlan(q.Calendar), planned.asked()...), d.missedFrom())
	d.work()
	if q.hasSides() && len(given) > 2 {
		sides, between := infestations(q.Calendar)
		d.Sides = q.sides(sides, q.Dates, given[1])
		for i := range d.Sides {
			d.Sides[i].Margins = d.margins(d.Sides[i].Outcomes)
			d.Sides[i].Best = decide.Best(d.Sides[i].Margins, d.May, WorthSaying)
		}
		d.Early, d.Late = d.ends()
		d.Between = q.sides(between, []date.Day{q.Dates[d.Early], q.Dates[d.Late]}, given[2])
		d.crossing()
	}
	d.alone(given)
	return d
}

// alone finds what the best date earns with the work before it left on its day.
func (d *Drilling) alone(given []Outcomes) {
	d.Answer.Alone = math.NaN()
	at := 1
	if d.hasSides() {
		at = 3
	}
	if len(given) > at {
		last := len(d.Calendar.Seasons) - 1
		yearly := func(o *Outcome) []float64 { return scaled(decide.MarginSoFar(o)[last], 1/float64(last+1)) }
		d.Answer.Alone = mean(decide.Differences(yearly(given[at][0]), yearly(d.Outcomes[d.Planned])))
	}
}

// asked are the warnings of a plan that hang on none of its seasons.
func (f *Forecast) asked() []Warning {
	return appendIf(nil, f.resistance(), f.unmet(), f.fewHistories())
}

// goesIn is how often the crop goes in on a date.
func (d *Drilling) goesIn(o *ensemble.Outcome) {
	share, crop := 0.0, d.Calendar.Seasons[d.Season()].Courses[0].Crop.Name
	for _, i := range d.Seasons {
		share += 1 - decide.MissedOf(o, i, crop)
	}
	share /= float64(len(d.Seasons))
	d.GoesInShare, d.May = append(d.GoesInShare, share), append(d.May, share >= d.GoesIn)
}

// meanHeads is the heads of the seasons moved, by replicate.
func (d *Drilling) meanHeads(o *ensemble.Outcome) []float64 {
	out := make([]float64, o.Replicates)
	for _, i := range d.Seasons {
		for k, x := range o.Column(sim.Heads, i) {
			if !math.IsNaN(x) {
				out[k] += x / float64(len(d.Seasons))
			}
		}
	}
	return out
}

// against sets every date against the planned one, as compare does plans.
func (d *Drilling) against(now [][]float64) {
	last := len(d.Calendar.Seasons) - 1
	planned := wayOf(d.Outcomes[d.Planned], last)
	for i, o := range d.Outcomes {
		d.Against = append(d.Against, wayOf(o, last).against(planned, d.Calendar.AreaHa))
		d.NowLess = append(d.NowLess, mean(decide.Differences(now[i], now[d.Planned])))
	}
}

// answer sets the best date against the planned one.
func (d *Drilling) answer() *DrillingAnswer {
	a := &DrillingAnswer{Choice: Keep, Best: d.Best.Best, HeadsRatio: math.NaN()}
	switch {
	case a.Best < 0:
		a.Choice, a.Best = Seldom, 0
		for i, x := range d.GoesInShare {
			if x > d.GoesInShare[a.Best] {
				a.Best = i
			}
		}
	case d.AsGood(d.Planned):
	case a.Best > d.Planned:
		a.Choice = Later
	default:
		a.Choice = Earlier
	}
	a.Against, a.Now = d.Against[a.Best], d.NowLess[a.Best]
	var ratios []float64
	for k, x := range d.Heads[d.Planned] {
		if x > 0 {
			ratios = append(ratios, d.Heads[a.Best][k]/x)
		}
	}
	if len(ratios) > 0 {
		a.HeadsRatio = median(ratios)
	}
	return a
}

// AsGood tells whether the crop goes in on a date as often as is asked, and the error of
// their difference does not part it from the best.
func (d *Drilling) AsGood(i int) bool {
	return d.Best.Best >= 0 && d.May[i] && !decide.Parted(d.Onward[d.Best.Best], d.Onward[i], WorthSaying)
}

// margins is the mean yearly margin from the swept season on, for each date.
func (d *Drilling) margins(outcomes []*ensemble.Outcome) [][]float64 {
	var out [][]float64
	for _, o := range outcomes {
		out = append(out, decide.MeanMargin(o, d.Season()))
	}
	return out
}

// apart is how far apart, in days, two dates must be to be called early and late.
const apart = 14

// ends are the indices of the dates whose margins are held against each other
// for the crossover: the first, and the best at the plan's infestation; where that
// is hardly later, the best at the heaviest, else the last. All mostly go in, unless none does.
func (d *Drilling) ends() (early, late int) {
	may := d.May
	if d.Best.Best < 0 {
		may = nil
	}
	for _, outcomes := range [][]*ensemble.Outcome{d.Outcomes, d.Sides[len(d.Sides)-1].Outcomes} {
		if late = decide.Best(d.margins(outcomes), may, 0).Best; d.Dates[late]-d.Dates[0] >= apart {
			return 0, late
		}
	}
	return 0, len(d.Dates) - 1
}

// crossing finds where early and late change places.
func (d *Drilling) crossing() {
	var gains []decide.Gain
	gain := func(x Side, early, late int) decide.Gain {
		m := d.margins([]*ensemble.Outcome{x.Outcomes[early], x.Outcomes[late]})
		return decide.Gain{Density: x.Infestation, Differences: decide.Differences(m[1], m[0])}
	}
	sides := d.Sides
	for _, x := range d.Between {
		for len(sides) > 0 && sides[0].Infestation < x.Infestation {
			gains, sides = append(gains, gain(sides[0], d.Early, d.Late)), sides[1:]
		}
		gains = append(gains, gain(x, 0, 1))
	}
	for _, x := range sides {
		gains = append(gains, gain(x, d.Early, d.Late))
	}
	d.CleanGain = mean(gains[0].Differences)
	d.Cross = decide.Cross(gains)
}

// PlannedForecast is where the plan itself leads.
func (d *Drilling) PlannedForecast() *Forecast {
	q := ForecastRequest{d.Calendar, d.Replicates, d.Seed, d.Posterior}
	return q.find(d.Outcomes[d.Planned])
}
