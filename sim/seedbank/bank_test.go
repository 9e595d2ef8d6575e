package seedbank

import (
	"math"
	"math/rand/v2"
	"testing"

	"rundown/sim/random"
)

// typical are values of the order of the library's black-grass.
func typical() *Rates {
	p := &Params{BaseTemperatureC: 0, OptimumTemperatureC: 25, BasePotentialMPa: -1.5, EmergenceTimeCd: 180,
		GerminationSurface: 1, Germination0to5: 1, Germination5to10: 0.5, GerminationDeeper: 0.3,
		EmergenceSurface: 0.6, Emergence0to5: 0.6, EmergencePlaced: 0.85, Emergence5to10: 0.05,
		AutumnRipe: 265, AutumnRipeScaleD: 18, AutumnRipeShiftD: -70, SpringRipe: 46, SpringRipeScaleD: 10,
		AutumnShare: 0.82, NonDormant: 0.41, OldReady: 0.5, OldUnstirred: 0.6, StimulusOld: 0.1, StimulusFresh: 0.05, StimulusMoist: 1.5, StimulusDry: 0.5,
		ReturnDate: 140, ReturnAutumnDate: 60, ReturnScaleD: 7, ReturnRate: 0.1,
		SurfaceDeath: 0.006, SurfaceDeathDry: 0.02, SurfaceDeathStraw: 0.55, SurfaceDeathWinter: 0.003, Eaten: 0.1, BuriedDeath: 0.45}
	r := new(Rates)
	r.Set(p)
	return r
}

func fill(r *rand.Rand) (b Bank) {
	for l := range b.N {
		for a := range b.N[l] {
			for s := range b.N[l][a] {
				b.N[l][a][s] = r.Int64N(2000)
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
		b := fill(r)
		before := b.Total()
		var lost Losses
		c := Chance{Key: random.Root(uint64(k), random.Chance, 0), Day: 20000 + int32(k)}
		x := Exposure{Days: 9, Surface: 0.1, Back: 0.02, BackAutumn: 0.05}
		for l := range x.Warmth {
			x.Warmth[l] = 120 * r.Float64()
			x.Old[l], x.Fresh[l], x.Spring[l] = 0.5*x.Warmth[l], 0.4*x.Warmth[l], 0.2*x.Warmth[l]
		}
		s := Step{Rates: rates, Since: &x, Keep: 0.2, Quick: Quick{r.IntN(2) == 0, r.IntN(2) == 0}}
		up := b.CloseQuick(&s, &c, &lost).N + b.CloseSlow(&s, &c, &lost).N
		b.Till(rates, &Pass{Move: &move, KillSprouted: 0.6, Stirs: [Layers]float64{1, 1, 0.5, 0.2, 0}, Stimulus: 1.5}, 1, &c, &lost)
		b.Turn(rates, &c, &lost)
		if up != lost.Emerged {
			t.Fatalf("%d seedlings, %d emerged in the ledger", up, lost.Emerged)
		}
		if after := b.Total() + lost.Died + lost.Eaten + lost.Fatal + lost.Emerged; after != before {
			t.Fatalf("case %d: %d seeds before, %d after", k, before, after)
		}
	}
}

// Moved seed goes where the matrix says: with many seeds the shares are the
// matrix's, within 5 standard errors (false alarm below 1e-5 over all cells).
func TestMovementFollowsTheMatrix(t *testing.T) {
	move := [Layers][Layers]float64{{0.05, 0.15, 0.35, 0.4, 0.05}, {0, 1, 0, 0, 0}, {0, 0, 1, 0, 0}, {0, 0, 0, 1, 0}, {0, 0, 0, 0, 1}}
	const n = 1_000_000
	var b Bank
	b.N[Surface][Fresh][Dormant] = n
	c := Chance{Key: random.Root(1, random.Chance, 0), Day: 20000}
	b.move(&Pass{Move: &move}, 0, &c)
	for l, p := range move[0] {
		if se := math.Sqrt(n * p * (1 - p)); math.Abs(float64(b.N[l][Fresh][Dormant])-n*p) > 5*se {
			t.Errorf("layer %d got %d of a million seeds, expected %.0f ± %.0f", l, b.N[l][Fresh][Dormant], n*p, se)
		}
	}
}

// The first stirring of a layer in a year releases old dormant seed up to G;
// a second one finds the layer stirred and adds only the stimulus.
func TestFirstStirringCounts(t *testing.T) {
	rates := typical()
	stay := [Layers][Layers]float64{{1}, {0, 1}, {0, 0, 1}, {0, 0, 0, 1}, {0, 0, 0, 0, 1}}
	const n = 10_000_000
	var b Bank
	var lost Losses
	c := Chance{Key: random.Root(2, random.Chance, 0), Day: 20000}
	b.AddOld(rates, Depth0to5, n, &c)
	ready := func() float64 {
		return float64(b.N[Depth0to5][Old][AutumnReady]+b.N[Depth0to5][Old][SpringReady]) / n
	}
	if got := ready(); math.Abs(got-0.3) > 0.001 { // u·G = 0.6 · 0.5
		t.Errorf("%.4f of old seed is dealt ready, expected 0.300", got)
	}
	pass := &Pass{Move: &stay, Stirs: [Layers]float64{1, 1, 0, 0, 0}, Stimulus: 0}
	b.Till(rates, pass, 0, &c, &lost)
	if got := ready(); math.Abs(got-0.5) > 0.001 { // G
		t.Errorf("after the first stirring %.4f is ready, expected G = 0.500", got)
	}
	c.Day++
	b.Till(rates, pass, 0, &c, &lost)
	if got := ready(); math.Abs(got-0.5) > 0.001 {
		t.Errorf("after the second stirring %.4f is ready, expected no more than before, 0.500", got)
	}
}

// Seed that nothing sheds declines geometrically: with no germination at all,
// buried seed falls by the share the library says in a year.
func TestBuriedDeathOfAYear(t *testing.T) {
	rates := typical()
	const n = 10_000_000
	var b Bank
	var lost Losses
	b.N[Depth15to20][Old][Dormant] = n
	c := Chance{Key: random.Root(3, random.Chance, 0), Day: 20000}
	for range 13 {
		b.CloseSlow(&Step{Rates: rates, Since: &Exposure{Days: 365.0 / 13}}, &c, &lost)
		c.Day += 28
	}
	if got := 1 - float64(b.Total())/n; math.Abs(got-0.45) > 0.001 {
		t.Errorf("%.4f of buried seed died in a year, expected 0.450", got)
	}
}
