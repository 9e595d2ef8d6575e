package drivers

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/ensemble"
)

// A sweep is what an ensemble gives whose replicates have the one value set:
// checked at one point, run by run. More seed per head gives more heads and a
// larger return, in proportion while nothing crowds.
func TestSweep(t *testing.T) {
	m := model(t, small)
	const path, n = "weeds/black-grass/seeds_per_head", 60
	o := SweepOptions{Metric: sim.Heads, Path: path, At: []float64{50, 100, 200}, Replicates: n, Seed: 5}
	s := swept(t, m, o)
	at := m.Calendar().Space.Index(path)
	out, err := ensemble.Run(context.Background(), []*sim.Model{m}, ensemble.Options{Replicates: n, Seed: 5, Case: func(w *sim.Worker, k int, r *sim.Replicate) {
		w.DrawTheta(5, uint32(k), r.Theta)
		r.Theta[at] = 100
	}})
	if err != nil {
		t.Fatal(err)
	}
	for season := range m.Seasons() {
		if !slices.Equal(s.Column(1, season), out[0].Column(sim.Heads, season)) {
			t.Errorf("season %d: the sweep at 100 differs from the runs with 100", season)
		}
	}
	low, high := bands.Summarise(s.Column(0, 1)), bands.Summarise(s.Column(2, 1))
	if low.P50 >= high.P50 {
		t.Errorf("median heads %v at 50 seeds per head, %v at 200", low.P50, high.P50)
	}
	if len(s.Returns) != 3 || s.Returns[0] >= s.Returns[1] || s.Returns[1] >= s.Returns[2] {
		t.Errorf("one seed returns %v", s.Returns)
	}
}

// What cannot be swept is refused; a crop's value moves no seed return.
func TestSweepOfWhat(t *testing.T) {
	m := model(t, small)
	o := SweepOptions{Metric: sim.Yield, Path: "crops/winter-wheat/seeds", At: []float64{1}, Replicates: 1}
	if _, err := NewSweep(m, o); err == nil || !strings.Contains(err.Error(), "not among the") {
		t.Errorf("an unknown path gives %v", err)
	}
	o.Path = "crops/winter-wheat/establishment"
	s, err := NewSweep(m, o)
	if err != nil || s.Returns != nil {
		t.Errorf("a crop's value: error %v, returns %v", err, s.Returns)
	}
	o.At = nil
	if _, err := NewSweep(m, o); err == nil {
		t.Error("a sweep without points is accepted")
	}
}

// judged is an analysis of a test function, as if its inputs were a plan's.
func judged(t *testing.T, f *testFunction, rows int, seed uint64) *Analysis {
	a := &Analysis{Seasons: []*Indices{NewIndices(f.sampled(t, rows, seed), bootstrapKey(seed))}}
	for i := range f.inputs {
		a.Blocks = append(a.Blocks, Block{OneInput, i})
	}
	return a
}

// A clear order is told, and an open one is not: coefficients 4, 3, 2, 1, ½
// against five alike.
func TestDoubts(t *testing.T) {
	d := judged(t, linear(), 4096, 1).Doubts()
	if len(d.Tied) != 0 || d.RowsForOrder != 0 || len(d.Negative) != 0 || d.RowsForWidth > 4096 {
		t.Errorf("a clear order raises %+v", d)
	}
	alike := &testFunction{inputs: 6, f: func(x []float64) float64 { return x[0] + x[1] + x[2] + x[3] + x[4] + x[5] }}
	if d := judged(t, alike, 256, 1).Doubts(); len(d.Tied) == 0 || d.RowsForOrder == 0 {
		t.Errorf("six inputs alike raise %+v", d)
	}
	// With 16 rows an index of zero comes out below it sooner or later.
	negative := false
	for seed := range uint64(5) {
		d := judged(t, ishigami(), 16, seed).Doubts()
		negative = negative || len(d.Negative) > 0
		if d.RowsForWidth <= 16 {
			t.Errorf("16 rows are held to be enough: %+v", d)
		}
	}
	if !negative {
		t.Error("no index below 0 is told of in five analyses of 16 rows")
	}
}

// Inputs are ranked by total index, largest first; scales are as named.
func TestRankedAndScales(t *testing.T) {
	if got := judged(t, ishigami(), 1024, 2).Ranked(); !slices.Equal(got, []int{0, 1, 2, 3}) {
		t.Errorf("inputs of Ishigami's function rank %v by total index (0.56, 0.44, 0.24, 0)", got)
	}
	for m, want := range map[sim.Metric]float64{sim.Heads: math.Log(1.5), sim.YieldLoss: math.Log(51), sim.Margin: 0.5} {
		if got := ScaleOf(m).Apply(0.5); math.Abs(got-want) > 1e-15 {
			t.Errorf("0.5 of %s is %v on its scale, expected %v", sim.Metrics[m].Name, got, want)
		}
	}
}
