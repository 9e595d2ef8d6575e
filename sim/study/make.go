package study

import (
	"context"
	"fmt"
	"runtime"
	"sync"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
)

// Outcome is what the runs of one calendar gave.
type Outcome = ensemble.Outcome

// Ready are runs whose models are made: what is left is to make them, all at once or
// range by range, here or elsewhere.
type Ready struct {
	Runs
	Models []*sim.Model
	with   ensemble.Options
}

// Refused is why runs cannot be made, and of which calendar.
type Refused struct {
	Plan int    // index in Calendars
	Past string // why its past cannot be taken up; "" where its model cannot be made
	Err  error  // then why
}

// Error says it of the first.
func (r *Refused) Error() string {
	if r.Past != "" {
		return r.Past
	}
	return r.Err.Error()
}

// Unwrap is why a model cannot be made.
func (r *Refused) Unwrap() error { return r.Err }

// Ready makes the models. What goes wrong with one is a Refused.
func (r Runs) Ready() (*Ready, error) {
	models, err := modelsOf(r.Calendars)
	if err != nil {
		return nil, err
	}
	out := &Ready{Runs: r, Models: models}
	if r.Past != nil {
		for i, m := range models {
			if r.Own {
				break
			}
			if why := r.Past.Fits(m); why != "" {
				return nil, &Refused{Plan: i, Past: why}
			}
		}
		out.with = r.Past.Options(r.Replicates, models...)
	}
	if r.Design != nil {
		out.with.Case = r.Design.Replicate
	}
	out.with.Seed, out.with.Replicates, out.with.Work, out.with.Keep = r.Seed, r.Replicates, r.Work, r.Keep
	return out, nil
}

// modelsOf makes the model of every calendar, on all processors: making one takes
// some hundredths of a second on a new site, and a study may need many. A panic in one
// comes to the caller.
func modelsOf(list []*rotations.Calendar) ([]*sim.Model, error) {
	models, errs, faults := make([]*sim.Model, len(list)), make([]error, len(list)), make([]any, len(list))
	var wait sync.WaitGroup
	free := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, c := range list {
		free <- struct{}{}
		wait.Go(func() {
			defer func() {
				if f := recover(); f != nil {
					stack := make([]byte, 1<<16)
					faults[i] = fmt.Sprintf("%v\n%s", f, stack[:runtime.Stack(stack, false)])
				}
				<-free
			}()
			models[i], errs[i] = sim.New(c)
		})
	}
	wait.Wait()
	for i := range list {
		if faults[i] != nil {
			panic(faults[i])
		}
		if errs[i] != nil {
			return nil, &Refused{Plan: i, Err: errs[i]}
		}
	}
	return models, nil
}

// Part is which runs are made, and how.
type Part struct {
	First, Count int                   // a range of indices
	Jobs         int                   // runs at a time; 0: one for each processor. It changes no number
	Progress     func(done, total int) // called from any worker, in no order; may be nil
}

// Answer makes all the runs that a question asks for, here and at once.
func Answer(ctx context.Context, q Request, jobs int) (given []Outcomes, runs int, err error) {
	for {
		rounds, err := q.Runs(given)
		if err != nil || len(rounds) == 0 {
			return given, runs, err
		}
		for _, round := range rounds {
			r, err := round.Ready()
			if err != nil {
				return nil, runs, err
			}
			p := r.All()
			p.Jobs = jobs
			out, err := r.Make(ctx, p)
			if err != nil {
				return nil, runs, err
			}
			given, runs = append(given, out), runs+len(r.Models)*r.Replicates
		}
	}
}

// All is the whole range.
func (r *Ready) All() Part { return Part{First: r.First, Count: r.Replicates} }

// Make makes a range of the runs, which may be empty. Outcomes of ranges join to those
// of the whole, to the bit. When the context ends it gives its error and no outcomes.
func (r *Ready) Make(ctx context.Context, p Part) (Outcomes, error) {
	if p.Count == 0 {
		return r.Empty(p), nil
	}
	with := r.with
	with.First, with.Replicates, with.Jobs, with.Progress = p.First, p.Count, p.Jobs, p.Progress
	return ensemble.Run(ctx, r.Models, with)
}

// Empty is room for the outcomes of a range that is run elsewhere: their columns are to
// be filled.
func (r *Ready) Empty(p Part) Outcomes {
	with := r.with
	with.First, with.Replicates = p.First, p.Count
	var out Outcomes
	for _, m := range r.Models {
		out = append(out, ensemble.Empty(m, with))
	}
	return out
}

// Watches is how many dates and quantities are watched in every run.
func (r *Ready) Watches() int { return len(r.with.Watches) }

// Kept are the metrics that outcomes hold of every season, in the order of their columns.
func (r *Ready) Kept() []sim.Metric {
	if r.Keep != nil {
		return r.Keep
	}
	all := make([]sim.Metric, sim.MetricCount)
	for k := range all {
		all[k] = sim.Metric(k)
	}
	return all
}

// ReplicateBytes is the memory that the outcomes of one replicate take.
func (r *Ready) ReplicateBytes() int64 {
	var bytes int64
	for _, m := range r.Models {
		bytes += numberBytes * int64(m.Seasons()*len(r.Kept()))
		if r.Work {
			bytes += ensemble.WorkBytes * int64(len(m.Work()))
		}
	}
	return bytes
}

const numberBytes = 8

// SeasonBytes is the memory that one season takes in one replicate where all metrics are kept.
const SeasonBytes = ensemble.SeasonBytes

// Departed is the share of runs, of the first plan that has any, whose past is not that
// which was counted: another program made the histories, or they were changed.
func (r *Ready) Departed(given Outcomes) float64 {
	for _, o := range given {
		if r.Past == nil {
			break
		}
		if share := r.Past.Departed(o); share > 0 {
			return share
		}
	}
	return 0
}
