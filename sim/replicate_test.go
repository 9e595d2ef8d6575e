package sim_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
)

// A run is its arguments: a worker that has run others, turned, cut short and with other
// values, gives what a new one gives, to the bit.
func TestARunIsItsArguments(t *testing.T) {
	m := model(t, string(rotations.Starter()))
	worker := func() *sim.Worker {
		w, err := m.NewWorker()
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	var all []sim.Replicate
	for k := range uint32(6) {
		r := sim.Replicate{Seed: uint64(1 + k%2), Streams: sim.Streams{k, k + 1, 7 * k, 3}, Theta: m.Calendar().Space.Central()}
		worker().DrawTheta(r.Seed, k, r.Theta)
		if k%3 == 1 {
			r.Switch = sim.Switch{Day: date.Of(2027, time.March, 3), Streams: sim.StreamsOf(k + 100)}
		}
		if k%3 == 2 {
			r.Until = date.Of(2028, time.February, 1)
		}
		all = append(all, r)
	}
	looks := looks()
	run := func(w *sim.Worker, sky *sim.Sky, r sim.Replicate) *sim.Record {
		rec := m.NewRecord(len(looks))
		sky.FillFor(m, &r)
		if err := w.Run(r, sky, looks, rec); err != nil {
			t.Fatal(err)
		}
		return rec
	}
	used, sky := worker(), m.NewSky()
	for _, order := range [][]int{{0, 1, 2, 3, 4, 5}, {5, 3, 1, 0, 4, 2, 2, 1}} {
		for _, k := range order {
			theta := slices.Clone(all[k].Theta)
			got, want := run(used, sky, all[k]), run(worker(), m.NewSky(), all[k])
			for s := range want.Seasons {
				for q := range want.Seasons[s] {
					if !same(got.Seasons[s][q], want.Seasons[s][q]) {
						t.Fatalf("replicate %d, season %d: %s is %v in a used worker, %v in a new one", k, s, sim.Metrics[q].Name, got.Seasons[s][q], want.Seasons[s][q])
					}
				}
			}
			for i := range want.Watched {
				if !same(got.Watched[i], want.Watched[i]) {
					t.Fatalf("replicate %d: watch %d is %v in a used worker, %v in a new one", k, i, got.Watched[i], want.Watched[i])
				}
			}
			if !slices.Equal(theta, all[k].Theta) {
				t.Fatalf("replicate %d: its values were changed", k)
			}
		}
	}
	other := all[0]
	other.Streams[0]++ // the weather's
	sky.FillFor(m, &all[0])
	if err := used.Run(other, sky, nil, m.NewRecord(0)); err == nil || !strings.Contains(err.Error(), "weather given is not that of the replicate") {
		t.Errorf("a run under the weather of another: %v", err)
	}
}
