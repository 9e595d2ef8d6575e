package ensemble

import (
	"fmt"
	"math"
	"slices"
	"sync/atomic"

	"rundown/sim"
)

// Outcome is what the replicates of one model gave, a range of indices.
// What is kept stands in Columns or WorkColumns too, by which parts of it are written.
type Outcome struct {
	Model      *sim.Model
	First      int // index of the first replicate
	Replicates int
	seasons    int
	kept       []sim.Metric         // in the order of values
	place      [sim.MetricCount]int // of a metric in that; −1: not kept
	values     []float64            // metric, season, replicate
	watches    int
	watched    []float64 // watch, replicate
	work       []uint32  // piece of work, replicate; packed; nil: not kept
	unmet      atomic.Int64
}

// SeasonBytes is the memory that the results of one season take in one replicate,
// when all of them are kept.
const SeasonBytes = 8 * int64(sim.MetricCount)

// newOutcome makes room for the results of a model.
func newOutcome(m *sim.Model, o *Options) *Outcome {
	kept, watches := o.Keep, len(o.Watches)
	if kept == nil {
		for k := range sim.MetricCount {
			kept = append(kept, k)
		}
	}
	if o.Sink != nil {
		kept, watches = nil, 0
	}
	return room(m, o.First, o.Replicates, kept, watches, o.Work && o.Sink == nil)
}

func room(m *sim.Model, first, replicates int, kept []sim.Metric, watches int, work bool) *Outcome {
	out := &Outcome{Model: m, First: first, Replicates: replicates, seasons: m.Seasons(), kept: slices.Clone(kept), watches: watches}
	for k := range out.place {
		out.place[k] = slices.Index(kept, sim.Metric(k))
	}
	out.values = make([]float64, len(kept)*out.seasons*replicates)
	out.watched = make([]float64, watches*replicates)
	if work {
		out.work = make([]uint32, len(m.Work())*replicates)
	}
	return out
}

// Column is one metric of one season by replicate; NaN: no value. It must not be
// changed. A metric that was not asked for is a fault of the caller.
func (o *Outcome) Column(m sim.Metric, season int) []float64 {
	if o.place[m] < 0 {
		panic(fmt.Sprintf("ensemble: %s was not kept", sim.Metrics[m].Name))
	}
	at := (o.place[m]*o.seasons + season) * o.Replicates
	return o.values[at : at+o.Replicates : at+o.Replicates]
}

// Seasons is how many seasons it is of.
func (o *Outcome) Seasons() int { return o.seasons }

// FirstSeasons is the outcome of the first seasons alone. Watches are left out.
func (o *Outcome) FirstSeasons(n int) *Outcome {
	if n == o.seasons {
		return o
	}
	out := room(o.Model, o.First, o.Replicates, o.kept, 0, false)
	out.seasons, out.values, out.work = n, nil, o.work
	for i := range o.kept {
		at := i * o.seasons * o.Replicates
		out.values = append(out.values, o.values[at:at+n*o.Replicates]...)
	}
	out.unmet.Add(o.unmet.Load())
	return out
}

// Keeps tells whether a metric was kept.
func (o *Outcome) Keeps(m sim.Metric) bool { return o.place[m] >= 0 }

// Watched is one watch by replicate; NaN: no value.
func (o *Outcome) Watched(watch int) []float64 {
	return o.watched[watch*o.Replicates : (watch+1)*o.Replicates]
}

// Unmet is how many replicates kept parameters that do not fit what is known of
// the weed's cycle, since none that fit were found.
func (o *Outcome) Unmet() int { return int(o.unmet.Load()) }

// Empty is room for the outcome of replicates that are run elsewhere: its columns are
// to be filled.
func Empty(m *sim.Model, o Options) *Outcome { return newOutcome(m, &o) }

// Columns are all that was kept, each by replicate: metric by metric the seasons, then
// the watches. What is put into them is the outcome's.
func (o *Outcome) Columns() [][]float64 {
	var out [][]float64
	for at := range len(o.kept) * o.seasons {
		out = append(out, o.values[at*o.Replicates:(at+1)*o.Replicates:(at+1)*o.Replicates])
	}
	for i := range o.watches {
		out = append(out, o.Watched(i))
	}
	return out
}

// WorkColumns are what became of every piece of work by replicate, packed; none where it
// was not kept. What is put into them is the outcome's.
func (o *Outcome) WorkColumns() [][]uint32 {
	if o.work == nil {
		return nil
	}
	var out [][]uint32
	for i := range o.Model.Work() {
		out = append(out, o.work[i*o.Replicates:(i+1)*o.Replicates:(i+1)*o.Replicates])
	}
	return out
}

// AddUnmet counts replicates that were run elsewhere into Unmet.
func (o *Outcome) AddUnmet(n int) { o.unmet.Add(int64(n)) }

// keep stores the record of the k-th replicate. An infinite value is a fault of the model.
func (o *Outcome) keep(k int, rec *sim.Record) error {
	for s := range rec.Seasons {
		for m, v := range rec.Seasons[s] {
			if math.IsInf(v, 0) {
				return fmt.Errorf("%s of season %d is infinite in replicate %d: this is a bug, please report the plan with its seed", sim.Metrics[m].Name, s+1, o.First+k)
			}
		}
		for i, m := range o.kept {
			o.values[(i*o.seasons+s)*o.Replicates+k] = rec.Seasons[s][m]
		}
	}
	for i := range o.watches {
		o.watched[i*o.Replicates+k] = rec.Watched[i]
	}
	if o.work != nil {
		for i := range rec.Work {
			o.work[i*o.Replicates+k] = pack(&rec.Work[i], o.Model.First())
		}
	}
	return nil
}

// Join makes one outcome of those of ranges of replicates, in any order: that of the
// whole range, to the bit. They must be of one model, keep the same and leave no gap.
func Join(parts ...*Outcome) (*Outcome, error) {
	if len(parts) == 0 {
		return nil, fmt.Errorf("there is nothing to join")
	}
	parts = slices.Clone(parts)
	slices.SortFunc(parts, func(a, b *Outcome) int { return a.First - b.First })
	first := parts[0]
	n := 0
	for _, p := range parts {
		if p.seasons != first.seasons || p.watches != first.watches || p.KeepsWork() != first.KeepsWork() || !slices.Equal(p.kept, first.kept) {
			return nil, fmt.Errorf("runs of different plans, or of which different things were kept, cannot be joined")
		}
		if p.First != first.First+n {
			return nil, fmt.Errorf("the runs to be joined go on from run %d to run %d: each must be there once", first.First+n-1, p.First)
		}
		n += p.Replicates
	}
	out := room(first.Model, first.First, n, first.kept, first.watches, first.KeepsWork())
	at := 0
	for _, p := range parts {
		for column := range len(out.kept) * out.seasons {
			copy(out.values[column*n+at:], p.values[column*p.Replicates:(column+1)*p.Replicates])
		}
		for i := range out.watches {
			copy(out.watched[i*n+at:], p.Watched(i))
		}
		for i := range len(out.work) / n {
			copy(out.work[i*n+at:], p.work[i*p.Replicates:(i+1)*p.Replicates])
		}
		out.unmet.Add(p.unmet.Load())
		at += p.Replicates
	}
	return out, nil
}

// JoinAll joins the outcomes of compared models, range by range.
func JoinAll(parts ...[]*Outcome) ([]*Outcome, error) {
	if len(parts) == 0 {
		return nil, fmt.Errorf("there is nothing to join")
	}
	out := make([]*Outcome, len(parts[0]))
	for i := range out {
		var of []*Outcome
		for _, p := range parts {
			if len(p) != len(out) {
				return nil, fmt.Errorf("%d plans cannot be joined with %d", len(p), len(out))
			}
			of = append(of, p[i])
		}
		var err error
		if out[i], err = Join(of...); err != nil {
			return nil, err
		}
	}
	return out, nil
}
