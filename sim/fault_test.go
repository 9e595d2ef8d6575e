package sim_test

import (
	"math"
	"strings"
	"testing"

	"rundown/rotations"
	"rundown/sim"
)

// What cannot be reckoned is told, not by a crash: a value drawn as no number by
// its name, a chance that a day's weather makes none by the replicate and the day.
// The same worker then runs on.
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
	spoilt := func(what *float64, by float64, texts ...string) {
		t.Helper()
		kept := *what
		*what = by
		err := w.Run(sim.Replicate{Seed: 1, Streams: sim.StreamsOf(0), Theta: theta}, sky, nil, rec)
		*what = kept
		for _, text := range texts {
			if err == nil || !strings.Contains(err.Error(), text) {
				t.Errorf("got %v, expected %q in it", err, text)
			}
		}
		if err := w.Run(sim.Replicate{Seed: 1, Streams: sim.StreamsOf(0), Theta: theta}, sky, nil, rec); err != nil {
			t.Error(err)
		}
	}
	spoilt(&theta[at], math.NaN(), "weeds/black-grass/buried_death was drawn as NaN")
	spoilt(&theta[at], math.Inf(1), "weeds/black-grass/buried_death was drawn as +Inf")
	share := m.Calendar().Space.Index("weeds/black-grass/autumn_ready_share")
	spoilt(&theta[share], 1.01, "weeds/black-grass/autumn_ready_share was drawn as 1.01")
	spoilt(&sky.Days.MeanC[40], math.NaN(), "seed 1 and luck", "it must be")
}
