package drivers

import (
	"context"
	"fmt"

	"rundown/sim"
	"rundown/sim/ensemble"
)

// batch is runs of a model of which one metric is kept.
type batch struct {
	m        *sim.Model
	metric   sim.Metric
	scale    Scale
	seed     uint64
	jobs     int
	runs     int
	inputs   int // how many coordinates fill wants
	progress func(done int)
	maker    Maker // nil: all runs are made here
	stage    Stage
	// fill sets theta for a run and gives its luck; u is its scratch.
	fill func(w *sim.Worker, run int, u, theta []float64) sim.Streams
}

// Stage is what runs of an analysis are for.
type Stage string

// Stages: the second of an analysis hangs on what the first gave; a sweep has one.
const (
	Screening Stage = "screening"
	Sharing   Stage = "indices"
	Sweeping  Stage = "sweep"
)

// Maker brings the runs of a stage together, by season and run. It may have share make
// those from first on, or have them from elsewhere.
type Maker func(s Stage, runs int, share func(first, count int) ([][]float64, error)) ([][]float64, error)

// run makes the runs and gives the metric on its scale, by season and run.
func (b *batch) run(ctx context.Context) ([][]float64, error) {
	share := func(first, count int) ([][]float64, error) { return b.share(ctx, first, count) }
	if b.maker == nil {
		return share(0, b.runs)
	}
	return b.maker(b.stage, b.runs, share)
}

// share makes the runs from first on.
func (b *batch) share(ctx context.Context, first, count int) ([][]float64, error) {
	out := make([][]float64, b.m.Seasons())
	for s := range out {
		out[s] = make([]float64, count)
	}
	o := ensemble.Options{First: first, Replicates: count, Seed: b.seed, Jobs: b.jobs,
		Case: func(w *sim.Worker, run int, r *sim.Replicate) {
			r.Streams = b.fill(w, run, make([]float64, b.inputs), r.Theta)
		},
		Sink: func(_, run int, rec *sim.Record) error {
			for s := range out {
				out[s][run-first] = b.scale.Apply(rec.Seasons[s][b.metric])
			}
			return nil
		}}
	if b.progress != nil {
		o.Progress = func(done, _ int) { b.progress(done) }
	}
	if _, err := ensemble.Run(ctx, []*sim.Model{b.m}, o); err != nil {
		return nil, fmt.Errorf("the runs could not be finished: %w", err)
	}
	return out, nil
}
