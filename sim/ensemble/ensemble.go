// Package ensemble runs replicates of models side by side. A replicate is a
// pure function of its index, so results depend neither on the number of
// workers nor on the order in which they finish, and outcomes of ranges of
// indices join to the outcome of the whole, to the bit.
package ensemble

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"rundown/sim"
	"rundown/sim/random"
)

// Options say how an ensemble is run.
type Options struct {
	Replicates int
	Seed       uint64
	Jobs       int                   // workers; 0: one per processor
	First      int                   // index of the first replicate
	Progress   func(done, total int) // called from any worker, in no order; may be nil
	Freeze     [random.Kinds]bool    // kinds of randomness held at index 0
	Central    bool                  // parameters at their central values
	Watches    []sim.Watch           // in order of date
	Keep       []sim.Metric          // what the outcomes hold of every season; nil: every metric
	Work       bool                  // outcomes hold what became of every piece of work
	// Case replaces the draw of a replicate's parameters and luck: it is given a
	// replicate with the luck of its index and central values, and makes of it what it
	// will, from index and worker alone. nil: as drawn.
	Case func(w *sim.Worker, index int, r *sim.Replicate)
	// Sink takes the record of a replicate of a model, of which then nothing is kept.
	// It is called from any worker, in no order; the record is good until it returns.
	Sink func(model, index int, rec *sim.Record) error
}

// chunk is how many replicates a worker takes at a time.
const chunk = 16

// Run runs every replicate of every model, replicate by replicate, so that
// compared models share one replicate's weather. Models compared must have their
// weather of the same, on one timeline, for that; others draw their own.
func Run(ctx context.Context, models []*sim.Model, o Options) ([]*Outcome, error) {
	if o.Replicates < 1 {
		return nil, fmt.Errorf("an ensemble needs at least one replicate, not %d", o.Replicates)
	}
	if o.First < 0 {
		return nil, fmt.Errorf("an ensemble begins at replicate 0 or a later one, not %d", o.First)
	}
	jobs := o.Jobs
	if jobs < 1 {
		jobs = runtime.GOMAXPROCS(0)
	}
	jobs = min(jobs, (o.Replicates+chunk-1)/chunk)
	out := make([]*Outcome, len(models))
	for i, m := range models {
		out[i] = newOutcome(m, &o)
	}
	var next, done atomic.Int64
	var wait sync.WaitGroup
	errs, faults := make([]error, jobs), make([]any, jobs)
	for j := range jobs {
		wait.Go(func() {
			defer func() {
				if f := recover(); f != nil {
					faults[j] = fmt.Sprintf("%v\n%s", f, stack())
				}
			}()
			errs[j] = work(ctx, models, &o, out, &next, &done)
		})
	}
	wait.Wait()
	for _, f := range faults {
		if f != nil {
			panic(f) // where the caller can catch it
		}
	}
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, ctx.Err()
}

// work is one worker: it takes chunks of replicates until none is left.
func work(ctx context.Context, models []*sim.Model, o *Options, out []*Outcome, next, done *atomic.Int64) error {
	teams, err := teamsOf(models, o)
	if err != nil {
		return err
	}
	for ctx.Err() == nil {
		from := int(next.Add(chunk)) - chunk
		if from >= o.Replicates {
			return nil
		}
		to := min(from+chunk, o.Replicates)
		for k := from; k < to; k++ {
			for i, t := range teams {
				before := t.w.Unmet
				if err := t.run(o, o.First+k); err != nil {
					return err
				}
				out[i].unmet.Add(int64(t.w.Unmet - before))
				if err := out[i].keep(k, t.rec); err != nil {
					return err
				}
				if o.Sink != nil {
					if err := o.Sink(i, o.First+k, t.rec); err != nil {
						return err
					}
				}
			}
		}
		if o.Progress != nil {
			o.Progress(int(done.Add(int64(to-from))), o.Replicates)
		}
	}
	return ctx.Err()
}

// team is a worker with its scratch.
type team struct {
	w       *sim.Worker
	sky     *sim.Sky
	rec     *sim.Record
	theta   []float64
	central []float64
}

func teamsOf(models []*sim.Model, o *Options) ([]*team, error) {
	teams := make([]*team, len(models))
	for i, m := range models {
		w, err := m.NewWorker()
		if err != nil {
			return nil, err
		}
		central := m.Calendar().Space.Central()
		rec := m.NewRecord(len(o.Watches))
		if o.Work {
			rec.Work = m.NewFates()
		}
		teams[i] = &team{w: w, rec: rec, theta: slices.Clone(central), central: central}
		for k, other := range models[:i] {
			if m.SharesSky(other) {
				teams[i].sky = teams[k].sky
				break
			}
		}
		if teams[i].sky == nil {
			teams[i].sky = m.NewSky()
		}
	}
	return teams, nil
}

// luck is the luck of a replicate with the frozen kinds at index 0.
func (o *Options) streams(index int) sim.Streams {
	luck := sim.StreamsOf(uint32(index))
	for k, frozen := range o.Freeze {
		if frozen {
			luck[k] = 0
		}
	}
	return luck
}

// run runs the replicate of an index.
func (t *team) run(o *Options, index int) error {
	r := sim.Replicate{Seed: o.Seed, Streams: o.streams(index), Theta: t.theta}
	copy(t.theta, t.central)
	switch {
	case o.Case != nil:
		o.Case(t.w, index, &r)
	case !o.Central:
		t.w.DrawTheta(r.Seed, r.Streams[random.Parameters], r.Theta)
	}
	t.sky.FillFor(t.w.Model(), &r)
	return t.w.Run(r, t.sky, o.Watches, t.rec)
}

// stack is where a panic came from.
func stack() []byte {
	b := make([]byte, 1<<16)
	return b[:runtime.Stack(b, false)]
}
