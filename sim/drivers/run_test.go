package drivers

import (
	"context"
	"testing"

	"rundown/sim"
	"rundown/sim/ensemble"
)

// made makes runs of a design and gives a metric by season and run.
func made(t *testing.T, m *sim.Model, metric sim.Metric, seed uint64, runs, jobs int, of func(w *sim.Worker, run int, r *sim.Replicate)) [][]float64 {
	t.Helper()
	out, err := ensemble.Run(context.Background(), []*sim.Model{m},
		ensemble.Options{Replicates: runs, Seed: seed, Jobs: jobs, Keep: []sim.Metric{metric}, Case: of})
	if err != nil {
		t.Fatal(err)
	}
	return out[0].Columns()
}

// analysed is an analysis with its runs made here.
func analysed(t *testing.T, m *sim.Model, o Options, jobs int) *Analysis {
	t.Helper()
	in := inputs(t, m)
	s := NewScreening(in, o)
	effects := s.Effects(made(t, m, o.Metric, o.Seed, s.Runs(), jobs, s.Replicate)[o.Season])
	d, err := NewDesign(in, o, effects)
	if err != nil {
		t.Fatal(err)
	}
	return d.Analysis(made(t, m, o.Metric, o.Seed, d.Runs(), jobs, d.Replicate))
}

// swept is a sweep with its runs made here.
func swept(t *testing.T, m *sim.Model, o SweepOptions) *Sweep {
	t.Helper()
	s, err := NewSweep(m, o)
	if err != nil {
		t.Fatal(err)
	}
	s.Given(made(t, m, o.Metric, o.Seed, s.Runs(), 0, s.Replicate))
	return s
}
