package sim_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"rundown/params/date"
	"rundown/sim"
)

// sprayedSeasons are the seasons of the reference year with a spray of HRAC group 2.
func sprayedSeasons(years int) string {
	return strings.Repeat(strings.Replace(refSeasonText, "herbicides: []", "herbicides: [{programme: spring-contact, date: 15 Mar}]", 1), years)
}

// Carriers that no herbicide touches, alone in a field, die out as often as the generating functions say
// of any seed (testdata/limits/limits.py): they are drawn by class, by the same law. The plan is that of
// TestExtinctionFollowsTheGeneratingFunctions with a spray that kills none of them. By the exact binomial law
// each year's count has a chance of 3e-5 or more on its side: a right model fails one seed in 2,700.
func TestCarriersDieOutByTheGeneratingFunctions(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a second or two")
	}
	const years, n = 6, 4000
	l := limitOf(t, 1, "start: 2026-08-13, heads_per_m2: 0.0001, trend: 20, evolve: yes, resistance: {2: {survived: 1, by: one-gene}}", sprayedSeasons(years))
	l.set(t, "heads_per_plant", fewHeads*l.theta[l.at(t, "heads_per_plant")])
	setAll(t, l.m, l.theta, map[string]float64{"/protection": 1, "cost_share": 0, "heritability_": 0, "pollen_outside": 0})
	want := reference(t)
	var w []sim.Watch
	for year := range years {
		w = append(w, sim.Watch{Day: july1(2027 + year), What: sim.WatchSeeds})
	}
	o := l.frozen(t, n, w...)
	for year := 1; year <= years; year++ {
		bank, set := o.Watched(year-1), o.Column(sim.SeedReturn, year-1)
		extinct := 0.0
		for r := range bank {
			if bank[r] == 0 && set[r] == 0 {
				extinct++
			}
		}
		p := want[fmt.Sprintf("extinct by year %d", year)]
		law := distuv.Binomial{N: n, P: p}
		fewer, more := law.CDF(extinct), law.Survival(extinct-1)
		t.Logf("by year %d: %.4f extinct, generating functions %.4f", year, extinct/n, p)
		if min(fewer, more) < 3e-5 {
			t.Errorf("by year %d: %.4f extinct, generating functions %.4f", year, extinct/n, p)
		}
	}
}

// In a selfing weed without crowding, carriers of two copies and the rest are two lines that each grow by
// the dominant eigenvalue of its own yearly matrix: the odds of carriers rise each year by the ratio
// λR/λS, and from f₀ to 0.2 in about ln(0.25/f₀)/ln(λR/λS) years. The eigenvalues are those of lines run alone. The
// fields are so large (10⁴ ha) that chance moves the odds by less than a hundredth.
func TestCarriersRiseByTheRatioOfGrowth(t *testing.T) {
	const years, f0 = 8, 1e-4
	genes := map[string]float64{"/protection": 1, "/dominance_2": 1, "cost_share": 0, "heritability_": 0, "pollen_outside": 0, "/outcrossing": 0,
		"mutation_rate": 0}
	run := func(words string) []sim.Record {
		l := limitOf(t, 10000, "start: 2026-08-13, heads_per_m2: 0.01, evolve: yes, "+words, sprayedSeasons(years))
		l.set(t, "heads_per_plant", 0.3*l.theta[l.at(t, "heads_per_plant")])
		setAll(t, l.m, l.theta, genes)
		w, err := l.m.NewWorker()
		if err != nil {
			t.Fatal(err)
		}
		return []sim.Record{*record(t, l.m, w, sim.Replicate{Seed: 1, Streams: sim.StreamsOf(1), Theta: l.theta})}
	}
	growth := func(r *sim.Record) float64 {
		return math.Pow(r.Seasons[years-1][sim.PlantsEmerged]/r.Seasons[years-4][sim.PlantsEmerged], 1.0/3)
	}
	r, s := run("resistance: {2: {survived: 1, by: one-gene}}"), run("resistance: {2: {survived: 0, by: one-gene}}")
	ratio := growth(&r[0]) / growth(&s[0])
	mixed := run(fmt.Sprintf("resistance: {2: {survived: %.6f, by: one-gene}}", 0.05+0.95*f0))
	odds := func(year int) float64 { f := mixed[0].Seasons[year][sim.Carriers2]; return f / (1 - f) }
	reached := math.NaN()
	for y := range years {
		t.Logf("season %d: carriers %.5f", y+1, mixed[0].Seasons[y][sim.Carriers2])
		if f := mixed[0].Seasons[y][sim.Carriers2]; math.IsNaN(reached) && f >= 0.2 {
			reached = float64(y) - math.Log(odds(y)/0.25)/math.Log(odds(y)/odds(y-1))
		}
		if y >= 3 && odds(y) < 1e4 {
			if got := odds(y) / odds(y-1); math.Abs(got/ratio-1) > 0.05 {
				t.Errorf("season %d: the odds of carriers rise %.3f-fold, the lines by themselves %.3f", y+1, got, ratio)
			}
		}
	}
	formula := math.Log(0.25/f0) / math.Log(ratio)
	t.Logf("λR/λS %.2f; years to 0.2: %.2f, formula %.2f", ratio, reached, formula)
	if !(math.Abs(reached-formula) < 1) {
		t.Errorf("carriers reach 0.2 after %.2f years, the formula says %.2f", reached, formula)
	}
}

func july1(year int) date.Day { return date.Of(year, time.July, 1) }
