package study

import (
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
	Seasons    []int      // moved together, by as many days; the first is the one that Dates are of
	Dates      []date.Day // in order, the planned one among them
	GoesIn     float64    // share of runs in which the crop must go in, over the seasons moved, for a date to be called best
	Alone      bool       // the work before drilling stays on its day
}

// Season is the season that Dates are of.
func (q *DrillingRequest) Season() int { return q.Seasons[0] }

// Days is how much later than planned a date is.
func (q *DrillingRequest) Days(d date.Day) date.Day { return d - q.PlannedDay() }

// PlannedDay is the planned day of the season that Dates are of.
func (q *DrillingRequest) PlannedDay() date.Day {
	return q.Calendar.Seasons[q.Season()].Courses[0].Drill.On
}

// Moved is the plan with a date.
func (q *DrillingRequest) Moved(c *rotations.Calendar, d date.Day) (*rotations.Calendar, error) {
	return c.WithDrillings(q.Seasons, q.Days(d), !q.Alone)
}

// Beyond tells whether a date is after the latest day of a season that is moved, so
// that it has a latest day of its own.
func (q *DrillingRequest) Beyond(d date.Day) bool {
	for _, i := range q.Seasons {
		if drill := q.Calendar.Seasons[i].Courses[0].Drill; drill.On+q.Days(d) > drill.Latest {
			return true
		}
	}
	return false
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
// dates of the crossover, which hang on those, at more, and the best date with the work
// before it left on its day.
func (q *DrillingRequest) Runs(given []Outcomes) ([]Runs, error) {
	sides, between := infestations(q.Calendar)
	switch {
	case len(given) == 0:
		main, err := q.moved([]*rotations.Calendar{q.Calendar}, q.Dates)
		if err != nil {
			return nil, err
		}
		out := []Runs{{Calendars: main, Replicates: q.Replicates, Seed: q.Seed, Work: true, Past: q.Posterior}}
		if !q.hasSides() {
			return out, nil
		}
		others, err := q.moved(q.infested(sides), q.Dates)
		return append(out, Runs{Round: Sides, Calendars: others, Replicates: q.sideReplicates(), Seed: q.Seed}), err
	case len(given) == 1 && !q.hasSides():
		d, _ := q.dated(given[0])
		return q.dateAlone(d), nil
	case len(given) == 2 && q.hasSides():
		d, _ := q.dated(given[0])
		d.Sides = q.sides(sides, q.Dates, given[1])
		early, late := d.ends()
		two, err := q.moved(q.infested(between), []date.Day{q.Dates[early], q.Dates[late]})
		return append([]Runs{{Round: Between, Calendars: two, Replicates: q.sideReplicates(), Seed: q.Seed}}, q.dateAlone(d)...), err
	}
	return nil, nil
}

// dateAlone are runs of the best date with the work before it left on its day, which part what
// the date does from what the work does that moves with it; none where none moves, or the planned
// date is kept.
func (q *DrillingRequest) dateAlone(d *Drilling) []Runs {
	if q.Alone || d.Best.Best < 0 || d.AsGood(d.Planned) || len(q.Along()) == 0 {
		return nil
	}
	c, err := q.Calendar.WithDrillings(q.Seasons, q.Days(q.Dates[d.Best.Best]), false)
	if err != nil {
		return nil // a cover would still stand
	}
	return []Runs{{Round: DateAlone, Calendars: []*rotations.Calendar{c}, Replicates: q.Replicates, Seed: q.Seed, Past: q.Posterior,
		Keep: []sim.Metric{sim.Margin}}}
}

// Along is the work of the first season moved that would stay on its day if the date moved
// alone: what is counted back from the drilling is not among it.
func (q *DrillingRequest) Along() []rotations.Operation {
	var out []rotations.Operation
	for _, o := range q.Calendar.MovesAlong(q.Season(), true) {
		if o.Timing == rotations.OnDate {
			out = append(out, o)
		}
	}
	return out
}

// moved are plans with every date.
func (q *DrillingRequest) moved(plans []*rotations.Calendar, dates []date.Day) ([]*rotations.Calendar, error) {
	var out []*rotations.Calendar
	for _, c := range plans {
		for _, d := range dates {
			moved, err := q.Moved(c, d)
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
