package crop

import (
	"math"
	"testing"

	"rundown/params/date"
)

// Yield falls with the date of drilling as the sheet says: winter barley
// −0.43 % a day from early September to mid-November (Green, Furmston & Ivins
// 1985, J. Agric. Sci.; consistency of the label, not a test of the model).
func TestDateResponse(t *testing.T) {
	barley := &Params{BestUntil: 263, EarlyLoss: 0.0043, LateFrom: 319, LateLoss: 0.0043} // 20 September, 15 November
	for _, c := range []struct {
		day  date.Day
		want float64
	}{
		{date.Of(2026, 9, 10), 1}, {date.Of(2026, 9, 20), 1}, {date.Of(2026, 9, 30), 1 - 0.043}, {date.Of(2026, 11, 15), 1 - 56*0.0043},
	} {
		if got := barley.DateResponse(c.day); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v: %.4f, expected %.4f", c.day, got, c.want)
		}
	}
	// A crop drilled in January lies after the November before it.
	beans := &Params{BestUntil: 309, EarlyLoss: 0.002, LateFrom: 349, LateLoss: 0.005}
	if got, want := beans.DateResponse(date.Of(2027, 1, 14)), 1-40*0.002-30*0.005; math.Abs(got-want) > 1e-9 {
		t.Errorf("drilled on 14 January: %.4f, expected %.4f", got, want)
	}
}

// A crop comes up once its thermal time is reached, and covers half of its
// ground at the thermal time its sheet gives.
func TestCropGrows(t *testing.T) {
	p := &Params{EmergenceTimeCd: 150, CoverTimeCd: 500, KcbFull: 1.1, Establishment: 0.8}
	c := Drill(date.Of(2026, 9, 25), p, 300)
	day := c.Drilled
	var cover, kcb float64
	for heat := 0.0; heat < 650; heat += 10 {
		day++
		cover, kcb = c.Grow(p, 10, day)
	}
	if c.Up != c.Drilled+15 {
		t.Errorf("up on %v, expected 15 days after %v", c.Up, c.Drilled)
	}
	if math.Abs(cover-0.475) > 0.001 || math.Abs(kcb-1.1*cover) > 1e-12 {
		t.Errorf("cover %.3f and Kcb %.3f at half cover", cover, kcb)
	}
	if c.PlantsM2 != 240 {
		t.Errorf("%v plants/m² from 300 seeds at 80 %%", c.PlantsM2)
	}
}

// A cover sown a month later is thin by winter, frost kills the tender, and
// what is dead shades the ground less and less (common practice, no source).
func TestCover(t *testing.T) {
	p := &CoverParams{MaxCover: 0.9, HalfCoverCd: 700, SlopeCd: 150, FrostKillC: -8, ResidueHalfLife: 40, EmergenceLoss: 0.3, GrowthLoss: 0.7,
		ResidueLoss: 0.1, ResidueDays: 28}
	grow := func(days int, meanC float64) Cover {
		c := Sow(date.Of(2026, 9, 1))
		for d := range days {
			c.Day(p, meanC, 2, 1, c.Sown+date.Day(d))
		}
		return c
	}
	early, late := grow(90, 11), grow(60, 8)
	if early.Ground < 0.7 || late.Ground > 0.3*early.Ground {
		t.Errorf("ground cover %.2f sown early, %.2f sown late", early.Ground, late.Ground)
	}
	dim := Sow(date.Of(2026, 9, 1))
	for d := range 180 { // twice as long in half the light
		dim.Day(p, 11, 2, 0.5, dim.Sown+date.Day(d))
	}
	if math.Abs(dim.Ground-early.Ground) > 1e-12 {
		t.Errorf("ground cover %.3f in 180 days of half light, %.3f in 90 of full", dim.Ground, early.Ground)
	}
	// FAO-56 eq. 76 the other way round: fc = (Kcb/Kcmax)^(1 + 0.5 h), h 0.4 m, with Kcmin 0.
	p.Kcb = 1.05
	if got := math.Pow(early.Transpires(p)/1.05, 1.2); math.Abs(got-early.Ground) > 1e-5 { // by table
		t.Errorf("Kcb of %.3f belongs to a ground cover of %.3f, not %.3f", early.Transpires(p), got, early.Ground)
	}
	if k := early.Keeps(p); k <= 0 || k > p.EmergenceLoss {
		t.Errorf("keeps %.3f of sprouting seed dormant, expected up to %.2f", k, p.EmergenceLoss)
	}
	hard := early
	hard.Day(p, -3, -9, 0.3, date.Of(2026, 12, 20))
	if hard.Destroyed == 0 || hard.Ground != 0 || hard.Residue != early.Ground {
		t.Error("hard frost did not kill the tender cover into residue")
	}
	before := hard.Residue
	for d := range 40 {
		hard.Day(p, 5, 1, 1, hard.Destroyed+1+date.Day(d))
	}
	if got := hard.Residue / before; math.Abs(got-0.5) > 0.01 {
		t.Errorf("%.3f of the residue is left after its half-life", got)
	}
	if hard.ResidueKill(p, hard.Destroyed+28) != 0 || hard.ResidueKill(p, hard.Destroyed+7) <= 0 {
		t.Error("residue should hold seedlings back for its weeks and no longer")
	}
}
