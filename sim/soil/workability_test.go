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

// When ground can first be drilled in spring, in the eastern climate (common
// practice, no source): bare clay between 5 March and 5 April in the median year
// (the row of testdata/published/work.csv), light land at least two weeks earlier,
// and never the heavier before the lighter. Light land carries a drill through most
// of the winter, so that it leads by weeks more than the four at which farmers stop
// counting: they wait for a warm seedbed and long days, which the ground does not
// know (a bound of 5 °C on the day of drilling leaves 36 days of lead for 36).
func TestFirstDrillingInSpring(t *testing.T) {
	l := library(t)
	c := climateNamed(t, l, "east-lowland")
	g := weather.NewGenerator(c)
	first := map[string]float64{}
	order := []string{"sand", "loamy-sand", "sandy-loam", "loam", "clay-loam", "clay"}
	for i, name := range order {
		first[name] = springs(soilNamed(t, l, name), g, c.ET0Factor, 0).firstDrill
		t.Logf("%s: day %g", name, first[name])
		if i > 0 && first[order[i-1]] > first[name] {
			t.Errorf("%s is first drilled on day %g, the heavier %s on day %g", order[i-1], first[order[i-1]], name, first[name])
		}
	}
	if first["clay"] < 64 || first["clay"] > 95 {
		t.Errorf("bare clay first carries a drill on day %g of the year, want 5 March to 5 April", first["clay"])
	}
	for _, name := range []string{"sandy-loam", "loamy-sand"} {
		if lead := first["clay"] - first[name]; lead < 14 {
			t.Errorf("%s is drilled %g days before clay, want at least 14", name, lead)
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
		t.Logf("destroyed on day %d: drilled %g days later, top %+.3f, lower %+.4f of field capacity",
			killed, r.firstDrill-bare.firstDrill, r.top-bare.top, r.lower-bare.lower)
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
