package study

import (
	"math"

	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/ensemble"
	particles "rundown/sim/update"
)

// SideReplicates is how many runs the sweeps at other infestations make: the
// differences between dates that they are made for are paired, and so are known
// well enough.
const SideReplicates = 250

// DrillingRequest asks what another drilling date would change.
type DrillingRequest struct {
	Calendar   *rotations.Calendar
	Replicates int
	Seed       uint64
	Posterior  *particles.Posterior
	Season     int        // index of the season swept
	Dates      []date.Day // in order
}

// hasSides tells whether other infestations are tried: not of a field that was
// counted, whose infestation is what was found, nor of clean ground, of which
// there is no more and no less.
func (q *DrillingRequest) hasSides() bool { return q.Posterior == nil && !clean(q.Calendar) }

// SidePlans is how many plans are run at other infestations.
func (q *DrillingRequest) SidePlans() int {
	if !q.hasSides() {
		return 0
	}
	sides, between := infestations(q.Calendar)
	return len(sides)*len(q.Dates) + 2*len(between)
}

func (q *DrillingRequest) sideReplicates() int { return min(q.Replicates, SideReplicates) }

// Runs are every date at the plan's infestation and at three others; then the two
// dates of the crossover, which hang on those, at more.
func (q *DrillingRequest) Runs(given []Outcomes) ([]Runs, error) {
	sides, between := infestations(q.Calendar)
	switch {
	case len(given) == 0:
		main, err := q.moved([]*rotations.Calendar{q.Calendar}, q.Dates)
		if err != nil {
			return nil, err
		}
		out := []Runs{{Calendars: main, Replicates: q.Replicates, Seed: q.Seed, Past: q.Posterior}}
		if !q.hasSides() {
			return out, nil
		}
		others, err := q.moved(q.infested(sides), q.Dates)
		return append(out, Runs{Round: Sides, Calendars: others, Replicates: q.sideReplicates(), Seed: q.Seed}), err
	case len(given) == 2:
		d := &Drilling{DrillingRequest: *q, Outcomes: given[0], Sides: q.sides(sides, q.Dates, given[1])}
		early, late := d.ends()
		two, err := q.moved(q.infested(between), []date.Day{q.Dates[early], q.Dates[late]})
		return []Runs{{Round: Between, Calendars: two, Replicates: q.sideReplicates(), Seed: q.Seed}}, err
	}
	return nil, nil
}

// moved are plans with every date.
func (q *DrillingRequest) moved(plans []*rotations.Calendar, dates []date.Day) ([]*rotations.Calendar, error) {
	var out []*rotations.Calendar
	for _, c := range plans {
		for _, d := range dates {
			moved, err := c.WithDrilling(q.Season, d)
			if err != nil {
				return nil, err
			}
			out = append(out, moved)
		}
	}
	return out, nil
}

func (q *DrillingRequest) infested(at []float64) []*rotations.Calendar {
	var out []*rotations.Calendar
	for _, x := range at {
		out = append(out, q.Calendar.WithInfestation(x))
	}
	return out
}

// sides deals outcomes out by infestation.
func (q *DrillingRequest) sides(at []float64, dates []date.Day, outcomes Outcomes) []Side {
	var out []Side
	for i, x := range at {
		out = append(out, Side{Infestation: x, Outcomes: outcomes[i*len(dates) : (i+1)*len(dates)]})
	}
	return out
}

// infestations are those at which the sweep is made again, low, medium and
// high (in heads of black-grass those of 0.5, 10 and 100 plants per m²), and those
// at which two dates are held against each other, clean ground first. Where a plan starts from a seedbank
// they are multiples of it.
func infestations(c *rotations.Calendar) (sides, between []float64) {
	if c.HasSeedbank {
		return []float64{0.1, 1, 10}, []float64{0, 0.0001, 0.0003, 0.001, 0.003, 0.01, 0.03}
	}
	return []float64{3, 58, 430}, []float64{0, 0.01, 0.03, 0.1, 0.3, 1, 10}
}

// clean tells whether a plan starts from a seedbank that it states as empty.
func clean(c *rotations.Calendar) bool {
	for _, v := range append(c.Seedbank[:], c.FreshPerM2) {
		if v != nil && v.Central > 0 {
			return false
		}
	}
	return c.HasSeedbank
}

// Side is part of a sweep at another infestation.
type Side struct {
	Infestation float64 // heads per m² at the start, or the plan's seedbank so many times
	Outcomes    []*ensemble.Outcome
	Margins     [][]float64    // by date: mean yearly margin from the season on
	Best        decide.Optimum // of those; of a side of all dates
}

// Drilling is what a sweep of drilling dates found.
type Drilling struct {
	DrillingRequest
	SideReplicates int
	Outcomes       []*ensemble.Outcome
	Sides          []Side         // every date at other infestations, ascending
	Between        []Side         // the two dates of the crossover at more of them, ascending from clean ground
	Planned        int            // the date nearest to the planned one
	Missed         []float64      // by date: share of runs in which the planned crop does not go in
	Onward         [][]float64    // by date: mean yearly margin from the season to the plan's end
	Best           decide.Optimum // of those
	Now            decide.Optimum // of the season's own margin
	DateLoss       [][]float64    // by date: share of the weed-free yield that the date costs
	Usable         int            // the best of the dates on which the crop mostly goes in; −1: none
	Lead           int            // the date to speak for: the best, or, where the crop often does not go in then, Usable
	Fallback       *Fallback      // how much of the best date's gain is of what is grown instead; nil: not worth telling
	Early, Late    int            // the dates of the crossover
	Cross          decide.Crossover
	CleanGain      float64 // what the later of them earns more on clean ground, mean, per ha and year
	Gain           Band    // of the best over the planned date, run by run
	More           float64 // share of runs in which the best earns more than the planned date
	Warnings       []Warning
}

// Fallback parts the gain of a date by what is grown.
type Fallback struct {
	All, In, Out float64 // median gains: in all runs, where the crop goes in on both dates, where not on the best
}

// OftenMissed is the share of runs from which on a date is as much a choice of
// the fallback as of the crop.
const OftenMissed = 0.2

// Find makes the sweep of its runs.
func (q *DrillingRequest) Find(given []Outcomes) *Drilling {
	d := &Drilling{DrillingRequest: *q, SideReplicates: q.sideReplicates(), Outcomes: given[0]}
	d.Onward = d.margins(d.Outcomes)
	d.Best = decide.Best(d.Onward)
	var now [][]float64
	for _, o := range d.Outcomes {
		now = append(now, o.Column(sim.Margin, d.Season))
		d.Missed = append(d.Missed, decide.Missed(o, d.Season))
	}
	d.Now = decide.Best(now)
	d.DateLoss = decide.DateLosses(d.Outcomes, d.Season)
	d.Planned = d.planned()
	d.leads()
	d.Fallback = d.fallback()
	a, b := d.Onward[d.Best.Best], d.Onward[d.Planned]
	d.Gain, d.More = difference(a, b), decide.Wins(a, b)
	first := ForecastRequest{q.Calendar, q.Replicates, q.Seed, q.Posterior}
	d.Warnings = (&Forecast{ForecastRequest: first, Outcome: d.Outcomes[0]}).asked()
	if len(given) > 1 {
		sides, between := infestations(q.Calendar)
		d.Sides = q.sides(sides, q.Dates, given[1])
		for i := range d.Sides {
			d.Sides[i].Margins = d.margins(d.Sides[i].Outcomes)
			d.Sides[i].Best = decide.Best(d.Sides[i].Margins)
		}
		d.Early, d.Late = d.ends()
		d.Between = q.sides(between, []date.Day{q.Dates[d.Early], q.Dates[d.Late]}, given[2])
		d.crossing()
	}
	return d
}

// asked are the warnings of a plan that hang on none of its seasons.
func (f *Forecast) asked() []Warning {
	return appendIf(nil, f.resistance(), f.unmet())
}

// margins is the mean yearly margin from the swept season on, for each date.
func (d *Drilling) margins(outcomes []*ensemble.Outcome) [][]float64 {
	var out [][]float64
	for _, o := range outcomes {
		out = append(out, decide.MeanMargin(o, d.Season))
	}
	return out
}

// apart is how far apart, in days, two dates must be to be called early and late.
const apart = 14

// ends are the indices of the dates whose margins are held against each other
// for the crossover: the first, and the best at the plan's infestation; where that
// is hardly later, the best at the heaviest, else the last.
func (d *Drilling) ends() (early, late int) {
	for _, outcomes := range [][]*ensemble.Outcome{d.Outcomes, d.Sides[len(d.Sides)-1].Outcomes} {
		if late = decide.Best(d.margins(outcomes)).Best; d.Dates[late]-d.Dates[0] >= apart {
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

// planned is the date of the sweep nearest to the one in the plan.
func (d *Drilling) planned() int {
	want, at := d.Calendar.Seasons[d.Season].Courses[0].Drill.On, 0
	for i, x := range d.Dates {
		if math.Abs(float64(x-want)) < math.Abs(float64(d.Dates[at]-want)) {
			at = i
		}
	}
	return at
}

// leads finds the best of the dates on which the crop mostly goes in, and the date
// to speak for.
func (d *Drilling) leads() {
	d.Usable, d.Lead = -1, d.Best.Best
	for i, m := range d.Best.Medians {
		if d.Missed[i] < OftenMissed && (d.Usable < 0 || m > d.Best.Medians[d.Usable]) {
			d.Usable = i
		}
	}
	if d.Usable >= 0 && d.Missed[d.Best.Best] >= OftenMissed {
		d.Lead = d.Usable
	}
}

// fallback is how much of the best date's gain is of what is grown instead; nil where
// the crop nearly always goes in, or the best date is the planned one.
func (d *Drilling) fallback() *Fallback {
	at, best := d.Planned, d.Best.Best
	if at == best || d.Missed[best] < OftenMissed {
		return nil
	}
	var in, out []float64
	then, now := d.Outcomes[best].Column(sim.Course, d.Season), d.Outcomes[at].Column(sim.Course, d.Season)
	all := decide.Differences(d.Onward[best], d.Onward[at])
	for k, x := range all {
		switch {
		case now[k] > 0:
		case then[k] == 0:
			in = append(in, x)
		default:
			out = append(out, x)
		}
	}
	if len(in) == 0 || len(out) == 0 {
		return nil
	}
	return &Fallback{decide.Median(all), decide.Median(in), decide.Median(out)}
}

// PlannedForecast is where the plan leads when it is drilled on the swept date next
// to the planned one.
func (d *Drilling) PlannedForecast() *Forecast {
	q := ForecastRequest{d.Calendar, d.Replicates, d.Seed, d.Posterior}
	if moved, err := d.Calendar.WithDrilling(d.Season, d.Dates[d.Planned]); err == nil { // it was run, so it can be made
		q.Calendar = moved
	}
	return q.find(d.Outcomes[d.Planned])
}
