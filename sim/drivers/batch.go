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
	// fill sets theta for a run and gives its luck; u is its scratch.
	fill func(w *sim.Worker, run int, u, theta []float64) sim.Luck
}

// slab is how many runs are held at a time with all that they record.
const slab = 4096

// run makes the runs and gives the metric on its scale, by season and run.
func (b *batch) run(ctx context.Context) ([][]float64, error) {
	out := make([][]float64, b.m.Seasons())
	for from := 0; from < b.runs; from += slab {
		o := ensemble.Options{Replicates: min(slab, b.runs-from), Seed: b.seed, Jobs: b.jobs,
			Case: func(w *sim.Worker, k int, theta []float64) sim.Luck {
				return b.fill(w, from+k, make([]float64, b.inputs), theta)
			}}
		if b.progress != nil {
			o.Progress = func(done, _ int) { b.progress(from + done) }
		}
		outcomes, err := ensemble.Run(ctx, []*sim.Model{b.m}, o)
		if err != nil {
			return nil, fmt.Errorf("the runs could not be finished: %w", err)
		}
		for s := range out {
			for _, x := range outcomes[0].Column(b.metric, s) {
				out[s] = append(out[s], b.scale.Apply(x))
			}
		}
	}
	return out, nil
}
