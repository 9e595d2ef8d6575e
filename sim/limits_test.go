package sim_test

import (
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rundown/sim"
	"rundown/sim/simtest"
	"rundown/sim/testfile"
)

const limitsDir = "../testdata/limits/"

// keyRates are the parameters whose elasticities are compared.
var keyRates = []string{
	"heads_per_plant", "seeds_per_head", "viability", "survival_autumn", "non_dormant_share", "emergence_0_5", "emergence_surface",
	"autumn_ready_share", "old_ready_share", "old_ready_unstirred", "surface_death_moist", "surface_death_dry_extra", "buried_death",
	"emergence_thermal_time", "fecundity_february",
}

// nudge is the step, up and down, of an elasticity.
const nudge = 0.02

// reference reads testdata/limits/reference.csv, which limits.py (numpy) made
// of the matrices beside it, and checks that it was made of these.
func reference(t *testing.T) map[string]float64 {
	t.Helper()
	rows := testfile.Rows(t, limitsDir+"reference.csv")
	x := map[string]float64{}
	for _, r := range rows[1:] {
		if name, ok := strings.CutPrefix(r[0], "sha256 "); ok {
			data, err := os.ReadFile(limitsDir + name)
			if err != nil {
				t.Fatal(err)
			}
			if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != r[1] {
				t.Fatalf("reference.csv was made of another %s; run: python3 testdata/limits/limits.py", name)
			}
			continue
		}
		v, err := strconv.ParseFloat(r[1], 64)
		if err != nil {
			continue // a version
		}
		x[r[0]] = v
	}
	return x
}

// stored compares rows of numbers with a file of testdata/limits, to a relative
// 1e-7; -update=fixtures rewrites it, and limits.py is then to be run again.
func stored(t *testing.T, file string, rows [][]string) {
	t.Helper()
	var b strings.Builder
	if err := csv.NewWriter(&b).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	if alike(testfile.Rows(t, limitsDir+file), rows) {
		return
	}
	simtest.Golden(t, simtest.Fixtures, limitsDir+file, []byte(b.String()))
	t.Logf("where %s is rewritten, run: python3 testdata/limits/limits.py", file)
}

// alike tells whether rows say the same, numbers to a relative 1e-7.
func alike(kept, got [][]string) bool {
	return slices.EqualFunc(kept, got, func(x, y []string) bool {
		return slices.EqualFunc(x, y, func(p, q string) bool {
			a, errA := strconv.ParseFloat(p, 64)
			b, errB := strconv.ParseFloat(q, 64)
			if errA != nil || errB != nil {
				return p == q
			}
			return math.Abs(a-b) <= 1e-7*math.Max(math.Abs(a), 1e-9)
		})
	})
}

var seedKinds = []string{"rain", "surface", "0-5", "5-10", "10-15", "15-20"}

func numbers(x ...float64) (s []string) {
	for _, v := range x {
		s = append(s, strconv.FormatFloat(v, 'g', 12, 64))
	}
	return s
}

// matrices are the yearly matrix of a limit and those with each key rate up and down.
func (l *limit) matrices(t *testing.T) [][]string {
	rows := [][]string{append([]string{"matrix", "to"}, seedKinds...)}
	add := func(name string) {
		a, err := l.m.YearlyMatrix(l.theta)
		if err != nil {
			t.Fatal(err)
		}
		for k := range a {
			rows = append(rows, append([]string{name, seedKinds[k]}, numbers(a[k][:]...)...))
		}
	}
	add("reference")
	for _, k := range keyRates {
		i := l.at(t, k)
		was := l.theta[i]
		for _, by := range []float64{1 - nudge, 1 + nudge} {
			l.theta[i] = was * by
			add(fmt.Sprintf("%s × %.2f", k, by))
		}
		l.theta[i] = was
	}
	return rows
}

// growth is the factor from one year's rain to the next in the last season.
func (l *limit) growth(t *testing.T) float64 {
	s := l.run(t)
	return s[len(s)-1][sim.SeedReturn] / s[len(s)-2][sim.SeedReturn]
}

// With all four kinds of randomness frozen, one weather year repeated, central
// parameters and so many seeds that chance vanishes, the year is the matrix:
// its growth is the dominant eigenvalue (numpy). Tolerance 2 %: the matrix has
// ripening in the middle of steps of a week or more, a crop before that is not
// grown day by day, and its own steps; the field has a thousand ha and its first
// rain 1 seed per m², so that chance moves the growth by less than 0.01 %.
func TestGrowthIsTheEigenvalue(t *testing.T) {
	l := limitOf(t, 1000, "start: 2026-08-01, seedbank_per_m2: {fresh: 1}", strings.Repeat(refSeasonText, 5))
	stored(t, "matrices.csv", l.matrices(t))
	want := reference(t)
	got := l.growth(t)
	readmeBlock(t, "eigenvalue",
		fmt.Sprintf("| growth a year | simulated | eigenvalue |\n|---|---|---|\n| reference season | %.2f | %.2f |\n\n", got, want["eigenvalue reference"]))
	t.Logf("growth a year %.3f, dominant eigenvalue %.3f (%+.1f %%)", got, want["eigenvalue reference"], 100*(got/want["eigenvalue reference"]-1))
	if r := got / want["eigenvalue reference"]; math.Abs(r-1) > 0.02 {
		t.Errorf("growth a year %.3f, dominant eigenvalue %.3f", got, want["eigenvalue reference"])
	}
}

// Elasticities of the matrix name the same key rates as the simulation: each
// within 0.03 of the simulation's, and the same five largest.
func TestElasticitiesNameTheSameRates(t *testing.T) {
	l := limitOf(t, 1000, "start: 2026-08-01, seedbank_per_m2: {fresh: 1}", strings.Repeat(refSeasonText, 4))
	want := reference(t)
	got := map[string]float64{}
	table := "| elasticity of growth to | matrix | simulation |\n|---|---|---|\n"
	for _, k := range keyRates {
		i := l.at(t, k)
		was := l.theta[i]
		l.theta[i] = was * (1 - nudge)
		down := l.growth(t)
		l.theta[i] = was * (1 + nudge)
		got[k] = math.Log(l.growth(t)/down) / math.Log((1+nudge)/(1-nudge))
		l.theta[i] = was
		t.Logf("%-26s matrix %+.3f, simulation %+.3f", k, want["elasticity "+k], got[k])
		table += fmt.Sprintf("| `%s` | %+.2f | %+.2f |\n", k, want["elasticity "+k], got[k])
		if math.Abs(got[k]-want["elasticity "+k]) > 0.03 {
			t.Errorf("%s: elasticity %.3f in the matrix, %.3f in the simulation", k, want["elasticity "+k], got[k])
		}
	}
	readmeBlock(t, "elasticities", table+"\n")
	largest := func(of func(string) float64) []string {
		names := slices.Clone(keyRates)
		slices.SortStableFunc(names, func(a, b string) int {
			if math.Abs(of(a)) > math.Abs(of(b)) {
				return -1
			}
			return 1
		})
		names = names[:5]
		slices.Sort(names)
		return names
	}
	a, b := largest(func(k string) float64 { return want["elasticity "+k] }), largest(func(k string) float64 { return got[k] })
	if !slices.Equal(a, b) {
		t.Errorf("the five largest: %v in the matrix, %v in the simulation", a, b)
	}
}

// Without a rain of seed the bank declines geometrically, by the dominant
// eigenvalue of the old bank's part of the matrix: the last three years agree
// with each other within 0.5 % and with it within 2 % (as above).
func TestNoRainGeometricDecline(t *testing.T) {
	l := limitOf(t, 1000, "start: 2026-08-01, seedbank_per_m2: {0-5: 100000, 5-10: 100000}", strings.Repeat(refSeasonText, 12))
	l.set(t, "viability", 0)
	s := l.run(t)
	want := reference(t)["eigenvalue old bank"]
	last := 0.0
	for i := len(s) - 3; i < len(s); i++ {
		r := s[i][sim.SeedbankJune] / s[i-1][sim.SeedbankJune]
		t.Logf("year %d: %.4f of the bank is left, eigenvalue %.4f", i+1, r, want)
		if math.Abs(r/want-1) > 0.02 || last != 0 && math.Abs(r/last-1) > 0.005 {
			t.Errorf("year %d: %.4f of the bank is left, the year before %.4f, eigenvalue %.4f", i+1, r, last, want)
		}
		last = r
	}
}
