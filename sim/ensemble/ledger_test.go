package ensemble_test

import (
	"context"
	"math"
	"testing"

	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
)

// The ledger holds exactly, in whole seeds and whole plants, for every
// replicate and season of random plans; a run whose ledger breaks is an error.
// Besides, no count is negative and no value infinite. 100,000
// replicate-seasons in the stage "long"; a tenth of that elsewhere.
func TestLedgerOfRandomPlans(t *testing.T) {
	simtest.NotRacing(t)
	plans, replicates := 100, 200
	if !simtest.InStage("long") {
		plans, replicates = 20, 100
	}
	const seasons = 5
	p := newPlanner(3)
	done := 0
	for k := range plans {
		area := []float64{0.001, 0.1, 1, 10, 400}[k%5]
		text := p.plan(seasons, area)
		m := model(t, text)
		o, err := ensemble.Run(context.Background(), []*sim.Model{m}, ensemble.Options{Replicates: replicates, Seed: uint64(k)})
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		for s := range seasons {
			balance(t, o[0], s, area*10000, text)
		}
		done += replicates * seasons
	}
	t.Logf("%d replicate-seasons", done)
}

// always are metrics that have a value in every run and season.
var always = map[sim.Metric]bool{sim.SeedReturn: true, sim.Seedbank: true, sim.Margin: true, sim.Extinct: true, sim.LedgerStart: true, sim.LedgerShed: true,
	sim.LedgerDied: true, sim.LedgerEmerged: true, sim.LedgerEnd: true, sim.PlantsEmerged: true, sim.PlantsKilled: true}

// balance checks one season's published ledger, and signs.
func balance(t *testing.T, o *ensemble.Outcome, s int, areaM2 float64, text string) {
	t.Helper()
	in := []sim.Metric{sim.LedgerStart, sim.LedgerShed, sim.LedgerBroughtIn}
	out := []sim.Metric{sim.LedgerEnd, sim.LedgerDied, sim.LedgerEaten, sim.LedgerFatal, sim.LedgerEmerged, sim.LedgerCarriedOff}
	for r := range o.Replicates {
		var net float64
		for _, m := range in {
			net += math.Round(o.Column(m, s)[r] * areaM2)
		}
		for _, m := range out {
			net -= math.Round(o.Column(m, s)[r] * areaM2)
		}
		if net != 0 {
			t.Fatalf("replicate %d, season %d: ledger off by %v seeds\n%s", r, s, net, text)
		}
	}
	for m := sim.Metric(0); m < sim.MetricCount; m++ {
		for r, x := range o.Column(m, s) {
			if x < 0 && m != sim.Margin || math.IsNaN(x) && always[m] {
				t.Fatalf("replicate %d, season %d: %s is %v\n%s", r, s, sim.Metrics[m].Name, x, text)
			}
		}
	}
}

// Results are the same to the byte for any number of workers, and any
// replicate can be rerun alone.
func TestJobsAndSingleReplicates(t *testing.T) {
	m := model(t, newPlanner(8).plan(4, 2))
	run := func(first, n, jobs int) *ensemble.Outcome {
		o, err := ensemble.Run(context.Background(), []*sim.Model{m}, ensemble.Options{Replicates: n, First: first, Seed: 5, Jobs: jobs})
		if err != nil {
			t.Fatal(err)
		}
		return o[0]
	}
	one, five := run(0, 150, 1), run(0, 150, 5)
	alone := run(117, 1, 1)
	for s := range m.Seasons() {
		for k := sim.Metric(0); k < sim.MetricCount; k++ {
			a, b := one.Column(k, s), five.Column(k, s)
			for r := range a {
				if math.Float64bits(a[r]) != math.Float64bits(b[r]) {
					t.Fatalf("%s, season %d, replicate %d: %v with one worker, %v with five", sim.Metrics[k].Name, s, r, a[r], b[r])
				}
			}
			if x := alone.Column(k, s)[0]; math.Float64bits(x) != math.Float64bits(a[117]) {
				t.Fatalf("%s, season %d: replicate 117 alone gives %v, in the ensemble %v", sim.Metrics[k].Name, s, x, a[117])
			}
		}
	}
}
