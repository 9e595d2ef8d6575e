package soil_test

import (
	"testing"

	"rundown/sim/soil"
	"rundown/sim/weather"
)

func TestX(t *testing.T) {
	l := library(t)
	c := climateNamed(t, l, "east-lowland")
	g := weather.NewGenerator(c)
	p := soilNamed(t, l, "clay").Params()
	for _, km := range []float64{1, 1.1} {
		for _, cp := range []float64{0.02, .05, .1} {
			for _, th := range []float64{.75, .78, .81, .84} {
				p.EvaporationMax, p.CapillaryRise, p.WorkableDrill = km, cp, th
				s := soil.New(p)
				b := springs(s, g, c.ET0Factor, 0)
				t.Logf("km %v cap %v th %v bare %v top %.3f", km, cp, th, b.firstDrill, b.top)
				for _, k := range []int{25, 60, 77} {
					r := springs(s, g, c.ET0Factor, k)
					t.Logf("    %d: %+v top %+.3f lower %+.4f march %+.4f", k, r.firstDrill-b.firstDrill, r.top, r.lower-b.lower, r.lowerMarch-b.lowerMarch)
				}
			}
		}
	}
}
