package sim

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rundown/params"
	"rundown/params/sheet"
	"rundown/rotations"
	"rundown/sim/random"
)

// What the inner loop draws is the library's own quantile, to 1e-9 of the value; where
// a table stands for it, to 5e-3 of the width of its 95 % range.
func TestDrawnIsTheQuantile(t *testing.T) {
	lib, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	var m sheet.Mistakes
	plan := rotations.Read("starter.yaml", rotations.Starter(), &m)
	c := plan.Resolve(lib, &m)
	if m.Len() > 0 {
		t.Fatal(m.Error())
	}
	kinds := map[params.SpreadKind]int{}
	for _, v := range c.Space.Values {
		d := newDrawn(v)
		kinds[v.Spread.Kind]++
		for _, u := range []float64{1e-12, 1e-4, 0.01, 0.2, 0.5, 0.77, 0.99, 1 - 1e-6} {
			want, near := v.Quantile(u), 1e-9*math.Abs(v.Quantile(u))+1e-12
			if d.table != nil {
				near = 5e-3 * (v.Quantile(0.975) - v.Quantile(0.025))
			}
			if got := d.at(u); math.Abs(got-want) > near {
				t.Errorf("%s at %v: %v, the quantile is %v", v.Path, u, got, want)
			}
		}
	}
	if len(kinds) < 4 {
		t.Errorf("only %v kinds of spread were met", kinds)
	}
}

// What the inner loop draws follows the law of its spread, by chi-square over 26
// classes with both tails of 1e-4 among them, whose bounds are R's quantiles
// (testdata/spreads/spreads.R names the version). A right sampler fails once in
// 10,000 for each of the 15 laws; the limit is R's qchisq(1 − 1e-4, 25).
func TestDrawnFollowsItsLaw(t *testing.T) {
	const draws, limit = 200_000, 60.14029
	for _, l := range readSpreads(t) {
		d := newDrawn(&l.value)
		counts := make([]int, len(l.bounds)+1)
		key := random.Root(20, random.Parameters, 0).WithText(l.name)
		for i := range uint64(draws) {
			k, _ := slices.BinarySearch(l.bounds, d.at(key.Uniform(i)))
			counts[k]++
		}
		chi, from := 0.0, 0.0
		for k, n := range counts {
			to := 1.0
			if k < len(l.below) {
				to = l.below[k]
			}
			expected := (to - from) * draws
			chi += (float64(n) - expected) * (float64(n) - expected) / expected
			from = to
		}
		t.Logf("%-24s chi-square %.1f", l.name, chi)
		if chi > limit {
			t.Errorf("%s: chi-square %.1f over %d classes, at most %.1f", l.name, chi, len(counts), limit)
		}
	}
}

// spread is a law of testdata/spreads/spreads.csv: the chance of a value below each bound.
type spread struct {
	name          string
	value         params.Value
	below, bounds []float64
}

func readSpreads(t *testing.T) []*spread {
	t.Helper()
	f, err := os.Open("../testdata/spreads/spreads.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[string]params.SpreadKind{"beta": params.Beta, "normal": params.Normal, "lognormal": params.Lognormal, "logitnormal": params.LogitNormal}
	var laws []*spread
	for _, row := range rows[1:] {
		name := strings.Join(row[:3], " ")
		var x [4]float64
		for i := range x {
			if x[i], err = strconv.ParseFloat(row[i+1], 64); err != nil {
				t.Fatal(err)
			}
		}
		if len(laws) == 0 || laws[len(laws)-1].name != name {
			v := params.Value{Central: x[0], High: 1, Spread: params.Spread{Kind: kinds[row[0]], A: x[0], B: x[1]}}
			switch v.Spread.Kind {
			case params.Beta:
				v.Central = x[0] / (x[0] + x[1])
			case params.Lognormal:
				v.Spread.A, v.High = x[1], math.Inf(1)
			default:
				v.Spread.A = x[1]
			}
			laws = append(laws, &spread{name: name, value: v})
		}
		l := laws[len(laws)-1]
		l.below, l.bounds = append(l.below, x[2]), append(l.bounds, x[3])
	}
	if len(laws) != 15 {
		t.Fatalf("%d laws; expected 15", len(laws))
	}
	return laws
}
