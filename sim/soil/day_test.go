package soil

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Rain = evaporation + transpiration + drainage + runoff + change of store, and
// every state stays between half the wilting point, where evaporation ends, and
// saturation: 100,000 arbitrary days, droughts of 900 among them.
func TestMassBalance(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, p := range []Params{clay(), sandyLoam()} {
		s := New(p)
		st := s.Start()
		for i := range 50000 {
			rain := 0.0
			if i/900%3 != 0 && rng.IntN(3) == 0 { // 900 days of drought in 2,700
				rain = rng.ExpFloat64() * []float64{2, 10, 60}[rng.IntN(3)]
			}
			g := Ground{}
			if i/400%2 == 0 {
				g = Ground{Living: rng.Float64(), Kcb: 1.25 * rng.Float64(), Residue: rng.Float64()}
			}
			before := st.TopMM + st.LowerMM
			s.Day(&st, rain, 30*rng.Float64()-5, 7*rng.Float64(), g)
			after := st.TopMM + st.LowerMM
			out := st.EvaporationMM + st.TranspirationMM + st.DrainageMM + st.RunoffMM
			if math.Abs(rain-out-(after-before)) > 1e-9 {
				t.Fatalf("day %d: rain %g, out %g, change %g", i, rain, out, after-before)
			}
			if st.EvaporationMM < -1e-9 || st.TranspirationMM < 0 || st.DrainageMM < 0 || st.RunoffMM < 0 {
				t.Fatalf("day %d: a flow runs backwards: %+v", i, st)
			}
			if st.TopMM < s.topDry-1e-9 || st.TopMM > s.topSat+1e-9 || st.LowerMM < s.lowWP/2-1e-9 || st.LowerMM > s.lowSat+1e-9 {
				t.Fatalf("day %d: a store is outside its limits: %+v", i, st)
			}
		}
	}
}

// Clay holds water above field capacity for days, sand lets it go at once.
func TestDrainage(t *testing.T) {
	p := clay()
	s := New(p)
	st := s.Start()
	s.Day(&st, 10, 5, 0, Ground{})
	near(t, "left above field capacity the first day", st.TopMM-s.topFC, 7, 1e-9)
	s.Day(&st, 0, 5, 0, Ground{})
	near(t, "the second day", st.TopMM-s.topFC, 4.9, 1e-9)
	p.DrainageTop, p.DrainageLower = 1, 1
	s = New(p)
	st = s.Start()
	s.Day(&st, 10, 5, 0, Ground{})
	near(t, "left in sand", st.TopMM-s.topFC, 0, 1e-9)
}

// A canopy over moist ground transpires Kcb·ET0, 0.65 of it from the lower store;
// where that is at wilting point the top gives it all, and where both are, nothing.
func TestRootsMakeUp(t *testing.T) {
	p := clay()
	p.CapillaryRise = 0
	s := New(p)
	full := Ground{Living: 1, Kcb: 1.1}
	for _, c := range []struct {
		why       string
		low, top  float64 // store at the start, mm
		transpire float64 // mm of an ET0 of 2
		fromLow   float64
	}{
		{"both moist", s.lowFC, s.topFC, 2.2, 2.2 * (1 - p.RootsInTop)},
		{"a dry subsoil", s.lowWP, s.topFC, 2.2, 0},
		{"a dry topsoil", s.lowFC, s.topWP, 2.2 * (1 - p.RootsInTop), 2.2 * (1 - p.RootsInTop)},
		{"both dry", s.lowWP, s.topWP, 0, 0},
	} {
		st := State{TopMM: c.top, LowerMM: c.low}
		s.Day(&st, 0, 10, 2, full)
		near(t, c.why+": transpired", st.TranspirationMM, c.transpire, 1e-9)
		near(t, c.why+": of it from the lower store", c.low-st.LowerMM, c.fromLow, 1e-9)
	}
}

func TestWaterlogging(t *testing.T) {
	s := New(clay())
	st := s.Start()
	for day := 1; day <= 6; day++ {
		s.Day(&st, 60, 8, 0.5, Ground{})
		if got, want := s.Waterlogged(&st), day >= 5; got != want {
			t.Errorf("day %d next to saturated: waterlogged %v, want %v", day, got, want)
		}
	}
	if st.RunoffMM <= 0 {
		t.Error("nothing runs off a saturated soil in heavy rain")
	}
	for range 3 {
		s.Day(&st, 0, 8, 0.5, Ground{})
	}
	if s.Waterlogged(&st) {
		t.Error("still waterlogged after three dry days")
	}
}

func TestWorkable(t *testing.T) {
	s := New(clay())
	st := s.Start()
	st.TopRel = 0.8
	for _, c := range []struct {
		rain, threshold float64
		want            bool
	}{{0, 0.81, true}, {1.9, 0.81, true}, {2, 0.81, false}, {0, 0.8, false}} {
		if got := s.Workable(&st, c.rain, c.threshold); got != c.want {
			t.Errorf("top at 0.80 of field capacity, threshold %g, rain %g mm: workable %v", c.threshold, c.rain, got)
		}
	}
}

// Soil temperature against the damped sinusoid (Hillel 1982): annual mean
// 10.7 °C, amplitude 6.64 °C, minimum on day 21, diffusivity 0.5e−6 m²/s, damping
// depth 2.2403 m, computed outside this project. A lag of first order is another
// model: at 0.05 m it must come within 0.5 °C, at 0.10 m (the foot of the layer
// 5–10 cm and the head of the next) within 0.6 °C, and later and flatter downwards.
func TestTemperatureAgainstSinusoid(t *testing.T) {
	days := []int{1, 21, 110, 203, 300}
	at5 := []float64{4.6380, 4.2082, 10.3038, 17.1903, 10.2584}
	at10 := []float64{4.8241, 4.3562, 10.1712, 17.0411, 10.4097}
	air := func(day int) float64 {
		return 10.7 + 6.64*math.Sin(2*math.Pi*float64(day-21)/365-math.Pi/2)
	}
	s := New(clay())
	st := s.Start()
	got := map[int][5]float64{}
	var low, high [5]float64
	var coldest [5]int
	for day := 1; day <= 3*365; day++ {
		s.Day(&st, 0, air(day), 0, Ground{})
		for l, c := range st.TempC {
			if d := day - 730; d == 1 || d > 1 && c < low[l] {
				low[l], coldest[l] = c, d
			}
			if d := day - 730; d == 1 || d > 1 && c > high[l] {
				high[l] = c
			}
		}
		got[day-730] = st.TempC
	}
	for i, day := range days {
		c := got[day]
		near(t, "temperature at 0.05 m", (c[1]+c[2])/2, at5[i], 0.5)
		near(t, "temperature at 0.10 m", (c[2]+c[3])/2, at10[i], 0.6)
	}
	for l := 1; l < 4; l++ {
		if coldest[l] <= coldest[l-1] || high[l]-low[l] >= high[l-1]-low[l-1] {
			t.Errorf("layer %d is coldest on day %d with a range of %.2f °C, the one above on day %d with %.2f °C; want later and flatter downwards",
				l, coldest[l], high[l]-low[l], coldest[l-1], high[l-1]-low[l-1])
		}
	}
}
