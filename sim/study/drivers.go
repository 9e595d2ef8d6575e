package study

import (
	"math"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/drivers"
)

// What callers may ask of an analysis.
const (
	UsualRows = drivers.UsualRows          // the ranking of the first is stable with so many on the example plans
	MostOwn   = drivers.MostDimensions / 2 // inputs with an index of their own
)

// WeighedExamples is on what the values of the library rest, as it was last measured.
func WeighedExamples() (*drivers.Weighed, error) { return drivers.WeighedExamples() }

// DriversRequest asks what moves an answer.
type DriversRequest struct {
	Calendar *rotations.Calendar
	Metric   sim.Metric
	Season   int // that inputs are ranked by
	Rows     int // of the design of indices, of some 20 runs each
	Walks    int // of the screening; 0: as many as go with the rows
	Own      int // how many inputs get an index of their own
	Seed     uint64
	inputs   *drivers.Inputs // of the calendar's model
}

// options are the request's, in the words of drivers.
func (q *DriversRequest) options() drivers.Options {
	o := drivers.Options{Metric: q.Metric, Season: q.Season, Rows: q.Rows, Walks: q.Walks, Own: q.Own, Seed: q.Seed}
	if o.Walks == 0 {
		o.Walks = drivers.WalksFor(q.Rows)
	}
	return o
}

// list makes the list of inputs, which takes a model. One that cannot be made is a
// Refused.
func (q *DriversRequest) list() (*drivers.Inputs, error) {
	if q.inputs != nil {
		return q.inputs, nil
	}
	m, err := sim.New(q.Calendar)
	if err != nil {
		return nil, &Refused{Err: err}
	}
	q.inputs, err = drivers.NewInputs(m)
	return q.inputs, err
}

// Cost is how many runs the screening and the indices take.
func (q *DriversRequest) Cost() (screening, indices int, err error) {
	in, err := q.list()
	if err != nil {
		return 0, 0, err
	}
	screening, indices = in.Cost(q.options())
	return screening, indices, nil
}

// Runs are the screening of all inputs, then the rows of the design, which gives the
// strongest of them an index of their own.
func (q *DriversRequest) Runs(given []Outcomes) ([]Runs, error) {
	in, err := q.list()
	if err != nil {
		return nil, err
	}
	runs := Runs{Calendars: []*rotations.Calendar{q.Calendar}, Seed: q.Seed, Keep: []sim.Metric{q.Metric}}
	switch len(given) {
	case 0:
		if err := q.refuses(); err != nil {
			return nil, err
		}
		s := drivers.NewScreening(in, q.options())
		runs.Round, runs.Design, runs.Replicates = Screening, s, s.Runs()
	case 1:
		d, err := q.design(in, given)
		if err != nil {
			return nil, err
		}
		runs.Round, runs.Design, runs.Replicates = Indices, d, d.Runs()
		runs.Keep = append(runs.Keep, sim.Course)
	default:
		return nil, nil
	}
	return []Runs{runs}, nil
}

func (q *DriversRequest) refuses() error {
	o := q.options()
	return o.Refuses(len(q.Calendar.Seasons))
}

// design follows from the screening.
func (q *DriversRequest) design(in *drivers.Inputs, given []Outcomes) (*drivers.Design, error) {
	s := drivers.NewScreening(in, q.options())
	return drivers.NewDesign(in, q.options(), s.Effects(given[0][0].Column(q.Metric, q.Season)))
}

// Drivers is what moves an answer.
type Drivers struct {
	*drivers.Analysis
	Last     *drivers.Indices // of the season that inputs are ranked by
	Ranking  []int            // blocks of single inputs, by total
	Doubts   drivers.Doubts
	Evidence *drivers.Evidence // nil where nothing varies
	Splits   []Split           // by season
	Sum      drivers.Estimate  // of the first-order indices of all that is told apart: Shown
	Widest   float64           // half the width of the widest interval
	PerRow   int               // runs
	Instead  []Grown           // crops that stood in place of the planned one in that season, with their share of the runs
	Answer   *DriversAnswer
	Warnings []Warning
}

// Split is a season's spread, shared among the four kinds of what differs from run to run.
type Split struct {
	Kinds    []float64        // by itself, as Kinds lists them; with Together they add up to 1
	Together float64          // what they make acting together
	Sum      drivers.Estimate // of their first-order indices
	All      float64          // what the estimates added up to before they were brought to 1, those below 0 as 0
}

// kinds are the four kinds of randomness, in the order in which they are told.
var kinds = []drivers.Group{drivers.Weather, drivers.Seasons, drivers.Chance, drivers.Parameters}

// Find makes the result of its runs.
func (q *DriversRequest) Find(given []Outcomes) (*Drivers, error) {
	in, err := q.list()
	if err != nil {
		return nil, err
	}
	d, err := q.design(in, given)
	if err != nil {
		return nil, err
	}
	f := &Drivers{Analysis: d.Analysis(bySeason(given[1][0], q.Metric, len(q.Calendar.Seasons)))}
	f.Last, f.Ranking, f.Doubts, f.Evidence = f.Seasons[q.Season], f.Ranked(), f.Analysis.Doubts(), f.Analysis.Evidence()
	for _, x := range f.Seasons {
		f.Splits = append(f.Splits, f.split(x))
	}
	f.Sum = f.Last.SumFirst(f.Shown())
	for b := range f.Blocks {
		f.Widest = math.Max(f.Widest, math.Max(f.Last.First[b].Half(), f.Last.Total[b].Half()))
	}
	f.PerRow = d.Runs() / q.Rows
	if q.Calendar.Branches(q.Season) < 2 {
		f.Instead = grown(&q.Calendar.Seasons[q.Season], given[1][0].Column(sim.Course, q.Season))[1:]
	}
	f.Answer = f.answer()
	f.Warnings = f.warnings()
	return f, nil
}

// bySeason are the columns of a metric.
func bySeason(o *Outcome, m sim.Metric, seasons int) [][]float64 {
	var out [][]float64
	for s := range seasons {
		out = append(out, o.Column(m, s))
	}
	return out
}

// Empty tells that nothing varies, so that there is nothing to share out.
func (f *Drivers) Empty() bool { return math.IsNaN(f.Last.Variance) }

// Shown are the blocks that split up the inputs once, single inputs first.
func (f *Drivers) Shown() []int {
	return append(append([]int{}, f.Ranking...), f.Block(drivers.OtherInput), f.Block(drivers.FieldDraws), f.Block(drivers.Luck))
}

// Kinds are the blocks of the four kinds of randomness.
func (f *Drivers) Kinds() []int {
	var out []int
	for _, g := range kinds {
		out = append(out, f.Block(g))
	}
	return out
}

// split brings what the four kinds make by themselves, and what they make together, to a
// sum of 1.
func (f *Drivers) split(x *drivers.Indices) Split {
	s := Split{Sum: x.SumFirst(f.Kinds())}
	for _, b := range f.Kinds() {
		s.Kinds = append(s.Kinds, math.Max(0, x.First[b].Value))
		s.All += s.Kinds[len(s.Kinds)-1]
	}
	s.Together = math.Max(0, 1-s.Sum.Value)
	s.All += s.Together
	for i := range s.Kinds {
		s.Kinds[i] /= s.All
	}
	s.Together /= s.All
	return s
}
