package counts

import (
	"math"
	"math/rand/v2"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"rundown/sim/random"

	"rundown/sim/simtest"
	"rundown/sim/testfile"
)

const referenceFolder = "../../testdata/counts"

// ones are quadrats of 1 m² from a table of frequencies of 0, 1, 2, …
func ones(freq ...int) []Quadrat {
	var q []Quadrat
	for n, f := range freq {
		for range f {
			q = append(q, Quadrat{1, n})
		}
	}
	return q
}

// Published tables of counts: see testdata/counts/README.md.
var (
	machinists = ones(296, 74, 26, 8, 4, 4, 1, 0, 1)
	fir        = ones(7, 12, 13, 8, 7, 2, 0, 1)
)

// reference is reference.csv by set and quantity.
func reference(t *testing.T) map[string]map[string]float64 {
	t.Helper()
	out := map[string]map[string]float64{}
	for _, r := range testfile.Rows(t, referenceFolder+"/"+"reference.csv")[1:] {
		if out[r[0]] == nil {
			out[r[0]] = map[string]float64{}
		}
		out[r[0]][r[1]] = parse(t, r[2])
	}
	return out
}

func parse(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// sides are the two sides of the invented trial.
func sides(t *testing.T) map[string][]Quadrat {
	t.Helper()
	out := map[string][]Quadrat{}
	for _, r := range testfile.Rows(t, referenceFolder+"/"+"side-by-side.csv")[1:] {
		out[r[1]] = append(out[r[1]], Quadrat{parse(t, r[3]), int(parse(t, r[4]))})
	}
	return out
}

func mixed(t *testing.T) (q []Quadrat) {
	t.Helper()
	for _, r := range testfile.Rows(t, referenceFolder+"/"+"mixed.csv")[1:] {
		q = append(q, Quadrat{parse(t, r[1]), int(parse(t, r[0]))})
	}
	return q
}

// near compares a value with R's; the tolerance is that of R's searches.
func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 2e-5*math.Abs(want)) {
		t.Errorf("%s is %.8g, R gives %.8g", what, got, want)
	}
}

// Fits and intervals against R's (testdata/counts/reference.R).
func TestFitAgainstR(t *testing.T) {
	sets := sides(t)
	sets["mixed"], sets["machinists"] = mixed(t), machinists
	for name, want := range reference(t) {
		q, ours := sets[name]
		if !ours {
			continue
		}
		f := Estimate(q, 0.9)
		near(t, name+": mean", f.MeanPerM2.Value, want["mean"])
		near(t, name+": lower end of the mean", f.MeanPerM2.Low, want["mean_low"])
		near(t, name+": upper end of the mean", f.MeanPerM2.High, want["mean_high"])
		near(t, name+": k", f.K.Value, want["k"])
		near(t, name+": lower end of k", f.K.Low, want["k_low"])
		near(t, name+": upper end of k", f.K.High, want["k_high"])
		near(t, name+": twice the log likelihood", 2*logLik(cells(q), f.MeanPerM2.Value, f.K.Value), want["twice_log_likelihood"])
	}
}

// Tables that may be kept: mean, variance over mean and k by theta.ml of MASS.
func TestPublishedTables(t *testing.T) {
	r := reference(t)
	for name, q := range map[string][]Quadrat{"machinists": machinists, "fir": fir} {
		f, want := Estimate(q, 0.9), r[name]
		near(t, name+": mean", f.MeanPerM2.Value, want["mean_of_counts"])
		near(t, name+": variance over mean", f.VarToMean, want["variance"]/want["mean_of_counts"])
		near(t, name+": k", f.K.Value, want["theta_ml"])
	}
	if f := Estimate(fir, 0.9); !math.IsInf(f.K.High, 1) {
		t.Errorf("fir is near Poisson, but k is said to be below %v", f.K.High)
	}
}

// Sets under the GPL, which are not kept: R gives the counts as the test runs.
func TestSetsOfR(t *testing.T) {
	simtest.Stage(t, "r") // needs Rscript with MASS, lme4 and fitdistrplus (testdata/counts/reference.R)
	r, ran := reference(t), 0
	for _, name := range []string{"quine", "grouseticks", "toxocara"} {
		c := exec.Command("Rscript", "reference.R", "data", name)
		c.Dir = referenceFolder
		out, err := c.Output()
		if err != nil {
			t.Logf("%s: R does not have it: %v", name, err)
			continue
		}
		ran++
		var q []Quadrat
		for _, line := range strings.Fields(string(out)) {
			q = append(q, Quadrat{1, int(parse(t, line))})
		}
		f, want := Estimate(q, 0.9), r[name]
		near(t, name+": mean", f.MeanPerM2.Value, want["mean_of_counts"])
		near(t, name+": k", f.K.Value, want["theta_ml"])
		if high, has := want["mean_high"]; has {
			near(t, name+": upper end of the mean", f.MeanPerM2.High, high)
			near(t, name+": lower end of k", f.K.Low, want["k_low"])
		}
	}
	if ran == 0 {
		t.Error("R is here, but has none of the sets: install r-cran-mass")
	}
}

// Negative binomial probabilities, size 0.5, mean 3, counts 0 to 5 (R 4.2.2
// dnbinom).
func TestLogProb(t *testing.T) {
	for n, want := range []float64{.3779645, .1619848, .1041331, .0743808, .0557856, .0430346} {
		if got := math.Exp(LogProb(n, 3, 0.5)); math.Abs(got-want) > 1e-7 {
			t.Errorf("P(%d) = %.7f, expected %.7f", n, got, want)
		}
	}
}

// No plants in twenty 1 m² quadrats: with even counts the rule of three, 3/n
// (Hanley & Lippman-Hand 1983, JAMA 249:1743: −ln 0.05 = 2.9957); clumping widens
// it, by (1 + m/k)^(−kn) = 0.05.
func TestNothingFound(t *testing.T) {
	if got := NoneUpper(ones(20), math.Inf(1), 0.9); math.Abs(got-2.9957/20) > 1e-4 {
		t.Errorf("even: upper limit %.5f, expected %.5f", got, 2.9957/20)
	}
	want := 0.5 * (math.Pow(0.05, -1/(0.5*20)) - 1)
	f := Estimate(ones(20), 0.9)
	if f.MeanPerM2.Value != 0 || math.Abs(f.MeanPerM2.High-want) > 1e-9 || f.MeanPerM2.High < 3.0/20 {
		t.Errorf("clumped: %.6f, expected %.6f", f.MeanPerM2.High, want)
	}
	if !math.IsNaN(f.K.Value) || f.Empty != 1 || f.Needed(0.2) != 0 {
		t.Errorf("nothing found: %+v", f)
	}
}

// A single quadrat does not show how patchy the weed is: its mean has no interval.
func TestOneQuadrat(t *testing.T) {
	f := Estimate(ones(0, 0, 0, 1), 0.9)
	if f.MeanPerM2.Value != 3 || f.MeanPerM2.Low != 0 || !math.IsInf(f.MeanPerM2.High, 1) || f.K.Low != 0 || !math.IsInf(f.K.High, 1) {
		t.Errorf("one quadrat with three plants: %+v", f)
	}
}

// draw counts n quadrats of a field.
func draw(r *rand.Rand, n int, areaM2, perM2, k float64) (q []Quadrat) {
	for range n {
		q = append(q, Quadrat{areaM2, int(random.NegativeBinomial(r.Float64(), perM2*areaM2, k))})
	}
	return q
}

// Precision follows the negative-binomial variance: with the number Needed for
// a standard error of 20 %, the means of simulated fields spread by 20 %. 3,000
// fields know that to 0.3 %: the bar of ±1.5 % is five standard errors.
func TestNeeded(t *testing.T) {
	f := Fit{MeanPerM2: Interval{Value: 4}, K: Interval{Value: 0.6}, typical: 0.25}
	n := f.Needed(0.2)
	r := rand.New(rand.NewPCG(6, 6))
	var s, sq float64
	const fields = 3000
	for range fields {
		_, _, sum := sums(cells(draw(r, n, 0.25, 4, 0.6)))
		m := sum / float64(n)
		s += m / fields
		sq += m * m / fields
	}
	if cv := math.Sqrt(sq-s*s) / s; math.Abs(cv-0.2) > 0.015 {
		t.Errorf("%d quadrats give a standard error of %.3f of the mean, expected 0.20", n, cv)
	}
}
