package seedbank

import (
	"math"
	"testing"
)

// Seed on the surface sinks at its rate, in steps of any length: after 90 days exp(−90 rate) of what lives lies there, dormant and
// ready alike. Nothing dies or sprouts.
func TestSeedSinks(t *testing.T) {
	r := typical()
	for _, days := range []float64{1, 9, 30} {
		b := new(Bank)
		b.Reset()
		b.Lay(r, Fresh, Laid, 1000, 0.4)
		for range int(90 / days) {
			s := Step{Rates: r, Since: &Exposure{Days: days}, Quick: Quick{Autumn: true}}
			b.CloseQuick(&s)
			b.CloseSurface(&s)
		}
		q := &b.Lots[Layers].At[Surface]
		want := math.Exp(-90 * r.P.SelfBurial)
		for _, x := range []struct {
			name        string
			here, whole float64
		}{{"dormant", q[Dormant], 0.6}, {"autumn-ready", q[AutumnReady], 0.4 * r.P.AutumnShare}, {"spring-ready", q[SpringReady], 0.4 * (1 - r.P.AutumnShare)}} {
			if math.Abs(x.here/x.whole-want) > 1e-9 {
				t.Errorf("steps of %g days: %.6f of the %s seed lies on the surface after 90 days, expected %.6f", days, x.here/x.whole, x.name, want)
			}
		}
	}
}

// Under full shelter the surface is a seedbed: seed germinates as in 0–5 cm and comes up as seed that a drill has
// placed; without shelter it is as it was; in between by the share of the ground.
func TestShelterIsAShareOfTheGround(t *testing.T) {
	p := typical().P
	p.GerminationSurface, p.EmergenceSurface = 0.35, 0.3
	r := new(Rates)
	r.Set(&p)
	for _, x := range [][3]float64{{0, 0.35, 0.3}, {1, 1, 0.85}, {0.5, 0.675, 0.575}} {
		if g, q := r.Germination(Surface, x[0]), r.Emergence(Surface, x[0]); math.Abs(g-x[1])+math.Abs(q-x[2]) > 1e-12 {
			t.Errorf("shelter %g: germination %.3f and emergence %.3f, expected %.3f and %.3f", x[0], g, q, x[1], x[2])
		}
	}
	if g, q := r.Germination(Depth0to5, 1), r.Emergence(Depth0to5, 1); g != p.Germination0to5 || q != p.Emergence0to5 {
		t.Errorf("shelter changes seed in 0–5 cm: %g, %g", g, q)
	}
	if k := r.Skin(0.5, 0.5); math.Abs(k-0.7) > 1e-12 { // 0.8 of the half that has dried, on half of the ground
		t.Errorf("a skin half dry under half of shelter counts as %.3f, expected 0.700", k)
	}
	if h := r.SurfaceDeath(true, 1, 0.5); math.Abs(h-p.SurfaceDeath*(1-0.5*(1-p.SurfaceDeathStraw))) > 1e-15 {
		t.Errorf("death under half of shelter %.5f a day", h)
	}
}
