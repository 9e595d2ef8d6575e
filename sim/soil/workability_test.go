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
	top, lower float64 // mean of 1–16 March, share of field capacity
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
			if day >= 32 && drilled == 365 && s.Workable(&st, d.RainMM[i], s.Limits(1).Drilling+s.Bears(&st, s.Params().DrySubsoil)) {
				drilled = float64(day)
			}
			if day >= 60 && day <= 75 {
				r.top += st.TopRel / (16 * years)
				r.lower += st.LowerRel / (16 * years)
			}
		}
		first = append(first, drilled)
	}
	sort.Float64s(first)
	r.firstDrill = first[years/2]
	return r
}

// When land can first be drilled in spring, in the eastern climate (common
// practice, no source): bare clay around mid to late March in the median year,
// light land two to four weeks earlier.
func TestFirstDrillingInSpring(t *testing.T) {
	l := library(t)
	c := climateNamed(t, l, "east-lowland")
	g := weather.NewGenerator(c)
	first := func(name string) float64 { return springs(soilNamed(t, l, name), g, c.ET0Factor, 0).firstDrill }
	clay := first("clay")
	if clay < 72 || clay > 88 { // 13 to 29 March
		t.Errorf("bare clay first carries a drill on day %g of the year, want mid to late March", clay)
	}
	for _, name := range []string{"sandy-loam", "loamy-sand"} {
		if lead := clay - first(name); lead < 14 || lead > 28 {
			t.Errorf("%s is drilled %g days before clay, want 14 to 28", name, lead)
		}
	}
	order := []string{"loamy-sand", "sandy-loam", "loam", "clay-loam", "clay"}
	for i := 1; i < len(order); i++ {
		if a, b := first(order[i-1]), first(order[i]); a > b {
			t.Errorf("%s is first drilled on day %g, the heavier %s on day %g", order[i-1], a, order[i], b)
		}
	}
}

// A cover delays drilling on clay, the more the later it is destroyed; while it
// stands the top is wetter and the subsoil drier than under bare ground (common
// practice, no source). It comes out of the balance; nothing is typed in.
func TestCoverKeepsClayWetOnTopAndDriesItBelow(t *testing.T) {
	l := library(t)
	c := climateNamed(t, l, "east-lowland")
	g := weather.NewGenerator(c)
	clay := soilNamed(t, l, "clay")
	bare := springs(clay, g, c.ET0Factor, 0)
	before := bare.firstDrill
	for _, killed := range []int{25, 60, 77} { // 25 January, 1 and 18 March
		r := springs(clay, g, c.ET0Factor, killed)
		t.Logf("destroyed on day %d: drilled %g days later, top %+.3f, lower %+.4f of field capacity", killed, r.firstDrill-bare.firstDrill, r.top-bare.top, r.lower-bare.lower)
		if r.firstDrill <= before {
			t.Errorf("destroyed on day %d, drilled on day %g; destroyed earlier or bare, on day %g", killed, r.firstDrill, before)
		}
		before = r.firstDrill
		if r.top <= bare.top {
			t.Errorf("destroyed on day %d: top at %.3f of field capacity in early March, bare %.3f", killed, r.top, bare.top)
		}
	}
	if r := springs(clay, g, c.ET0Factor, 77); r.lower >= bare.lower {
		t.Errorf("under a standing cover the subsoil is at %.4f of field capacity in early March, bare %.4f", r.lower, bare.lower)
	}
}
