package weather

import (
	"math"
	"testing"

	"rundown/params/date"
	"rundown/sim/random"
)

// longRun generates whole years with a fixed seed.
func longRun(c Climate, years int) *Days {
	start := date.Of(1001, 1, 1)
	d := NewDays(start, int(date.Of(1001+years, 1, 1)-start))
	NewGenerator(c).Fill(d, random.Root(20, random.Weather, 0))
	return d
}

func (d *Days) record() *Record { return &Record{d.Start, d.TmaxC, d.TminC, d.RainMM} }

// What the climate asks for comes back from 2,000 generated years, read by the
// same Fit that reads records (Fit itself is tested below on a record whose
// normals are known). Limits are five standard errors of 2,000 years, plus the
// stated allowances; with 120 checks a sound generator fails once in 10,000 seeds.
func TestGeneratorGivesWhatIsAsked(t *testing.T) {
	const years = 2000
	const z = 5
	c := cambridge()
	got, err := Fit(longRun(c, years).record(), c.LatitudeDeg)
	if err != nil {
		t.Fatal(err)
	}
	root := math.Sqrt(years)
	for m := range 12 {
		n := monthLength(m)
		r := newRainMonth(&c, m)
		near(t, "mean Tmax", got.TmaxC[m], c.TmaxC[m], z*c.TmaxYearSD[m]/root)
		near(t, "mean Tmin", got.TminC[m], c.TminC[m], z*c.TminYearSD[m]/root)
		near(t, "mean rain", got.RainMM[m], c.RainMM[m], z*1.15*c.RainYearSD[m]/root)
		near(t, "wet days", got.WetDays[m], c.WetDays[m], z*math.Sqrt(r.wetDayVariance(n))/root)
		// A sample sd has a relative error of 1/√(2n); rain totals are skewed,
		// which widens it (kurtosis of 5.5 at most: √((5.5 − 1)/2) = 1.5 times as much).
		near(t, "sd of Tmax between years", got.TmaxYearSD[m]/c.TmaxYearSD[m], 1, z/math.Sqrt(2*years))
		near(t, "sd of Tmin between years", got.TminYearSD[m]/c.TminYearSD[m], 1, z/math.Sqrt(2*years))
		low := 1 - z*1.5/math.Sqrt(2*years)
		if ratio := got.RainYearSD[m] / c.RainYearSD[m]; ratio < low || ratio > 1.15+(1-low) {
			t.Errorf("month %d: sd of rain between years is %.3f of that asked, want 1 to 1.15 (±%.3f)", m+1, ratio, 1-low)
		}
		// Days of a month are correlated: their sd rests on about a third as many.
		near(t, "sd of Tmax by day", got.TmaxDaySD[m]/c.TmaxDaySD[m], 1, z/math.Sqrt(2*n/3*years)+0.01)
		near(t, "sd of Tmin by day", got.TminDaySD[m]/c.TminDaySD[m], 1, z/math.Sqrt(2*n/3*years)+0.01)
	}
}

// Transitions of wet and dry days, whole years pooled: the share that the
// monthly fractions and the persistence imply, within five standard errors.
func TestTransitionsComeBack(t *testing.T) {
	c := cambridge()
	d := longRun(c, 2000)
	var n, wet [2][12]float64 // by state of the day before
	for i := 1; i < len(d.RainMM); i++ {
		_, m, _ := (d.Start + date.Day(i)).Date()
		before := 0
		if d.RainMM[i-1] > 0 {
			before = 1
		}
		n[before][m-1]++
		if d.RainMM[i] > 0 {
			wet[before][m-1]++
		}
	}
	for m := range 12 {
		ch := gengChain(c.WetDays[m]/monthLength(m), c.Persistence[m])
		for before, p := range [2]float64{ch.wetAfterDry, ch.wetAfterWet} {
			// Within a month the fraction moves with its course; the mean over the
			// month is kept, the mean over its wet days only to 0.003.
			near(t, "P(wet)", wet[before][m]/n[before][m], p, 5*math.Sqrt(p*(1-p)/n[before][m])+0.003)
		}
	}
}

// A wet day has 1 mm or more, Tmax stands above Tmin, and the derived columns
// are what they say.
func TestEveryDayHoldsTogether(t *testing.T) {
	c := cambridge()
	d := longRun(c, 30)
	for i := range d.RainMM {
		if d.RainMM[i] != 0 && d.RainMM[i] < wetFromMM {
			t.Fatalf("day %d has %g mm", i, d.RainMM[i])
		}
		if d.TmaxC[i]-d.TminC[i] < leastRangeC-1e-9 {
			t.Fatalf("day %d has Tmax %g, Tmin %g", i, d.TmaxC[i], d.TminC[i])
		}
		day := d.Start + date.Day(i)
		j := day.YearDay()
		if date.Leap(day.Year()) && j > leapDay {
			j--
		}
		near(t, "mean", d.MeanC[i], (d.TmaxC[i]+d.TminC[i])/2, 1e-9)
		near(t, "ET0", d.ET0MM[i], HargreavesMM(ExtraterrestrialMJ(c.LatitudeDeg, j), d.TmaxC[i], d.TminC[i]), 1e-9)
	}
}

// The residuals have Richardson's lag-0 and lag-1 correlations when nothing else
// is mixed in: one month all year, no anomalies, no wet shift. Five standard
// errors of the correlation of about 240,000 independent days, doubled.
func TestResidualCorrelations(t *testing.T) {
	var c Climate
	for m := range 12 {
		c.TmaxC[m], c.TminC[m], c.TmaxDaySD[m], c.TminDaySD[m] = 40, 0, 3, 3
		c.RainMM[m], c.WetDays[m], c.Persistence[m] = 50, 10, 0.25
	}
	d := longRun(c, 2000)
	series := [2][]float64{d.TmaxC, d.TminC}
	m0, m1 := richardson()
	corr := func(i, j, lag int) float64 {
		return correlation(series[i][lag:], series[j][:len(d.TmaxC)-lag])
	}
	for i := range 2 {
		for j := range 2 {
			near(t, "lag 0", corr(i, j, 0), m0[i][j], 0.01)
			near(t, "lag 1", corr(i, j, 1), m1[i][j], 0.01)
		}
	}
}

// The smooth course of the year keeps the mean of every month.
func TestCourseKeepsMonthlyMeans(t *testing.T) {
	for _, monthly := range [][12]float64{cambridge().TmaxC, cambridge().RainMM, cambridge().WetDays} {
		year := course(monthly)
		for m, got := range monthMeans(&year) {
			near(t, "mean of the month", got, monthly[m], 1e-9)
		}
	}
}
