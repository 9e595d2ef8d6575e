package sim_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/random"
)

// fewHeads is the factor on heads per plant that makes a tiny population grow
// so slowly that its fate is in doubt for years.
const fewHeads = 0.1

// frozen runs replicates that differ by chance alone.
func (l *limit) frozen(t *testing.T, n int, w ...sim.Watch) *ensemble.Outcome {
	t.Helper()
	o, err := ensemble.Run(context.Background(), []*sim.Model{l.m}, ensemble.Options{
		Replicates: n, Seed: 5, Watches: w,
		Case: func(_ *sim.Worker, k int, r *sim.Replicate) {
			copy(r.Theta, l.theta)
			r.Streams = sim.Streams{}
			r.Streams[random.Chance] = uint32(k)
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	return o[0]
}

// A tiny population dies out as often as the generating functions of the
// several kinds of seed say: their yearly iterates and fixed point come from
// limits.py (numpy). It starts with the seed of one head on a hectare (Poisson, mean
// 55) and the little that a twentieth of it in the year before, and so on, has left
// (Poisson too), so that it dies out with probability exp(−Σ mean·(1 − q)). The
// functions take plants as bearing geometric numbers of heads each, with their
// own means; the simulation pools the plants of a field (negative binomial of the
// summed mean, size their number), which is the same law for plants of one date.
// Extinct is: no seed in the soil at the turn of 1 July and none set in the June
// before. By the exact binomial law each year's count has a chance of 3e-5 or more on
// its side: a right model fails one seed in 2,700.
func TestExtinctionFollowsTheGeneratingFunctions(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a second or two")
	}
	const years, n = 6, 4000
	l := limitOf(t, 1, "start: 2026-08-13, heads_per_m2: 0.0001, trend: 20", strings.Repeat(refSeasonText, years))
	l.set(t, "heads_per_plant", fewHeads*l.theta[l.at(t, "heads_per_plant")])
	stored(t, "offspring.csv", l.offspring(t))
	want := reference(t)
	var w []sim.Watch
	for year := range years {
		w = append(w, sim.Watch{Day: date.Of(2027+year, 7, 1), What: sim.WatchSeeds})
	}
	o := l.frozen(t, n, w...)
	extinct := 0.0
	table := "| extinct by year | simulated | generating functions |\n|---|---|---|\n"
	for year := 1; year <= years; year++ {
		bank, set := o.Watched(year-1), o.Column(sim.SeedReturn, year-1)
		extinct = 0
		for r := range bank {
			if bank[r] == 0 && set[r] == 0 {
				extinct += 1.0 / n
			}
		}
		p := want[fmt.Sprintf("extinct by year %d", year)]
		z := (extinct - p) / math.Sqrt(p*(1-p)/n)
		t.Logf("by year %d: %.4f extinct, generating functions %.4f (%+.1f standard errors)", year, extinct, p, z)
		table += fmt.Sprintf("| %d | %.3f | %.3f |\n", year, extinct, p)
		law, count := distuv.Binomial{N: n, P: p}, math.Round(extinct*n)
		if fewer, more := law.CDF(count), law.Survival(count-1); min(fewer, more) < 3e-5 {
			t.Errorf("by year %d: %.4f extinct, generating functions %.4f (%+.1f standard errors, chance %.2g)", year, extinct, p, z, min(fewer, more))
		}
	}
	// What is still in doubt after six years, the fixed point decides.
	p := want["extinct in the end"]
	readmeBlock(t, "extinction", table+fmt.Sprintf("| in the end | | %.3f |\n\n", p))
	t.Logf("in the end: %.4f by the fixed point; growth %.2f a year", p, want["extinction growth"])
	if doubt := p - want[fmt.Sprintf("extinct by year %d", years)]; doubt < 0 || doubt > 0.02 || extinct > p+4*math.Sqrt(p*(1-p)/n) {
		t.Errorf("%.4f extinct after %d years, %.4f by the functions, %.4f in the end", extinct, years, p-doubt, p)
	}
}

// offspring is what one seed of each kind may become in a year.
func (l *limit) offspring(t *testing.T) [][]string {
	t.Helper()
	a, err := l.m.YearlyMatrix(l.theta)
	if err != nil {
		t.Fatal(err)
	}
	plants, err := l.m.Bearings(l.theta)
	if err != nil {
		t.Fatal(err)
	}
	rows := [][]string{append([]string{"becomes", "heads", "seeds"}, seedKinds...)}
	for _, r := range a[1:] {
		rows = append(rows, append([]string{"bank", "0", "0"}, numbers(r[:]...)...))
	}
	for _, b := range plants {
		rows = append(rows, append([]string{"plant"}, numbers(append([]float64{b.Heads, b.Seeds}, b.Plants[:]...)...)...))
	}
	return rows
}

// A huge field and a small one have the same mean; the small one dies out more
// often. The bank of 1 seed per m² is worked and sprayed for three years. Four
// standard errors of the difference, three years: a right model fails one seed in 5,000.
func TestHugeAndSmallFields(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a second or two")
	}
	const n = 1500
	fallow := "  - crop: fallow\n    cultivate: [{date: 25 Aug, with: shallow-disc}, {date: 15 Mar, with: shallow-disc}]\n    spray_off: [10 Apr, 5 " +
		"May, 20 May, 30 May]\n"
	field := func(areaHa float64) *ensemble.Outcome {
		return limitOf(t, areaHa, "start: 2026-07-02, seedbank_per_m2: {0-5: 1}", strings.Repeat(fallow, 3)).frozen(t, n)
	}
	huge, small := field(1000), field(0.001)
	for s := range 3 {
		a, b := huge.Column(sim.SeedbankJune, s), small.Column(sim.SeedbankJune, s)
		se := math.Hypot(standardError(a), standardError(b))
		t.Logf("year %d: bank %.5f in the huge field, %.5f ± %.5f in the small one; extinct %.3f, %.3f",
			s+1, mean(a), mean(b), se, mean(huge.Column(sim.Extinct, s)), mean(small.Column(sim.Extinct, s)))
		if math.Abs(mean(a)-mean(b)) > 4*se {
			t.Errorf("year %d: bank %.5f in the huge field, %.5f in the small one, standard error %.5f", s+1, mean(a), mean(b), se)
		}
	}
	if a, b := mean(huge.Column(sim.Extinct, 2)), mean(small.Column(sim.Extinct, 2)); a != 0 || b < 0.2 {
		t.Errorf("extinct after three years: %.3f of the huge fields, %.3f of the small ones", a, b)
	}
}

func standardError(x []float64) float64 {
	m, s := mean(x), 0.0
	for _, v := range x {
		s += (v - m) * (v - m)
	}
	n := float64(len(x))
	return math.Sqrt(s / (n - 1) / n)
}

// No weed, no loss: with an empty seedbank nothing of the weed ever appears,
// and yield is that of the crop alone.
func TestNoWeedNoLoss(t *testing.T) {
	plan := "field: {name: Clean, area_ha: 5, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, seedbank_per_m2: " +
		"{surface: 0}}\nseasons:\n  - {crop: winter-wheat}\n  - {crop: spring-barley}\nrepeat: 2\n"
	o := run(t, 50, nil, plan)[0]
	for s := range 4 {
		for _, m := range []sim.Metric{sim.Plants, sim.Heads, sim.SeedReturn, sim.SeedbankJune, sim.Seedbank, sim.YieldLoss, sim.PlantsEmerged} {
			for r, x := range o.Column(m, s) {
				if x != 0 && !math.IsNaN(x) {
					t.Fatalf("season %d, replicate %d: %s is %v on a field without the weed", s+1, r, sim.Metrics[m].Name, x)
				}
			}
		}
		if mean(o.Column(sim.Extinct, s)) != 1 {
			t.Errorf("season %d: a field without the weed is not free of it", s+1)
		}
	}
	yield := mean(o.Column(sim.Yield, 0))
	if yield < 8 || yield > 10 {
		t.Errorf("wheat without the weed yields %.2f t/ha; the library says about 9", yield)
	}
}
