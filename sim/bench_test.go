package sim_test

import (
	"strings"
	"testing"

	"rundown/rotations"
	"rundown/sim"
)

// density is the starter plan from one density of the weed.
type density struct{ name, plan string }

// densities are the starter plan, which begins with 25 heads per m², and the
// same with a bank of 1 and of 900 seeds per m².
func densities(b *testing.B) []density {
	starter, was := string(rotations.Starter()), "heads_per_m2: 25 "
	if !strings.Contains(starter, was) {
		b.Fatalf("the starter plan no longer says %q", was)
	}
	bank := func(n string) string { return strings.Replace(starter, was, "seedbank_per_m2: {0-5: "+n+"} #", 1) }
	return []density{{"starter", starter}, {"1_seed_per_m2", bank("1")}, {"900_seeds_per_m2", bank("900")}}
}

// BenchmarkReplicateSeason is the full model with its weather, parameters drawn,
// per replicate-season of the starter plan, and how many draws of chance that takes.
func BenchmarkReplicateSeason(b *testing.B) {
	for _, d := range densities(b) {
		b.Run(d.name, func(b *testing.B) {
			m := model(b, d.plan)
			w, err := m.NewWorker()
			if err != nil {
				b.Fatal(err)
			}
			sky, rec, theta := m.NewSky(), m.NewRecord(0), m.Calendar().Space.Central()
			b.ReportAllocs()
			r, before := uint32(0), w.Draws()
			for b.Loop() {
				sky.Fill(m, 1, r)
				w.DrawTheta(1, r, theta)
				if err := w.Run(sim.Replicate{Seed: 1, Streams: sim.StreamsOf(r), Theta: theta}, sky, nil, rec); err != nil {
					b.Fatal(err)
				}
				r++
			}
			seasons := float64(b.N) * float64(m.Seasons())
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/seasons, "ns/season")
			b.ReportMetric(float64(w.Draws()-before)/seasons, "draws/season")
		})
	}
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
		w.Recycle()
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
