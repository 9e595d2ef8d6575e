package soil_test

import (
	"math"
	"testing"

	"rundown/sim/soil"
)

// The limits of clay worked out by hand: pF 2 + 0.75·√(0.48/0.5) = 2.7348, which
// is 543 cm of water or 53.27 kPa; on the line through −33 kPa at 0.36 and −1,500
// at 0.22, whose slope is 7.750, that is 0.9401 of field capacity, 1.6 times it
// 0.8848, half of it 1.0280; twice as dry a field 2^(−1/7.750) = 0.9144 of these.
func TestLimitsOfClay(t *testing.T) {
	s := soilNamed(t, library(t), "clay")
	for _, c := range []struct {
		site                         float64
		drill, cultivation, spraying float64
	}{{1, 0.8848, 0.9401, 1.0280}, {2, 0.8091, 0.8597, 0.9401}} {
		got := s.Limits(c.site)
		for _, x := range [][2]float64{{got.Drilling, c.drill}, {got.Cultivation, c.cultivation}, {got.Spraying, c.spraying}} {
			if math.Abs(x[0]-x[1]) > 2e-4 {
				t.Errorf("field's factor %g: %.4f of field capacity, by hand %.4f", c.site, x[0], x[1])
			}
		}
	}
}

// On every soil, and whatever the field's own factor, ground that carries a drill
// carries a cultivation, and that a sprayer; of two soils the one with more clay
// asks for a drier top.
func TestLimitsKeepTheirOrder(t *testing.T) {
	l := library(t)
	for _, name := range l.Names("soils") {
		for _, site := range []float64{0.3, 1, 3} {
			if x := soilNamed(t, l, name).Limits(site); !(x.Drilling < x.Cultivation && x.Cultivation < x.Spraying) {
				t.Errorf("%s, field's factor %g: %+v", name, site, x)
			}
		}
	}
	order := []string{"sand", "loamy-sand", "sandy-loam", "loam", "clay-loam", "silty-clay", "clay"}
	for i := 1; i < len(order); i++ {
		a, b := soilNamed(t, l, order[i-1]).Limits(1), soilNamed(t, l, order[i]).Limits(1)
		if b.Drilling >= a.Drilling {
			t.Errorf("%s carries a drill below %.3f of field capacity, the heavier %s below %.3f", order[i-1], a.Drilling, order[i], b.Drilling)
		}
	}
}

// A dry subsoil bears: by workable_dry_subsoil for one that lacks all its water,
// and by nothing when it is at field capacity or above.
func TestDrySubsoilBears(t *testing.T) {
	s := soilNamed(t, library(t), "clay")
	for rel, want := range map[float64]float64{1.1: 0, 1: 0, 0.7: 0.15} {
		st := soil.State{LowerRel: rel}
		if got := s.Bears(&st, 0.5); math.Abs(got-want) > 1e-12 {
			t.Errorf("subsoil at %g of field capacity bears %g, want %g", rel, got, want)
		}
	}
}
