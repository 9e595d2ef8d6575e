package weather

import (
	"math"
	"testing"

	"rundown/params/date"
	"rundown/sim/random"
)

// A year has the same weather whatever the horizon, and, once the state carried
// over the first New Year is forgotten, whatever the start.
func TestYearsDoNotDependOnHorizonOrStart(t *testing.T) {
	g := NewGenerator(cambridge())
	key := random.Root(3, random.Weather, 9)
	start := date.Of(2026, 1, 1)
	long, short := NewDays(start, 3653), NewDays(start, 400)
	later := NewDays(date.Of(2027, 1, 1), 365)
	g.Fill(long, key)
	g.Fill(short, key)
	g.Fill(later, key)
	for i := range short.RainMM {
		if short.RainMM[i] != long.RainMM[i] || short.TmaxC[i] != long.TmaxC[i] || short.TminC[i] != long.TminC[i] {
			t.Fatalf("day %d depends on the horizon", i)
		}
	}
	for i := 90; i < 365; i++ { // the autoregression forgets by 0.69 a day
		if later.RainMM[i] != long.RainMM[365+i] || math.Abs(later.TmaxC[i]-long.TmaxC[365+i]) > 1e-9 {
			t.Fatalf("day %d of 2027 depends on the start", i)
		}
	}
	other := NewDays(start, 365)
	g.Fill(other, random.Root(3, random.Weather, 10))
	if other.TmaxC[100] == long.TmaxC[100] {
		t.Error("another luck gave the same weather")
	}
}

// Pinned weather: these numbers are part of every result. A change here is a
// change of the draws or of their order, and must be meant.
func TestPinnedDays(t *testing.T) {
	d := NewDays(date.Of(2027, 1, 1), 730)
	NewGenerator(cambridge()).Fill(d, random.Root(1, random.Weather, 0))
	for _, p := range pinned {
		near(t, "Tmax", d.TmaxC[p.day], p.tmax, 1e-6)
		near(t, "Tmin", d.TminC[p.day], p.tmin, 1e-6)
		near(t, "rain", d.RainMM[p.day], p.rain, 1e-6)
		near(t, "ET0", d.ET0MM[p.day], p.et0, 1e-6)
	}
}

func TestFillDoesNotAllocate(t *testing.T) {
	g := NewGenerator(cambridge())
	d := NewDays(date.Of(2026, 1, 1), 800)
	key := random.Root(1, random.Weather, 0)
	if n := testing.AllocsPerRun(5, func() { g.Fill(d, key) }); n != 0 {
		t.Errorf("Fill allocates %g times", n)
	}
}
