package crop

import (
	"math"
	"testing"
)

// Wheat plants lower weed heads by 15 % per 100 plants/m² between 100 and 350
// (Lutman et al. 2013, Weed Research 53:299–313).
func TestHeadsFactor(t *testing.T) {
	wheat := &Params{Heads: 1, UsualStandM2: 273}
	for _, c := range []struct{ plants, want float64 }{
		{200, 1}, {300, 0.85}, {350, math.Pow(0.85, 1.5)}, {500, math.Pow(0.85, 1.5)}, {100, 1 / 0.85}, {60, 1 / 0.85},
	} {
		if got := wheat.HeadsFactor(c.plants, 1, 1.7); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v plants: %.4f, expected %.4f", c.plants, got, c.want)
		}
	}
	if got := wheat.HeadsFactor(0, 1, 1.7); math.Abs(got-1.7) > 1e-12 {
		t.Errorf("no crop: %.4f, expected that of fallow, 1.7", got)
	}
	// Twenty plants of beans are a full crop, not a nearly bare field.
	beans := &Params{Heads: 1.1, UsualStandM2: 20}
	if got, want := beans.HeadsFactor(20, 1, 1.7), 1.1*math.Pow(0.85, 0.73); math.Abs(got-want) > 1e-12 {
		t.Errorf("a usual stand of beans: %.4f, expected %.4f, as for a usual stand of wheat", got, want)
	}
}

// Yield by density, against points worked out by hand: 1 at the usual stand,
// half of the asymptote at h of it, 2 % less per usual stand beyond one and a half.
func TestStandResponse(t *testing.T) {
	p := &Params{UsualStandM2: 100, HalfStand: 0.25, ThickLoss: 0.02}
	for plants, want := range map[float64]float64{0: 0, 25: 0.625, 100: 1, 150: 1.875 / 1.75, 250: 3.125/2.75 - 0.02} {
		if got := p.StandResponse(plants); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v plants: %.5f, expected %.5f", plants, got, want)
		}
	}
	if got := (&Params{}).StandResponse(0); got != 1 {
		t.Errorf("nothing sown: %v, expected no effect, 1", got)
	}
}
