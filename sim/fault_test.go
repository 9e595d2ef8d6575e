package sim_test

import (
	"math"
	"strings"
	"testing"

	"rundown/rotations"
	"rundown/sim"
)

// A value that makes a chance of NaN is told with the replicate, not by a
// crash; the same worker then runs on.
func TestFaultIsTold(t *testing.T) {
	m := model(t, string(rotations.Starter()))
	w, err := m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	sky, rec, theta := m.NewSky(), m.NewRecord(0), m.Calendar().Space.Central()
	sky.Fill(m, 1, 0)
	at := m.Calendar().Space.Index("weeds/black-grass/buried_death")
	if at < 0 {
		t.Fatal("the starter plan draws no death of buried seed")
	}
	kept := theta[at]
	theta[at] = math.NaN()
	err = w.Run(1, sim.LuckOf(0), theta, sky, nil, rec)
	if err == nil || !strings.Contains(err.Error(), "seed 1 and luck") || !strings.Contains(err.Error(), "it must be") {
		t.Errorf("got %v", err)
	}
	theta[at] = kept
	if err := w.Run(1, sim.LuckOf(0), theta, sky, nil, rec); err != nil {
		t.Error(err)
	}
}
