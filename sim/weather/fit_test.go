package weather

import (
	"math"
	"testing"

	"rundown/params/date"
	"rundown/sim/random"
)

// Weather fitted to a record has its spells and its spread: each statistic of
// the record must lie within 3.5 standard deviations of the same statistic of 300
// generated records of the same length, which is its sampling error. With 10
// statistics and two places a generator that is right fails once in 100 (normal
// tails; the observed record is one fixed draw, so the test cannot flicker).
func TestFittedWeatherResemblesTheRecord(t *testing.T) {
	for _, place := range []struct {
		file     string
		latitude float64
	}{{"seattle.csv", 47.6}, {"new-york.csv", 40.7}} {
		r := readRecord(t, place.file)
		c, err := Fit(r, place.latitude)
		if err != nil {
			t.Fatal(err)
		}
		g := NewGenerator(c)
		d := NewDays(r.Start, len(r.RainMM))
		observed := resemblance(t, r)
		var sum, square [len(names)]float64
		const runs = 300
		for k := range runs {
			g.Fill(d, random.Root(7, random.Weather, uint32(k)))
			for i, x := range resemblance(t, d.record()) {
				sum[i] += x / runs
				square[i] += x * x / runs
			}
		}
		for i, name := range names {
			sd := math.Sqrt(square[i] - sum[i]*sum[i])
			z := (observed[i] - sum[i]) / sd
			t.Logf("%s: %s observed %.3f, generated %.3f ± %.3f (z %.1f)", place.file, name, observed[i], sum[i], sd, z)
			if !(math.Abs(z) < 3.5) {
				t.Errorf("%s: %s is %.3f in the record, %.3f ± %.3f generated", place.file, name, observed[i], sum[i], sd)
			}
		}
	}
}

var names = [...]string{"mean wet spell, d", "mean dry spell, d", "share of wet days", "rain, mm/year",
	"sd of a wet day's rain, mm", "sd of monthly rain, mm", "sd of Tmax by day, °C", "sd of Tmin by day, °C",
	"sd of monthly Tmax, °C", "sd of monthly Tmin, °C"}

// resemblance lists the statistics; sds of months are root mean squares over
// the twelve.
func resemblance(t *testing.T, r *Record) (x [len(names)]float64) {
	t.Helper()
	c, err := Fit(r, 45)
	if err != nil {
		t.Fatal(err)
	}
	s := countSpells(r.RainMM, func(mm float64) bool { return mm >= wetFromMM })
	var wet []float64
	for _, mm := range r.RainMM {
		if mm >= wetFromMM {
			wet = append(wet, mm)
		}
	}
	rms := func(x [12]float64) float64 {
		s := 0.0
		for _, v := range x {
			s += v * v / 12
		}
		return math.Sqrt(s)
	}
	return [len(names)]float64{s.meanRun(1), s.meanRun(0), s.days[1] / (s.days[0] + s.days[1]), 12 * mean(c.RainMM[:]),
		sampleSD(wet), rms(c.RainYearSD), rms(c.TmaxDaySD), rms(c.TminDaySD), rms(c.TmaxYearSD), rms(c.TminYearSD)}
}

// Fit on a record whose normals are known by construction: a constant for every
// month, and a warm and a cold year.
func TestFitReadsKnownNormals(t *testing.T) {
	r := &Record{Start: date.Of(2001, 1, 1)}
	for i := range 730 {
		step := 1.0
		if i >= 365 {
			step = -1
		}
		_, _, day := (r.Start + date.Day(i)).Date()
		rain := 0.0
		if day <= 5 { // five wet days running in every month
			rain = 4
		}
		r.TmaxC = append(r.TmaxC, 15+step)
		r.TminC = append(r.TminC, 5+2*step)
		r.RainMM = append(r.RainMM, rain)
	}
	c, err := Fit(r, 50)
	if err != nil {
		t.Fatal(err)
	}
	for m := range 12 {
		near(t, "Tmax", c.TmaxC[m], 15, 1e-9)
		near(t, "Tmin", c.TminC[m], 5, 1e-9)
		near(t, "sd of Tmax between two years 2 °C apart", c.TmaxYearSD[m], math.Sqrt2, 1e-9)
		near(t, "sd of Tmin between two years 4 °C apart", c.TminYearSD[m], 2*math.Sqrt2, 1e-9)
		near(t, "rain", c.RainMM[m], 20, 1e-9)
		near(t, "sd of rain", c.RainYearSD[m], 0, 1e-9)
		near(t, "share of wet days", c.WetDays[m]/monthLength(m), 5/(365.0/12), 0.015)
		near(t, "wet shift", c.WetShiftC[m], 0, 1e-9)
	}
	// Runs of 5 in about 30.4: p11 0.8, p01 1/25.4.
	near(t, "persistence", c.Persistence[0], 0.8-1/25.4, 0.01)
}

func TestFitRefuses(t *testing.T) {
	short := &Record{Start: date.Of(2001, 3, 1), TmaxC: make([]float64, 730), TminC: make([]float64, 730), RainMM: make([]float64, 730)}
	uneven := &Record{Start: date.Of(2001, 1, 1), TmaxC: make([]float64, 730), TminC: make([]float64, 729), RainMM: make([]float64, 730)}
	crossed := &Record{Start: date.Of(2001, 1, 1), TmaxC: []float64{1}, TminC: []float64{2}, RainMM: []float64{0}}
	for name, r := range map[string]*Record{"short": short, "uneven": uneven, "crossed": crossed} {
		if _, err := Fit(r, 50); err == nil {
			t.Errorf("a %s record was fitted", name)
		}
	}
}

// A climate without rain in a month, or at all, still makes weather.
func TestDryMonths(t *testing.T) {
	r := &Record{Start: date.Of(2001, 1, 1), TmaxC: make([]float64, 730), TminC: make([]float64, 730), RainMM: make([]float64, 730)}
	c, err := Fit(r, 50)
	if err != nil {
		t.Fatal(err)
	}
	total := 0.0
	for _, mm := range longRun(c, 100).RainMM {
		total += mm
	}
	// A floor of one wet day in a thousand is kept: about 0.4 mm a year.
	if !(total/100 < 2) {
		t.Errorf("a climate without rain gave %g mm a year", total/100)
	}
}
