package ensemble_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/ensemble"
)

// Seed of a year is the bank of its 30 June and its rain less what was carried off,
// and what a season calls the year before is what the season before called its own.
// It does not hang on the day of the start, as seed as it lies does.
func TestSeedOfTheYear(t *testing.T) {
	p := newPlanner(61)
	for range plansToTry(6) {
		text := p.plan(4, []float64{0.1, 5, 200}[p.IntN(3)])
		o := runAll(t, ensemble.Options{Replicates: 40, Seed: 3}, model(t, text))[0]
		for s := range 4 {
			before, after := o.Column(sim.SeedBefore, s), o.Column(sim.SeedAfter, s)
			june, rain, off := o.Column(sim.SeedbankJune, s), o.Column(sim.SeedReturn, s), o.Column(sim.LedgerCarriedOff, s)
			for k := range after {
				if want := june[k] + rain[k] - off[k]; math.Abs(after[k]-want) > 1e-9*max(1, want) {
					t.Fatalf("season %d, replicate %d: %v, want %v + %v − %v\n%s", s, k, after[k], june[k], rain[k], off[k], text)
				}
			}
			if s > 0 && !slices.Equal(before, o.Column(sim.SeedAfter, s-1)) {
				t.Fatalf("season %d does not begin where the one before ended\n%s", s, text)
			}
		}
	}
}

// Seed that is set is counted before the combine: a seed mill leaves it as it is, and takes
// from the seed of the year just what is carried off more.
func TestSeedSetIsBeforeTheMill(t *testing.T) {
	plan := func(with string) string {
		return "field: {area_ha: 5, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 50}\n" +
			"seasons: [{crop: winter-wheat, harvest: {straw: chopped" + with + "}}]\n"
	}
	without := runAll(t, ensemble.Options{Replicates: 60, Seed: 2}, model(t, plan("")))[0]
	with := runAll(t, ensemble.Options{Replicates: 60, Seed: 2}, model(t, plan(", with: seed-control")))[0]
	if !slices.Equal(without.Column(sim.SeedReturn, 0), with.Column(sim.SeedReturn, 0)) {
		t.Errorf("a mill changes the seed that is set")
	}
	fewer := 0
	for k, x := range with.Column(sim.SeedAfter, 0) {
		if x < without.Column(sim.SeedAfter, 0)[k] {
			fewer++
		}
	}
	if fewer < 55 {
		t.Errorf("with a mill less seed is left in %d of 60 runs", fewer)
	}
}

func TestSeedBeforeDoesNotHangOnTheDayOfTheStart(t *testing.T) {
	const plan = `field: {area_ha: 5, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-%s, heads_per_m2: 50}
seasons: [{crop: spring-barley}]
`
	var first []float64
	lies := map[string]float64{}
	for _, start := range []string{"08-20", "09-01", "09-15", "10-01"} {
		o := runAll(t, ensemble.Options{Replicates: 60, Seed: 2}, model(t, fmt.Sprintf(plan, start)))[0]
		seed := o.Column(sim.SeedBefore, 0)
		if first == nil {
			first = slices.Clone(seed)
		}
		for k := range seed { // what was carried off is drawn on the day of the start: some 1 in 10,000 of millions of seeds
			if math.Abs(seed[k]/first[k]-1) > 0.0005 {
				t.Errorf("start on %s, replicate %d: seed of the year before is %v, with a start on 20 August %v", start, k, seed[k], first[k])
			}
		}
		lies[start] = bands.Summarise(o.Column(sim.LedgerStart, 0)).P50
	}
	if lies["10-01"] > 0.9*lies["08-20"] {
		t.Errorf("seed as it lies should fall by the day: %v", lies)
	}
}
