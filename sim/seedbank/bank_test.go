package seedbank

import (
	"math"
	"math/rand/v2"
	"testing"

	"rundown/sim/decay"
	"rundown/sim/random"
)

// typical are values of the order of the library's black-grass.
func typical() *Rates {
	p := &Params{BaseTemperatureC: 0, OptimumTemperatureC: 25, BasePotentialMPa: -1.5, BasePotentialRise: 0.08, EmergenceTimeCd: 180,
		GerminationSurface: 1, Germination0to5: 1, Germination5to10: 0.5, GerminationDeeper: 0.3,
		EmergenceSurface: 0.6, Emergence0to5: 0.6, EmergencePlaced: 0.85, Emergence5to10: 0.05,
		AutumnRipe: 265, AutumnRipeScaleD: 18, AutumnRipeShiftD: -70, SpringRipe: 46, SpringRipeScaleD: 10,
		AutumnShare: 0.82, NonDormant: 0.41, OldReady: 0.5, OldUnstirred: 0.6, StimulusOld: 0.1, StimulusFresh: 0.05, StimulusMoist: 1.5, StimulusDry: 0.5,
		MoistAboveFC: 0.7, DryBelowKr: 0.3,
		ReturnDate: 140, ReturnAutumnDate: 60, ReturnScaleD: 7, ReturnRate: 0.1,
		SurfaceDeath: 0.006, SurfaceDeathDry: 0.02, SurfaceDeathStraw: 0.55, SurfaceDeathWinter: 0.003, ShelteredSkin: 0.8, SelfBurial: 0.004, Eaten: 0.1,
		BuriedDeath: 0.45}
	r := new(Rates)
	r.Set(p)
	r.Tabulate()
	return r
}

// lay fills a bank with seed of every layer, age and state, 0 to 2,000 of each.
func lay(r *rand.Rand) *Bank {
	b := new(Bank)
	b.Reset()
	for l := range Layers {
		for a := range Ages {
			for s := range States {
				k := Lot{N: r.Int64N(2000), Age: uint8(a), From: Seen, layer: uint8(l), state: uint8(s), all: 1}
				k.At[l][s] = 1
				b.add(k)
			}
		}
	}
	return b
}

// No seed is lost or made: whatever is done to a bank, what it holds and what
// left it add up.
func TestEverySeedIsAccountedFor(t *testing.T) {
	rates := typical()
	r := rand.New(rand.NewPCG(4, 4))
	move := [Layers][Layers]float64{{0.1, 0.6, 0.2, 0.1, 0}, {0.05, 0.5, 0.25, 0.1, 0.1}, {0, 0.3, 0.4, 0.2, 0.1}, {0, 0.2, 0.2, 0.3, 0.3}, {0, 0, 0.1, 0.4, 0.5}}
	for k := range 300 {
		b := lay(r)
		before := b.Total()
		var lost Losses
		c := Chance{Key: random.Root(uint64(k), random.Chance, 0), Day: 20000 + int32(k)}
		x := Exposure{Days: 9, Surface: 0.1, Back: 0.02, BackAutumn: 0.05}
		for l := range x.Warmth {
			x.Warmth[l] = 120 * r.Float64()
			x.Unripe[l], x.UnripeFresh[l], x.Spring[l] = 0.5*x.Warmth[l], 0.6*x.Warmth[l], 0.2*x.Warmth[l]
		}
		s := Step{Rates: rates, Since: &x, Keep: 0.2, Shelter: 0.5, Quick: Quick{r.IntN(2) == 0, r.IntN(2) == 0}}
		b.Bear(New, 1000)
		b.Fall(rates, 0.7, 0.4)
		b.CarryOff(0.5)
		b.CloseQuick(&s)
		b.CloseSurface(&s)
		b.CloseDeeper(&s)
		up := b.ComeUp(&c, &lost).N
		b.Till(rates, &Pass{Move: &move, KillSprouted: 0.6, Stirs: [Layers]float64{1, 1, 0.5, 0.2, 0}, Stimulus: 1.5, Places: true})
		if k%3 == 0 {
			b.Look(0.1, &c, &lost)
		}
		c.Day++
		june := b.Turn(rates, &c, &lost)
		if up != lost.Emerged {
			t.Fatalf("%d seedlings, %d emerged in the ledger", up, lost.Emerged)
		}
		if old := b.Aged(Old); old > june {
			t.Fatalf("%d old seeds after the turn, %d old and fresh before", old, june)
		}
		b.Count(0.1, &c, &lost)
		if after := b.Total() + lost.Died + lost.Eaten + lost.Fatal + lost.Emerged + lost.Carried; after != before+1000 {
			t.Fatalf("case %d: %d seeds before, %d after", k, before+1000, after)
		}
	}
}

// The shares of a lot add up to what it has left, whatever happens to it.
func TestSharesAddUp(t *testing.T) {
	rates := typical()
	move := [Layers][Layers]float64{{0.1, 0.6, 0.2, 0.1, 0}, {0.05, 0.5, 0.25, 0.1, 0.1}, {0, 0.3, 0.4, 0.2, 0.1}, {0, 0.2, 0.2, 0.3, 0.3}, {0, 0, 0.1, 0.4, 0.5}}
	b := new(Bank)
	b.Reset()
	var lost Losses
	c := Chance{Key: random.Root(5, random.Chance, 0), Day: 20000}
	b.Bear(Fresh, 1e6)
	b.AddOld(rates, Depth5to10, 1e6)
	for range 40 {
		c.Day += 5
		x := Exposure{Days: 5, Surface: 0.02, Back: 0.01, BackAutumn: 0.01, Warmth: [Layers]float64{30, 40, 40, 45, 45}}
		x.Spring = x.Warmth
		s := Step{Rates: rates, Since: &x, Quick: Quick{true, false}}
		b.Fall(rates, 0.1, 0.4)
		b.CloseQuick(&s)
		b.CloseSurface(&s)
		b.CloseDeeper(&s)
		b.ComeUp(&c, &lost)
		b.Till(rates, &Pass{Move: &move, KillSprouted: 0.6, Stirs: [Layers]float64{1, 1, 0.5, 0.2, 0}, Stimulus: 1.5})
		for i := range b.Lots {
			k := &b.Lots[i]
			if k.N == 0 {
				continue
			}
			if sum := k.alive() + k.lost.taken + k.lost.dead + k.lost.fatal + k.lost.carried; math.Abs(sum-k.all) > 1e-12 {
				t.Fatalf("the shares of a lot add up to %.15f, %.15f of it is left", sum, k.all)
			}
		}
	}
}

// Seed counted is seed by its chances: of a million seeds moved by the matrix as
// many lie in each layer as it says, within 5 standard errors (false alarm below
// 1e-5 over all layers), and the bank is none the poorer for a look.
func TestLookFollowsTheMatrix(t *testing.T) {
	move := [Layers][Layers]float64{{0.05, 0.15, 0.35, 0.4, 0.05}, {0, 1, 0, 0, 0}, {0, 0, 1, 0, 0}, {0, 0, 0, 1, 0}, {0, 0, 0, 0, 1}}
	const n = 1_000_000
	rates := typical()
	var lost Losses
	b := new(Bank)
	b.Reset()
	c := Chance{Key: random.Root(1, random.Chance, 0), Day: 20000}
	b.Lay(rates, Fresh, Laid, n, 0.4)
	b.Till(rates, &Pass{Move: &move})
	seen := b.Look(0.1, &c, &lost)
	for l, p := range move[0] {
		got := 0.0
		for _, x := range seen[Fresh][l] {
			got += float64(x)
		}
		if se := math.Sqrt(n * p * (1 - p)); math.Abs(got-n*p) > 5*se {
			t.Errorf("layer %d got %.0f of a million seeds, expected %.0f ± %.0f", l, got, n*p, se)
		}
	}
	ready := float64(seen[Fresh][Surface][AutumnReady]+seen[Fresh][Surface][SpringReady]) / (0.05 * n)
	if se := math.Sqrt(0.4 * 0.6 / (0.05 * n)); math.Abs(ready-0.4) > 5*se {
		t.Errorf("%.4f of the seed on top is ready, expected 0.4 ± %.4f", ready, se)
	}
	if b.Total() != n {
		t.Errorf("%d of a million seeds are left after a look", b.Total())
	}
}

// The values of a day worked out alone are those of the table.
func TestDayIsTheTables(t *testing.T) {
	r := typical()
	for d := range yearDays {
		x := r.On(d)
		for _, v := range [][2]float64{{x.Old, r.OldRipe[d]}, {x.Spring, r.Spring[d]}, {x.Back, r.Back[d]}, {x.BackAutumn, r.BackAutumn[d]}} {
			if math.Abs(v[0]-v[1]) > 1e-12 {
				t.Fatalf("day %d: %v alone, %v in the table", d, v[0], v[1])
			}
		}
	}
}

// A lot drawn step by step has the law of one whose pools are drawn one by one
// in every step: of 3 seeds, how many come up in the first step and in two
// is trinomial (20,000 lots; chi-square of 9 degrees of freedom, 33.7 is passed once in
// 10,000: scipy 1.10.1, scipy.stats.chi2.isf(1e-4, 9) = 33.72).
func TestSeedlingsAreMultinomial(t *testing.T) {
	rates := typical()
	const n, trials = 3, 20000
	x := Exposure{Days: 7, Surface: 0.1, Warmth: [Layers]float64{90, 90, 90, 90, 90}}
	x.Spring = x.Warmth
	s := Step{Rates: rates, Since: &x, Quick: Quick{true, true}}
	start := Lot{N: n, Age: Old, From: Dealt, layer: Depth0to5, all: 1}
	start.At[Depth0to5][AutumnReady] = 1
	// What is expected, of pools: ready seed through in the first step; in the second that, and sprouted seed.
	second := rates.K * 90
	f := ReadyFates(second, rates.buried*7, 0, second, decay.Left(second), 0)
	p1 := 0.6 * f.Through
	p2 := 0.6 * ((1-f.Leave)*f.Through + f.Sprout*(1-decay.Left(second)))
	var got [n + 1][n + 1]float64
	for k := range trials {
		b := new(Bank)
		b.Reset()
		b.Lots[Depth0to5] = start
		var lost Losses
		c := Chance{Key: random.Root(uint64(k), random.Chance, 7), Day: 20000}
		b.CloseQuick(&s)
		first := b.ComeUp(&c, &lost).N
		c.Day += 7
		b.CloseQuick(&s)
		got[first][b.ComeUp(&c, &lost).N]++
	}
	chi := 0.0
	for i := range n + 1 {
		for j := range n + 1 - i {
			ways := [n + 1]float64{1, 1, 2, 6}
			want := trials * ways[n] / ways[i] / ways[j] / ways[n-i-j] * math.Pow(p1, float64(i)) * math.Pow(p2, float64(j)) * math.Pow(1-p1-p2, float64(n-i-j))
			chi += (got[i][j] - want) * (got[i][j] - want) / want
		}
	}
	t.Logf("chi-square %.1f", chi)
	if chi > 33.7 {
		t.Errorf("seedlings of two steps are not trinomial: chi-square %.1f, at most 33.7 expected", chi)
	}
}

// The first stirring of a layer in a year releases old dormant seed up to G;
// a second one finds the layer stirred and adds only the stimulus.
func TestFirstStirringCounts(t *testing.T) {
	rates := typical()
	stay := [Layers][Layers]float64{{1}, {0, 1}, {0, 0, 1}, {0, 0, 0, 1}, {0, 0, 0, 0, 1}}
	b := new(Bank)
	b.Reset()
	b.AddOld(rates, Depth0to5, 1)
	ready := func() float64 {
		q := &b.Lots[Depth0to5].At[Depth0to5]
		return q[AutumnReady] + q[SpringReady]
	}
	if got := ready(); math.Abs(got-0.3) > 1e-12 { // u·G = 0.6 · 0.5
		t.Errorf("%.4f of old seed is dealt ready, expected 0.300", got)
	}
	pass := &Pass{Move: &stay, Stirs: [Layers]float64{1, 1, 0, 0, 0}, Stimulus: 0}
	b.Till(rates, pass)
	pass.Tilled.Stir(&pass.Stirs)
	if got := ready(); math.Abs(got-0.5) > 1e-12 { // G
		t.Errorf("after the first stirring %.4f is ready, expected G = 0.500", got)
	}
	b.Till(rates, pass)
	if got := ready(); math.Abs(got-0.5) > 1e-12 {
		t.Errorf("after the second stirring %.4f is ready, expected no more than before, 0.500", got)
	}
}

// Seed that nothing sheds declines geometrically: with no germination at all,
// buried seed falls by the share the library says in a year.
func TestBuriedDeathOfAYear(t *testing.T) {
	rates := typical()
	const n = 10_000_000
	var lost Losses
	b := new(Bank)
	b.Reset()
	b.Lots[Depth15to20] = Lot{N: n, Age: Old, layer: Depth15to20, all: 1}
	b.Lots[Depth15to20].At[Depth15to20][Dormant] = 1
	c := Chance{Key: random.Root(3, random.Chance, 0), Day: 20000}
	for range 13 {
		b.CloseDeeper(&Step{Rates: rates, Since: &Exposure{Days: 365.0 / 13}})
		c.Day += 28
	}
	b.Count(0, &c, &lost)
	if got := 1 - float64(b.Total())/n; math.Abs(got-0.45) > 0.001 {
		t.Errorf("%.4f of buried seed died in a year, expected 0.450", got)
	}
}
