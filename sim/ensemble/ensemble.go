// Package ensemble runs replicates of models side by side. A replicate is a
// pure function of its index, so results depend neither on the number of
// workers nor on the order in which they finish.
package ensemble

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"runtime/debug"
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
	// Case replaces the draw of a replicate's parameters and luck: it fills theta,
	// which holds the last case's values, and returns the luck; it may set the
	// worker's Turn and Until, which then stand until it sets them again. nil: as drawn.
	Case func(w *sim.Worker, replicate int, theta []float64) sim.Luck
}

// Outcome is what every replicate of one model gave.
type Outcome struct {
	Model      *sim.Model
	Replicates int
	seasons    int
	values     []float64 // metric, season, replicate
	watched    []float64 // watch, replicate
	unmet      atomic.Int64
}

// Column is one metric of one season by replicate; NaN: no value. It must not be changed.
func (o *Outcome) Column(m sim.Metric, season int) []float64 {
	at := (int(m)*o.seasons + season) * o.Replicates
	return o.values[at : at+o.Replicates : at+o.Replicates]
}

// Watched is one watch by replicate; NaN: no value.
func (o *Outcome) Watched(watch int) []float64 {
	return o.watched[watch*o.Replicates : (watch+1)*o.Replicates]
}

// chunk is how many replicates a worker takes at a time.
const chunk = 16

// Unmet is how many replicates kept parameters that do not fit what is known of
// the weed's cycle, since none that fit were found.
func (o *Outcome) Unmet() int { return int(o.unmet.Load()) }

// SeasonBytes is the memory that the results of one season take in one replicate.
const SeasonBytes = 8 * int64(sim.MetricCount)

// Run runs every replicate of every model, replicate by replicate, so that
// compared models share one replicate's weather. Models compared must share
// climate and timeline for that; others draw their own.
func Run(ctx context.Context, models []*sim.Model, o Options) ([]*Outcome, error) {
	if o.Replicates < 1 {
		return nil, fmt.Errorf("an ensemble needs at least one replicate, not %d", o.Replicates)
	}
	jobs := o.Jobs
	if jobs < 1 {
		jobs = runtime.GOMAXPROCS(0)
	}
	jobs = min(jobs, (o.Replicates+chunk-1)/chunk)
	out := make([]*Outcome, len(models))
	for i, m := range models {
		s := m.Seasons()
		out[i] = &Outcome{Model: m, Replicates: o.Replicates, seasons: s,
			values:  make([]float64, int(sim.MetricCount)*s*o.Replicates),
			watched: make([]float64, len(o.Watches)*o.Replicates)}
	}
	var next, done atomic.Int64
	var wait sync.WaitGroup
	errs, faults := make([]error, jobs), make([]any, jobs)
	for j := range jobs {
		wait.Go(func() {
			defer func() {
				if f := recover(); f != nil {
					faults[j] = fmt.Sprintf("%v\n%s", f, debug.Stack())
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
	teams := make([]*team, len(models))
	for i, m := range models {
		w, err := m.NewWorker()
		if err != nil {
			return err
		}
		teams[i] = &team{w: w, sky: m.NewSky(), rec: m.NewRecord(len(o.Watches)), theta: m.Calendar().Space.Central()}
		if i > 0 && m.SharesSky(models[0]) {
			teams[i].sky = teams[0].sky
		}
	}
	for ctx.Err() == nil {
		from := int(next.Add(chunk)) - chunk
		if from >= o.Replicates {
			return nil
		}
		to := min(from+chunk, o.Replicates)
		for r := from; r < to; r++ {
			for i := range teams {
				before := teams[i].w.Unmet
				if err := teams[i].run(o, r); err != nil {
					return err
				}
				out[i].unmet.Add(int64(teams[i].w.Unmet - before))
				if err := out[i].keep(r, teams[i].rec); err != nil {
					return err
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
	w     *sim.Worker
	sky   *sim.Sky
	rec   *sim.Record
	theta []float64
}

// luck is the luck of a replicate with the frozen kinds at index 0.
func (o *Options) luck(r int) sim.Luck {
	luck := sim.LuckOf(uint32(o.First + r))
	for k, frozen := range o.Freeze {
		if frozen {
			luck[k] = 0
		}
	}
	return luck
}

func (t *team) run(o *Options, r int) error {
	luck := o.luck(r)
	switch {
	case o.Case != nil:
		luck = o.Case(t.w, r, t.theta)
	case !o.Central:
		t.w.DrawTheta(o.Seed, luck[random.Parameters], t.theta)
	}
	t.sky.FillTurned(t.w.Model(), o.Seed, luck[random.Weather], t.w.Turn)
	return t.w.Run(o.Seed, luck, t.theta, t.sky, o.Watches, t.rec)
}

// keep stores a replicate's record. An infinite value is a fault of the model.
func (o *Outcome) keep(r int, rec *sim.Record) error {
	for s := range rec.Seasons {
		for m, v := range rec.Seasons[s] {
			if math.IsInf(v, 0) {
				return fmt.Errorf("%s of season %d is infinite in replicate %d: this is a bug, please report the plan with its seed", sim.Metrics[m].Name, s+1, r)
			}
			o.values[(m*o.seasons+s)*o.Replicates+r] = v
		}
	}
	for i, v := range rec.Watched {
		o.watched[i*o.Replicates+r] = v
	}
	return nil
}
