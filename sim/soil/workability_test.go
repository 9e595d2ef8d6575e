package soil_test

import (
	"math"
	"sort"
	"testing"

	"rundown/params/date"
	"rundown/sim/random"
	"rundown/sim/soil"
	"rundown/sim/weather"
)

// spring is what became of one soil under one treatment in many years.
type spring struct {
	firstDrill float64 // median day of the year, from 1 February, on which the ground first carries a drill
	top, lower float64 // mean of February and March, share of field capacity
	lowerMarch float64 // mean of 1–16 March
}

// springs runs 200 years from July, with fixed seeds. killed is the day of the
// year on which a cover standing since the autumn (70 % of the ground, Kcb 0.77)
// is destroyed; 0 leaves the ground bare. Its residue halves in 45 days.
func springs(s *soil.Soil, g *weather.Generator, et0 float64, killed int) (r spring) {
	const years, sown = 200, 240
	d := weather.NewDays(date.Of(2001, 1, 1), 730)
	var first []float64
	for y := range years {
		g.Fill(d, random.Root(11, random.Weather, uint32(y)))
		st := s.Start()
		drilled := 365.0
		for i := 181; i < 365+151; i++ {
			day := i - 364 // of the second year
			var on soil.Ground
			switch {
			case killed > 0 && day < killed:
				on.Living = 0.7 * min(1, max(0, float64(i-sown)/60))
				on.Kcb = 1.1 * on.Living
			case killed > 0:
				on.Residue = 0.7 * math.Exp2(-float64(day-killed)/45)
			}
			s.Day(&st, d.RainMM[i], d.MeanC[i], d.ET0MM[i]*et0, on)
			if day >= 32 && drilled == 365 && s.Workable(&st, d.RainMM[i], s.Params().WorkableDrill) {
				drilled = float64(day)
			}
			if day >= 32 && day <= 90 {
				r.top += st.TopRel / (59 * years)
				r.lower += st.LowerRel / (59 * years)
			}
			if day >= 60 && day <= 75 {
				r.lowerMarch += st.LowerRel / (16 * years)
			}
		}
		first = append(first, drilled)
	}
	sort.Float64s(first)
	r.firstDrill = first[years/2]
	return r
}

// When the land can first be drilled in spring, in the eastern climate: bare
// clay around mid to late March in the median year, light land two to four weeks
// earlier, a cover later the later it is destroyed, with a wetter top and a drier
// subsoil than bare ground (common practice, no source).
func TestFirstDrillingInSpring(t *testing.T) {
	l := library(t)
	c := climateNamed(t, l, "east-lowland")
	g := weather.NewGenerator(c)
	clay, light := soilNamed(t, l, "clay"), soilNamed(t, l, "sandy-loam")
	for _, n := range l.Names("soils") {
		t.Logf("%s %+v", n, springs(soilNamed(t, l, n), g, c.ET0Factor, 0))
	}
	bare, early := springs(clay, g, c.ET0Factor, 0), springs(light, g, c.ET0Factor, 0)
	t.Logf("bare clay %+v, sandy loam %+v", bare, early)
	for _, k := range []int{25, 60, 77} {
		t.Logf("%v %+v", k, springs(clay, g, c.ET0Factor, k))
	}
}
