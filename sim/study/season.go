package study

import (
	"math"

	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
)

// Season is one season of a plan, summarised over its runs.
type Season struct {
	*rotations.Season
	Crop    string                   // the planned crop's name
	Bands   [sim.MetricCount]Band    // over the replicates with a value
	Grown   []Grown                  // the planned crop first
	Drilled *Drilled                 // nil: the planned crop needs no drilling
	Extinct float64                  // share of replicates with no seed and no plant left
	TooMany float64                  // share of the replicates that pull weeds in which they were too many
	Ledger  [sim.MetricCount]float64 // means over replicates; ledger metrics only
	Work    []Work                   // what became of it; nil: the runs did not keep it

	// Where a season is chosen on the way, all of the above is over all runs, the planned
	// crop being that of the branch that most runs took; of a branch it is over its own runs.
	Parts  []Season // one for each branch; nil: nothing is chosen
	Branch int      // of a part: which, from 0
	If     string   // its condition in words; "" for none
	Taken  float64  // share of all runs that took it
}

// Grown is a crop that a season grew.
type Grown struct {
	Name  string
	Share float64 // of replicates
}

// Drilled is when the planned crop went in, in the replicates that grew it.
type Drilled struct {
	Share         float64 // of all replicates
	P05, P50, P95 date.Day
}

// Summarise summarises the season i of a plan.
func Summarise(c *rotations.Calendar, o *ensemble.Outcome, i int) Season {
	if c.Branches(i) > 1 {
		return chosen(c, o, i)
	}
	s := summarise(&c.Seasons[i], o, i, nil)
	s.Work = workOf(o, s.Season, i, 0)
	return s
}

// summarise summarises a season over some runs; nil: all of them.
func summarise(planned *rotations.Season, o *ensemble.Outcome, i int, runs []int) Season {
	s := Season{Season: planned, Crop: planned.Courses[0].Crop.Name, Taken: 1}
	of := func(m sim.Metric) []float64 { return some(o.Column(m, i), runs) }
	for m := range sim.MetricCount {
		column := of(m)
		s.Bands[m] = band(column)
		if sim.Metrics[m].Ledger {
			s.Ledger[m] = mean(column)
		}
	}
	s.Extinct = mean(of(sim.Extinct))
	if b := s.Bands[sim.TooMany]; b.N > 0 {
		s.TooMany = b.Mean
	}
	course := of(sim.Course)
	s.Grown = grown(planned, course)
	if planned.Courses[0].Drill != nil {
		s.Drilled = drilled(course, of(sim.DrilledOn))
	}
	return s
}

// Seasons summarises every season of a plan.
func Seasons(c *rotations.Calendar, o *ensemble.Outcome) []Season {
	out := make([]Season, len(c.Seasons))
	for i := range out {
		out[i] = Summarise(c, o, i)
	}
	return out
}

// grown counts the crops, planned first, then the alternatives in order.
func grown(planned *rotations.Season, course []float64) []Grown {
	counts := make([]int, len(planned.Courses))
	for _, c := range course {
		counts[int(c)]++
	}
	var out []Grown
	for i, n := range counts {
		name, share := planned.Courses[i].Crop.Name, float64(n)/float64(len(course))
		if at := indexOf(out, name); at >= 0 {
			out[at].Share += share
		} else if n > 0 || i == 0 {
			out = append(out, Grown{name, share})
		}
	}
	return out
}

func indexOf(crops []Grown, name string) int {
	for i, c := range crops {
		if c.Name == name {
			return i
		}
	}
	return -1
}

// drilled summarises the dates at which the planned crop was drilled.
func drilled(course, on []float64) *Drilled {
	var dates []float64
	for k, day := range on {
		if course[k] == 0 && !math.IsNaN(day) {
			dates = append(dates, day)
		}
	}
	d := &Drilled{Share: float64(len(dates)) / float64(len(on))}
	if len(dates) > 0 {
		q := band(dates)
		d.P05, d.P50, d.P95 = day(q.P05), day(q.P50), day(q.P95)
	}
	return d
}

// day is the day that a quantile of days falls on.
func day(x float64) date.Day { return date.Day(math.Floor(x + 0.5)) }

// ShedsSeed tells whether heads in the planned crop stand long enough to shed
// their seed: a ley is mown and a fallow sprayed before.
func (s *Season) ShedsSeed() bool {
	crop := s.Courses[0].Crop
	return crop.Text["season"] != "none" && crop.Text["perennial"] != "yes"
}
