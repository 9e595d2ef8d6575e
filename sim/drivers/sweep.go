package drivers

import (
	"fmt"
	"slices"
	"strings"

	"rundown/sim"
)

// SweepOptions say how one value is swept.
type SweepOptions struct {
	Metric     sim.Metric
	Path       string    // of an uncertain value of the plan
	At         []float64 // what it is set to
	Replicates int       // at each
	Seed       uint64
}

// Sweep sets one value to each of its points in turn, for every replicate: the same
// weather, luck and other values at all points.
type Sweep struct {
	SweepOptions
	// Returns is the median of what one seed returns a year, at each point, where
	// the value is the weed's: nothing else was moved to make up for it. nil otherwise.
	Returns []float64
	// Own says what a user's values do to what is known of that; nil: nothing.
	Own    *sim.OwnReturn
	Target float64     // what is known of it, seeds per seed
	at     int         // of the value, in theta
	given  [][]float64 // by season: replicate by replicate, every point
}

// returnRuns is how many draws the median of Returns is taken over, at most.
const returnRuns = 200

// NewSweep lays a sweep out.
func NewSweep(m *sim.Model, o SweepOptions) (*Sweep, error) {
	s := &Sweep{SweepOptions: o, Own: m.OwnReturn(), Target: m.ReturnTarget(), at: m.Calendar().Space.Index(o.Path)}
	if s.at < 0 {
		return nil, fmt.Errorf("%s is not among the %d uncertain values of the plan", o.Path, len(m.Calendar().Space.Values))
	}
	if len(o.At) == 0 || o.Replicates < 1 {
		return nil, fmt.Errorf("a sweep needs at least one point and one replicate, not %d and %d", len(o.At), o.Replicates)
	}
	if !strings.HasPrefix(o.Path, "weeds/") {
		return s, nil
	}
	var err error
	s.Returns, err = returnsAt(m, &o, s.at)
	return s, err
}

// Runs is how many runs it takes.
func (s *Sweep) Runs() int { return len(s.At) * s.Replicates }

// Replicate makes a run of the sweep of its index.
func (s *Sweep) Replicate(w *sim.Worker, run int, r *sim.Replicate) {
	replicate := uint32(run / len(s.At))
	w.DrawTheta(s.Seed, replicate, r.Theta)
	r.Theta[s.at] = s.At[run%len(s.At)]
	r.Streams = sim.StreamsOf(replicate)
}

// Given takes what its runs gave, by season and run.
func (s *Sweep) Given(out [][]float64) { s.given = out }

// returnsAt is the median of what one seed returns a year at each point.
func returnsAt(m *sim.Model, o *SweepOptions, at int) ([]float64, error) {
	w, err := m.NewWorker()
	if err != nil {
		return nil, err
	}
	all := make([][]float64, len(o.At))
	theta := m.Calendar().Space.Central()
	for replicate := range min(o.Replicates, returnRuns) {
		w.DrawTheta(o.Seed, uint32(replicate), theta)
		for p, x := range o.At {
			theta[at] = x
			w.LogWeight(theta) // sets theta
			returned, _ := w.Cycle()
			all[p] = append(all[p], returned)
		}
	}
	var out []float64
	for _, x := range all {
		slices.Sort(x)
		out = append(out, (x[(len(x)-1)/2]+x[len(x)/2])/2)
	}
	return out, nil
}

// Column is the metric of a season at a point, by replicate; NaN: no value.
func (s *Sweep) Column(point, season int) []float64 {
	var out []float64
	for k := point; k < len(s.given[season]); k += len(s.At) {
		out = append(out, s.given[season][k])
	}
	return out
}
