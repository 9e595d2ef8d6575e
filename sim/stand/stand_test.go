package stand

import (
	"math"
	"testing"

	"rundown/params/date"
	"rundown/sim/random"
)

func typical() *Params {
	return &Params{AutumnSurvival: 0.85, SpringSurvival: 0.9, MaxPlantsPerM2: 1500, RhoFebruary: 1.0 / 6, RhoSpringCrop: 0.5, RhoLateSpring: 0.5,
		HeadsPerPlant: 6, MaxHeadsPerM2: 1500, SeedsPerHead: 100, SeedsPerHeadLate: 50, Viability: 0.55, CrowdingExponent: 0.5, LeafCd: 100, TillersSixCd: 900,
		LossPerHead: 0.0025, MaxLoss: 0.75, PatchinessK: 0.5,
		HeadsSDD: 8, StemsBeforeD: 14, SetAfterD: 23, RegrowthBeforeD: 4, RegrowthSDD: 10, RegrowthAfterCut: 0.8}
}

func chance(day int32) *Chance { return &Chance{Key: random.Root(9, random.Chance, 0), Day: day} }

// quadrature is the error that the sixteen nodes may have.
const quadrature = 4e-6

// The rectangular hyperbola's limits (Cousens 1985, Ann. Appl. Biol.
// 107:239–252): slope i at zero density, asymptote A; patchiness lowers the
// loss in between, and an even field (large k) has the hyperbola itself.
func TestYieldLossLimits(t *testing.T) {
	p := typical()
	if got := p.YieldLoss(1e-6, 1) / 1e-6; math.Abs(got-p.LossPerHead) > 1e-4*p.LossPerHead {
		t.Errorf("slope at zero is %v, expected i = %v", got, p.LossPerHead)
	}
	if p.YieldLoss(0, 1) != 0 {
		t.Error("no weed, yet a loss")
	}
	even := *p
	even.PatchinessK = 1e6
	for _, d := range []float64{1, 12, 100, 400, 1000} {
		want := p.LossPerHead * d / (1 + p.LossPerHead*d/p.MaxLoss)
		if got := even.YieldLoss(d, 1); math.Abs(got-want) > quadrature {
			t.Errorf("%v plants/m² on an even field: loss %.5f, the hyperbola gives %.5f", d, got, want)
		}
		if got := p.YieldLoss(d, 1); got >= want || got <= 0 {
			t.Errorf("%v plants/m² in patches: loss %.5f, expected less than the even %.5f", d, got, want)
		}
	}
	if got := even.YieldLoss(1e7, 1); math.Abs(got-p.MaxLoss) > 0.01 {
		t.Errorf("asymptote %.4f, expected A = %v", got, p.MaxLoss)
	}
}

// Averaging over patches agrees with a direct numerical average over a gamma
// law: E[1/(1+xG)], k = 0.5, computed by adaptive quadrature outside (scipy
// 1.10.1: quad of gamma(0.5, scale=2).pdf/(1+x·g), substituted g = s²).
func TestPatchyAverage(t *testing.T) {
	p := typical()
	for _, c := range []struct{ x, want float64 }{
		{0.1, 0.92078514}, {1, 0.65567954}, {5, 0.40556508},
	} {
		d := c.x * p.MaxLoss / p.LossPerHead
		if got := 1 - p.YieldLoss(d, 1)/p.MaxLoss; math.Abs(got-c.want) > quadrature {
			t.Errorf("x = %v: %.5f, expected %.5f", c.x, got, c.want)
		}
	}
}

// 100 heads per m² cost about 13 % of wheat (ADAS in the trade press): those that stand are
// 107 uncrowded ones. The figure set the slope; a test of label and default, not of the model.
func TestAHundredHeads(t *testing.T) {
	if got := typical().YieldLoss(100/(1-100.0/1500), 1); got < 0.11 || got > 0.16 {
		t.Errorf("100 heads/m² cost %.3f of yield, expected about 0.13", got)
	}
}

// Fecundity by date of emergence: 1 until 15 September, 1/6 from 1 February on, between them
// the same share less with every day; in a spring crop autumn plants keep theirs. What a
// plant costs the crop goes with it, but for those that come up in a spring crop.
func TestRho(t *testing.T) {
	p := typical()
	winter, spring := SeasonOf(2027, false, 1), SeasonOf(2027, true, 1)
	for _, c := range []struct {
		day    date.Day
		season *Season
		want   float64
	}{
		{date.Of(2026, 9, 1), &winter, 1}, {date.Of(2026, 9, 15), &winter, 1}, {date.Of(2026, 11, 24), &winter, math.Pow(6, -70.0/139)},
		{date.Of(2027, 2, 1), &winter, 1.0 / 6}, {date.Of(2027, 3, 20), &winter, 1.0 / 6},
		{date.Of(2026, 11, 24), &spring, math.Pow(6, -70.0/139)}, {date.Of(2027, 3, 1), &spring, 0.5}, {date.Of(2027, 5, 1), &spring, 0.25},
	} {
		if got := p.Rho(c.day, c.season); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v: %v, expected %v", c.day, got, c.want)
		}
		if got := p.Size(c.day, c.season); c.season == &spring && c.day > spring.January15 && got != 1 || c.season == &winter && got != p.Rho(c.day, c.season) {
			t.Errorf("%v: costs as a plant of size %v", c.day, got)
		}
	}
}

// Heads: the curve's own check, 300 plants/m² → 818 heads/m² (2.7 a plant),
// arithmetic of the evidence's h1 = 6, Hmax = 1,500; mean over 400 draws within
// 5 standard errors.
func TestHeadsOfAFullStand(t *testing.T) {
	p, season := typical(), SeasonOf(2027, false, 1)
	const area = 100.0
	var sum, sq float64
	const n = 400
	for k := range n {
		var s Stand
		s.Add(Cohort{Day: date.Of(2026, 9, 20), N: 300 * area, Cover: 1}, 0, 0)
		var h Heads
		h.Form(&s, p, &season, area, chance(20000+int32(k)))
		x := float64(h.Total()) / area
		sum += x
		sq += x * x
	}
	mean := sum / n
	se := math.Sqrt((sq/n - mean*mean) / n)
	if math.Abs(mean-818.18) > 5*se+0.01 {
		t.Errorf("%.2f heads/m², expected 818.2 ± %.2f", mean, se)
	}
}

// Thinning: N per m² become N/(1 + N/Nmax).
func TestThinning(t *testing.T) {
	p := typical()
	const area = 1e5
	var s Stand
	var tally Tally
	s.Add(Cohort{Day: 1, N: 200 * area, Cover: 1}, 0, 0)
	s.Add(Cohort{Day: 9, N: 100 * area, Cover: 1}, 0, 0)
	s.Thin(p, area)
	s.Count(chance(20001), &tally)
	want := 300 / (1 + 300.0/1500)
	if got := float64(s.Plants()) / area; math.Abs(got-want) > 0.05 {
		t.Errorf("300 plants/m² thin to %.2f, expected %.2f", got, want)
	}
	if int64(300*area) != s.Plants()+tally.Died {
		t.Error("plants were lost in thinning")
	}
}

// Plants counted are plants by their chances: of a million seedlings, 0.1 killed as they
// emerge, 0.5 of the rest sprayed and 0.15 of those lost in winter, as many live,
// are killed and die as that makes, within 5 standard errors, and none is lost.
func TestCountOfPlants(t *testing.T) {
	p := typical()
	const n = 1_000_000
	var s Stand
	var tally Tally
	s.Add(Cohort{Day: 20100, Up: 20097, N: n, Cover: 1}, 0.1, 0)
	season := SeasonOf(2025, false, 1)
	s.Meet(p, &Work{Kill: Sizes{0.5, 0.5, 0.5}, Today: 20110, Heat: 300, Season: &season, Ripe: Ripe{Regrows: 1}})
	if got := s.Expected(); math.Abs(got-0.45*n) > 1e-6 {
		t.Errorf("%.1f plants expected, not 0.45 of a million", got)
	}
	s.WinterLosses(p, 20200, 20190, 20150)
	s.Count(chance(20200), &tally)
	for _, x := range []struct {
		name string
		got  int64
		p    float64
	}{{"live", s.Plants(), 0.45 * 0.85}, {"are killed", tally.Killed, 0.55}, {"die", tally.Died, 0.45 * 0.15}} {
		if math.Abs(float64(x.got)-n*x.p) > 5*math.Sqrt(n*x.p*(1-x.p)) {
			t.Errorf("%d plants %s, expected %.0f", x.got, x.name, n*x.p)
		}
	}
	if s.Plants()+tally.Killed+tally.Died != n {
		t.Errorf("%d of a million plants are accounted for", s.Plants()+tally.Killed+tally.Died)
	}
	s.EndBefore(20300)
	s.Count(chance(20210), &tally)
	if s.Plants() != 0 || tally.Killed+tally.Died != n || len(s.Cohorts) != 0 {
		t.Errorf("%d plants are left after harvest", s.Plants())
	}
}

// Seed falls along the curve: what falls of what is left adds up to what is due,
// and a curve that stands still or goes back sheds nothing.
func TestShedding(t *testing.T) {
	h := Heads{Early: 1000, Late: 300}
	if n := h.SetSeed(typical(), 1, chance(20002)); n < 50_000 || n > 75_000 {
		t.Errorf("%d seeds on 1,000 early and 300 late heads, expected about 63,000", n)
	}
	left := 1.0
	for _, share := range []float64{0.02, 0.3, 0.3, 0.2, 0.8} {
		left -= left * h.Drop(share)
	}
	if math.Abs(left-0.2) > 1e-12 {
		t.Errorf("%.3f of the seed is left, expected 0.200", left)
	}
}

// A spray kills by size, interpolated between one leaf and two.
func TestSizes(t *testing.T) {
	k := Sizes{0.85, 0.97, 0.9}
	for _, c := range []struct{ leaves, size, want float64 }{
		{0.5, 0.05, 0.85}, {1.5, 0.15, 0.91}, {3, 0.3, 0.97}, {12, 1.4, 0.9},
	} {
		if got := k.at(c.leaves, c.size); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v leaves: %v, expected %v", c.leaves, got, c.want)
		}
	}
}
