package sim_test

import (
	"slices"
	"strings"
	"testing"
	"time"

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

// evolvingCases are plans of one field of which resistance is held still, starts rare by one gene against
// two groups beside three traits, is common against one group, and is common against both.
var evolvingCases = []struct{ name, words string }{
	{"still", "evolve: no"},
	{"rare", "evolve: yes, resistance: {1: {tested: 100000, carriers: 1}, 2: {tested: 100000, carriers: 1}}"},
	{"one gene", "evolve: yes, resistance: {2: {tested: 10, carriers: 4}}"},
	{"nine classes", "evolve: yes, resistance: {1: {tested: 10, carriers: 6}, 2: {tested: 10, carriers: 6}}"},
}

// BenchmarkEvolving is the same as BenchmarkReplicateSeason, with the cases in turn, run by run, so that
// they share whatever else the machine does; each is told as the median over runs of its ratio to the first.
func BenchmarkEvolving(b *testing.B) {
	type runner struct {
		m     *sim.Model
		w     *sim.Worker
		sky   *sim.Sky
		rec   *sim.Record
		theta []float64
		spent []float64 // by replicate
	}
	var all []*runner
	for _, c := range evolvingCases {
		groups := "{programme: contact-acc-cereals, date: 1 Nov}, {programme: spring-contact, date: 15 Mar}"
		if c.name == "one gene" {
			groups = "{programme: spring-contact, date: 1 Nov}, {programme: spring-contact, date: 15 Mar}"
		}
		m := model(b, "field: {area_ha: 10, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 30, "+
			""+c.words+"}\nseasons:\n"+
			"  - {crop: winter-wheat, cultivate: [{date: 5 Sep, with: shallow-disc}], spray_off: [], drill: {date: 1 Oct}, herbicides: [{programme: "+
			"autumn-residual-stack, days_after_drilling: 2}, "+groups+"]}\nrepeat: 6\n")
		w, err := m.NewWorker()
		if err != nil {
			b.Fatal(err)
		}
		all = append(all, &runner{m: m, w: w, sky: m.NewSky(), rec: m.NewRecord(0), theta: m.Calendar().Space.Central()})
	}
	k := uint32(0)
	for b.Loop() {
		for i := range all {
			x := all[(i+int(k))%len(all)]
			began := time.Now()
			x.sky.Fill(x.m, 1, k)
			x.w.DrawTheta(1, k, x.theta)
			if err := x.w.Run(sim.Replicate{Seed: 1, Streams: sim.StreamsOf(k), Theta: x.theta}, x.sky, nil, x.rec); err != nil {
				b.Fatal(err)
			}
			x.spent = append(x.spent, float64(time.Since(began)))
		}
		k++
	}
	for i, c := range evolvingCases {
		var ratios []float64
		for r, x := range all[i].spent {
			ratios = append(ratios, x/all[0].spent[r])
		}
		slices.Sort(ratios)
		b.ReportMetric(ratios[len(ratios)/2], strings.ReplaceAll(c.name, " ", "-")+"/still")
	}
}
