package drivers

import (
	"context"
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
	Jobs       int
	Progress   func(done, total int) // of all runs; may be nil
	Maker      Maker                 // nil: all runs are made here
}

// Sweep is a response to one value, all else as a forecast draws it.
type Sweep struct {
	SweepOptions
	seasons [][]float64 // by season: replicate by replicate, every point
	// Returns is the median of what one seed returns a year, at each point, where
	// the value is the weed's: nothing else was moved to make up for it. nil otherwise.
	Returns []float64
	// Own says what a user's values do to what is known of that; nil: nothing.
	Own    *sim.OwnReturn
	Target float64 // what is known of it, seeds per seed
}

// returnRuns is how many draws the median of Returns is taken over, at most.
const returnRuns = 200

// NewSweep sets one value to each of its points in turn, for every replicate:
// the same weather, luck and other values at all points.
func NewSweep(ctx context.Context, m *sim.Model, o SweepOptions) (*Sweep, error) {
	at := m.Calendar().Space.Index(o.Path)
	if at < 0 {
		return nil, fmt.Errorf("%s is not among the %d uncertain values of the plan", o.Path, len(m.Calendar().Space.Values))
	}
	if len(o.At) == 0 || o.Replicates < 1 {
		return nil, fmt.Errorf("a sweep needs at least one point and one replicate, not %d and %d", len(o.At), o.Replicates)
	}
	points := len(o.At)
	b := &batch{m: m, metric: o.Metric, seed: o.Seed, jobs: o.Jobs, runs: points * o.Replicates, maker: o.Maker, stage: Sweeping,
		fill: func(w *sim.Worker, run int, _, theta []float64) sim.Streams {
			replicate := uint32(run / points)
			w.DrawTheta(o.Seed, replicate, theta)
			theta[at] = o.At[run%points]
			return sim.StreamsOf(replicate)
		}}
	if o.Progress != nil {
		b.progress = func(done int) { o.Progress(done, b.runs) }
	}
	out, err := b.run(ctx)
	if err != nil {
		return nil, err
	}
	s := &Sweep{SweepOptions: o, seasons: out, Own: m.OwnReturn(), Target: m.ReturnTarget()}
	if strings.HasPrefix(o.Path, "weeds/") {
		s.Returns, err = returnsAt(m, &o, at)
	}
	return s, err
}

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
	for k := point; k < len(s.seasons[season]); k += len(s.At) {
		out = append(out, s.seasons[season][k])
	}
	return out
}
