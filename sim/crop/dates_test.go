package crop

import (
	"math"
	"testing"

	"rundown/params/date"
)

// What an adviser in the farm press says of winter wheat: 60–65 % of seed becomes plants by
// mid-October, about half in November, of 78 % in September. (The figures set the values: a
// test of the form.) A crop whose share never falls is the same on every day.
func TestEstablishmentFallsWithTheDate(t *testing.T) {
	p := Params{Establishment: 0.78, EstablishLate: 0.58, EstablishFrom: 268, EstablishScaleD: 30}
	for _, c := range []struct {
		day       date.Day
		low, high float64
	}{
		{date.Of(2026, 9, 10), 0.78, 0.78}, {date.Of(2026, 9, 25), 0.78, 0.78}, {date.Of(2026, 10, 15), 0.60, 0.65},
		{date.Of(2026, 11, 15), 0.48, 0.53}, {date.Of(2026, 12, 31), 0.45, 0.48},
	} {
		if got := p.Establishes(c.day); got < c.low || got > c.high {
			t.Errorf("%v: %.3f of seed becomes plants, expected %.2f to %.2f", c.day, got, c.low, c.high)
		}
	}
	p.EstablishLate = 1
	if got := p.Establishes(date.Of(2026, 12, 1)); got != 0.78 {
		t.Errorf("where nothing falls, %.3f in December", got)
	}
}

// Very early drilling costs a little, so that yield has a best date and no plateau that
// begins with the harvest before; between the first and the last good day nothing is lost.
func TestVeryEarlyDrillingCosts(t *testing.T) {
	p := Params{BestFrom: 268, TooEarlyLoss: 0.0015, BestUntil: 288, EarlyLoss: 0.002, LateFrom: 319, LateLoss: 0.005}
	for _, c := range []struct {
		day  date.Day
		want float64
	}{
		{date.Of(2026, 9, 5), 1 - 20*0.0015}, {date.Of(2026, 9, 25), 1}, {date.Of(2026, 10, 15), 1}, {date.Of(2026, 10, 25), 1 - 10*0.002},
	} {
		if got := p.DateResponse(c.day); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("drilled on %v: factor %.4f on yield, expected %.4f", c.day, got, c.want)
		}
	}
}
