package weather

import (
	"math"
	"testing"

	"rundown/params/date"
)

// spells counts transitions and runs of wet days.
type spells struct {
	n       [2][2]float64 // transitions, from then to; 1 is wet
	days    [2]float64
	runs    [2]float64
	longest [2]int
}

func countSpells(rain []float64, wet func(mm float64) bool) (s spells) {
	run, before := 0, -1
	for _, mm := range rain {
		now := 0
		if wet(mm) {
			now = 1
		}
		s.days[now]++
		if before >= 0 {
			s.n[before][now]++
		}
		if now != before {
			s.runs[now]++
			run = 0
		}
		run++
		s.longest[now] = max(s.longest[now], run)
		before = now
	}
	return s
}

func (s *spells) meanRun(state int) float64 { return s.days[state] / s.runs[state] }

// The shipped records against statistics computed with R 4.2.2 from the same
// package; means, sd and gamma shape of amounts above zero besides.
func TestRecordStatisticsAgainstR(t *testing.T) {
	anyRain := func(mm float64) bool { return mm > 0 }
	least1 := func(mm float64) bool { return mm >= 1 }
	for _, c := range []struct {
		file             string
		wet              func(float64) bool
		share, p01, p11  float64
		wetRun, dryRun   float64
		longWet, longDry int // 0: not published
	}{
		{"seattle.csv", anyRain, .4264, .2437, .6726, 3.054, 4.088, 19, 48},
		{"seattle.csv", least1, .3463, .2086, .6067, 2.543, 4.775, 15, 81},
		{"new-york.csv", anyRain, .3217, .2674, .4350, 1.767, 3.740, 10, 18},
		{"new-york.csv", least1, .2478, .2084, .3657, 0, 0, 0, 0},
	} {
		s := countSpells(readRecord(t, c.file).RainMM, c.wet)
		near(t, "wet share", s.days[1]/(s.days[0]+s.days[1]), c.share, 5.01e-5)
		near(t, "p01", s.n[0][1]/(s.n[0][0]+s.n[0][1]), c.p01, 5.01e-5)
		near(t, "p11", s.n[1][1]/(s.n[1][0]+s.n[1][1]), c.p11, 5.01e-5)
		if c.longWet == 0 {
			continue
		}
		near(t, "mean wet spell", s.meanRun(1), c.wetRun, 5.01e-4)
		near(t, "mean dry spell", s.meanRun(0), c.dryRun, 5.01e-4)
		if s.longest != [2]int{c.longDry, c.longWet} {
			t.Errorf("%s: longest spells dry, wet %v, want %d, %d", c.file, s.longest, c.longDry, c.longWet)
		}
	}
	for _, c := range []struct {
		file               string
		n                  int
		mean, sd, shape, s float64
	}{
		{"seattle.csv", 623, 7.10433, 8.70349, .798003, 8.902639},
		{"new-york.csv", 470, 8.89064, 13.27111, .660192, 13.46674},
	} {
		var x []float64
		logs := 0.0
		for _, mm := range readRecord(t, c.file).RainMM {
			if mm > 0 {
				x = append(x, mm)
				logs += math.Log(mm)
			}
		}
		if len(x) != c.n {
			t.Errorf("%s: %d days with rain, want %d", c.file, len(x), c.n)
		}
		near(t, "mean amount", mean(x), c.mean, 5.01e-6)
		near(t, "sd of amounts", sampleSD(x), c.sd, 5.01e-6)
		near(t, "scale of the gamma", mean(x)/c.shape, c.s, 1e-4)
		// At the maximum of the likelihood ln k − ψ(k) = ln mean − mean ln.
		near(t, "gamma shape", math.Log(c.shape)-digamma(c.shape), math.Log(mean(x))-logs/float64(len(x)), 1e-5)
	}
}

// digamma is the slope of ln Γ, by a central difference.
func digamma(x float64) float64 {
	const h = 1e-5
	a, _ := math.Lgamma(x + h)
	b, _ := math.Lgamma(x - h)
	return (a - b) / (2 * h)
}

// Tmax and Tmin of Seattle on two annual harmonics of 365.25 days: coefficients,
// residual sd and the lag-0 and lag-1 correlations of the residuals, by R 4.2.2.
func TestSeattleHarmonicsAgainstR(t *testing.T) {
	r := readRecord(t, "seattle.csv")
	high, sdHigh, wantHigh := harmonics(r, r.TmaxC), 3.5454, [5]float64{16.4391, -8.5259, -2.8224, -.1278, 1.4728}
	low, sdLow, wantLow := harmonics(r, r.TminC), 2.6424, [5]float64{8.2348, -5.4090, -2.5061, -.0944, .9620}
	for k := range 5 {
		near(t, "Tmax coefficient", high.coefficient[k], wantHigh[k], 5.01e-5)
		near(t, "Tmin coefficient", low.coefficient[k], wantLow[k], 5.01e-5)
	}
	near(t, "Tmax residual sd", high.sd(), sdHigh, 5.01e-5)
	near(t, "Tmin residual sd", low.sd(), sdLow, 5.01e-5)
	near(t, "lag 0", correlation(high.residual, low.residual), .5338, 5.01e-5)
	n := len(high.residual)
	for i, x := range [][]float64{high.residual, low.residual} {
		for j, y := range [][]float64{high.residual, low.residual} {
			near(t, "lag 1", correlation(x[1:], y[:n-1]), [2][2]float64{{.6698, .3932}, {.5381, .7221}}[i][j], 5.01e-5)
		}
	}
}

type fitted struct {
	coefficient [5]float64
	residual    []float64
}

// sd is that of R's sd(), about a mean of zero.
func (f *fitted) sd() float64 {
	ss := 0.0
	for _, e := range f.residual {
		ss += e * e
	}
	return math.Sqrt(ss / float64(len(f.residual)-1))
}

// harmonics solves the normal equations by elimination.
func harmonics(r *Record, y []float64) (f fitted) {
	row := func(i int) [5]float64 {
		w := 2 * math.Pi * float64((r.Start + date.Day(i)).YearDay()) / 365.25
		return [5]float64{1, math.Cos(w), math.Sin(w), math.Cos(2 * w), math.Sin(2 * w)}
	}
	var a [5][6]float64
	for i := range y {
		x := row(i)
		for j := range 5 {
			for k := range 5 {
				a[j][k] += x[j] * x[k]
			}
			a[j][5] += x[j] * y[i]
		}
	}
	for p := range 5 {
		for j := range 5 {
			if j == p {
				continue
			}
			q := a[j][p] / a[p][p]
			for k := range 6 {
				a[j][k] -= q * a[p][k]
			}
		}
	}
	for p := range 5 {
		f.coefficient[p] = a[p][5] / a[p][p]
	}
	for i := range y {
		e := y[i]
		for k, x := range row(i) {
			e -= f.coefficient[k] * x
		}
		f.residual = append(f.residual, e)
	}
	return f
}

func correlation(x, y []float64) float64 {
	mx, my := mean(x), mean(y)
	var xy, xx, yy float64
	for k := range x {
		xy += (x[k] - mx) * (y[k] - my)
		xx += (x[k] - mx) * (x[k] - mx)
		yy += (y[k] - my) * (y[k] - my)
	}
	return xy / math.Sqrt(xx*yy)
}
