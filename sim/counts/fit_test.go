package counts

import (
	"math"
	"math/rand/v2"
	"testing"

	"rundown/sim/random"
)

func ones(freq ...int) []Quadrat {
	var q []Quadrat
	for n, f := range freq {
		for range f {
			q = append(q, Quadrat{1, n})
		}
	}
	return q
}

// Accidents of 414 machinists, 0 to 8: 296 74 26 8 4 4 1 0 1 (frequency table
// of VGAM::machinists, after Greenwood & Yule 1920; physics dossier): mean
// .483092, theta .474279, −2 log L 764.0568 by R 4.2.2, MASS::theta.ml.
func TestMachinists(t *testing.T) {
	f := Estimate(ones(296, 74, 26, 8, 4, 4, 1, 0, 1), 0.9)
	if math.Abs(f.MeanPerM2.Value-0.483092) > 1e-6 || math.Abs(f.K.Value-0.474279) > 2e-5 {
		t.Errorf("mean %.6f, k %.6f; expected 0.483092, 0.474279", f.MeanPerM2.Value, f.K.Value)
	}
	if l := 2 * logLik(ones(296, 74, 26, 8, 4, 4, 1, 0, 1), f.MeanPerM2.Value, f.K.Value); math.Abs(l+764.0568) > 1e-3 {
		t.Errorf("2 log L is %.4f, expected −764.0568", l)
	}
	if math.Abs(f.VarToMean-1.010609/0.483092) > 1e-4 {
		t.Errorf("variance to mean %.4f, expected %.4f", f.VarToMean, 1.010609/0.483092)
	}
}

// Negative binomial probabilities, size 0.5, mean 3, counts 0 to 5 (R 4.2.2
// dnbinom; physics dossier, §8.1).
func TestLogProb(t *testing.T) {
	for n, want := range []float64{.3779645, .1619848, .1041331, .0743808, .0557856, .0430346} {
		if got := math.Exp(LogProb(n, 3, 0.5)); math.Abs(got-want) > 1e-7 {
			t.Errorf("P(%d) = %.7f, expected %.7f", n, got, want)
		}
	}
}

// No plants in twenty 1 m² quadrats: with even counts the rule of three, 3/n at
// 95 % (Hanley & Lippman-Hand 1983, JAMA 249:1743, from memory: exactly
// −ln 0.05 = 2.996); clumping widens it.
func TestNothingFound(t *testing.T) {
	if got := noneUpper(20, 1, 1e9, 0.95); math.Abs(got-2.9957/20) > 1e-4 {
		t.Errorf("upper limit %.5f, expected %.5f", got, 2.9957/20)
	}
	f := Estimate(ones(20), 0.95)
	if f.MeanPerM2.Value != 0 || f.MeanPerM2.High <= 3.0/20 {
		t.Errorf("clumped: %.4f, expected more than 0.15", f.MeanPerM2.High)
	}
}

// The interval of the mean, nominal 90 %, covers 87–93 %: 600 fields of 20
// quadrats, k 0.6, mean 4 (1,500 gave 0.899). With that many the sampling error
// of a true 90 % is 1.2 %, so the bar is a false alarm about once in 70 seeds.
func TestCoverage(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	r := rand.New(rand.NewPCG(5, 5))
	const fields, k, mean = 600, 0.6, 4.0
	in := 0
	for range fields {
		var q []Quadrat
		for range 20 {
			q = append(q, Quadrat{1, int(random.NegativeBinomial(r.Float64(), mean, k))})
		}
		if f := Estimate(q, 0.9); f.MeanPerM2.Low <= mean && mean <= f.MeanPerM2.High {
			in++
		}
	}
	if c := float64(in) / fields; c < 0.87 || c > 0.93 {
		t.Errorf("%.3f covered, expected 0.87 to 0.93", c)
	} else {
		t.Logf("%.3f covered", c)
	}
}

// Precision follows the negative-binomial variance: with the number Needed for
// a standard error of 20 %, the means of simulated fields spread by 20 % (±1.5).
func TestNeeded(t *testing.T) {
	f := Fit{MeanPerM2: Interval{Value: 4}, K: Interval{Value: 0.6}, typical: 0.25}
	n := f.Needed(0.2)
	r := rand.New(rand.NewPCG(6, 6))
	var s, sq float64
	const fields = 3000
	for range fields {
		var sum float64
		for range n {
			sum += float64(random.NegativeBinomial(r.Float64(), 1, 0.6))
		}
		m := sum / float64(n)
		s += m / fields
		sq += m * m / fields
	}
	if cv := math.Sqrt(sq-s*s) / s; math.Abs(cv-0.2) > 0.015 {
		t.Errorf("%d quadrats give a standard error of %.3f of the mean, expected 0.20", n, cv)
	}
}

// A side with a third of the plants is found cleaner; two like sides are not told apart.
func TestCompare(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	draw := func(n int, mean float64) (q []Quadrat) {
		for range n {
			q = append(q, Quadrat{0.25, int(random.NegativeBinomial(r.Float64(), mean*0.25, 0.8))})
		}
		return q
	}
	if c := Compare(draw(80, 10), draw(80, 30), 0.9); c.Cleaner < 0.99 || c.MoreNeeded != 0 {
		t.Errorf("a third of the plants: %.3f sure, %d more quadrats", c.Cleaner, c.MoreNeeded)
	}
	even := 0
	for range 400 {
		if c := Compare(draw(20, 15), draw(20, 15), 0.9); c.Low <= 1 && 1 <= c.High {
			even++
		}
	}
	if c := float64(even) / 400; c < 0.84 || c > 0.95 { // 90 % nominal, 400 trials: ±4 standard errors
		t.Errorf("like sides: the interval holds 1 in %.3f of trials, expected about 0.90", c)
	}
}
