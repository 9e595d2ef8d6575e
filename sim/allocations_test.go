package sim_test

import (
	"testing"

	"rundown/rotations"
	"rundown/sim"
)

// A replicate allocates nothing, whatever its weather, parameters and luck.
func TestReplicateAllocatesNothing(t *testing.T) {
	m := model(t, string(rotations.Starter()))
	w, err := m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	sky, rec, theta := m.NewSky(), m.NewRecord(0), m.Calendar().Space.Central()
	r := uint32(0)
	replicate := func() {
		sky.Fill(m, 1, r)
		w.DrawTheta(1, r, theta)
		if err := w.Run(sim.Replicate{Seed: 1, Streams: sim.StreamsOf(r), Theta: theta}, sky, nil, rec); err != nil {
			t.Fatal(err)
		}
		r++
	}
	for range 50 { // cohorts find their room
		replicate()
	}
	for _, work := range [][]sim.Fate{nil, m.NewFates()} { // nor when it is asked what became of the work
		rec.Work = work
		if n := testing.AllocsPerRun(200, replicate); n > 0 {
			t.Errorf("%v allocations per replicate", n)
		}
	}
}
