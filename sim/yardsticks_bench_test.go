package sim_test

import (
	"math"
	"testing"
	"time"

	"rundown/rotations"
	"rundown/sim"
)

// BenchmarkInYardsticks is a replicate-season of the starter plan in yardsticks, both by turns in
// one process, so that they share whatever else the machine does: blocks of replicates, each with
// a yardstick before it, and of every block the least time of all passes. Its first passes are
// not to be looked at; -benchtime 100x is a minute.
func BenchmarkInYardsticks(b *testing.B) {
	const blocks, replicates, sticks = 16, 6, 100
	m := model(b, string(rotations.Starter()))
	w, err := m.NewWorker()
	if err != nil {
		b.Fatal(err)
	}
	sky, rec, theta := m.NewSky(), m.NewRecord(0), m.Calendar().Space.Central()
	least, stick, once := [blocks]time.Duration{}, time.Duration(math.MaxInt64), yardstick()
	for k := range least {
		least[k] = math.MaxInt64
	}
	for b.Loop() {
		for k := range blocks {
			began := time.Now()
			for range sticks {
				once()
			}
			stick = min(stick, time.Since(began))
			began = time.Now()
			for i := range replicates {
				r := uint32(k*replicates + i)
				sky.Fill(m, 1, r)
				w.DrawTheta(1, r, theta)
				if err := w.Run(sim.Replicate{Seed: 1, Streams: sim.StreamsOf(r), Theta: theta}, sky, nil, rec); err != nil {
					b.Fatal(err)
				}
			}
			least[k] = min(least[k], time.Since(began))
		}
	}
	var all time.Duration
	for _, x := range least {
		all += x
	}
	season := float64(all) / float64(blocks*replicates*m.Seasons())
	b.ReportMetric(season, "ns/season")
	b.ReportMetric(season*sticks/float64(stick), "yardsticks/season")
}
