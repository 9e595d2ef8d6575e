package sim_test

import (
	"testing"

	"rundown/rotations"
	"rundown/sim"
)

// BenchmarkReplicateSeason is the full model, parameters drawn, per
// replicate-season of the starter plan.
func BenchmarkReplicateSeason(b *testing.B) {
	m := model(b, string(rotations.Starter()))
	w, err := m.NewWorker()
	if err != nil {
		b.Fatal(err)
	}
	sky, rec, theta := m.NewSky(), m.NewRecord(0), m.Calendar().Space.Central()
	b.ReportAllocs()
	r := uint32(0)
	for b.Loop() {
		sky.Fill(m, 1, r)
		w.DrawTheta(1, r, theta)
		if err := w.Run(1, sim.LuckOf(r), theta, sky, nil, rec); err != nil {
			b.Fatal(err)
		}
		r++
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(m.Seasons()), "ns/season")
}

func BenchmarkDrawTheta(b *testing.B) {
	m := model(b, string(rotations.Starter()))
	w, _ := m.NewWorker()
	theta := m.Calendar().Space.Central()
	r := uint32(0)
	for b.Loop() {
		w.DrawTheta(1, r, theta)
		r++
	}
}

func BenchmarkCycle(b *testing.B) {
	m := model(b, string(rotations.Starter()))
	w, _ := m.NewWorker()
	for b.Loop() {
		w.Cycle()
	}
}

func BenchmarkSky(b *testing.B) {
	m := model(b, string(rotations.Starter()))
	sky := m.NewSky()
	r := uint32(0)
	for b.Loop() {
		sky.Fill(m, 1, r)
		r++
	}
}
