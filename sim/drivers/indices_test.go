package drivers

import (
	"math"
	"testing"

	"rundown/sim/random"
)

func bootstrapKey(seed uint64) random.Key {
	return random.Root(seed, random.Parameters, 1)
}

// Indices of functions that have published ones. At 8,192 rows drawn at random
// the standard errors would be up to 0.015; the design does much better.
func TestKnownFunctions(t *testing.T) {
	const rows, tolerance = 8192, 0.01
	for _, f := range []*testFunction{ishigami(), gFunction(), linear()} {
		x := NewIndices(f.sampled(t, rows, 1), bootstrapKey(1))
		for i := range f.inputs {
			t.Logf("%s %d: first %.4f (%.4f to %.4f), known %.4f; total %.4f (%.4f to %.4f), known %.4f", f.name, i+1,
				x.First[i].Value, x.First[i].Low, x.First[i].High, f.first[i], x.Total[i].Value, x.Total[i].Low, x.Total[i].High, f.total[i])
			if math.Abs(x.First[i].Value-f.first[i]) > tolerance {
				t.Errorf("%s: first-order index %d is %.4f, known to be %.4f", f.name, i+1, x.First[i].Value, f.first[i])
			}
			if math.Abs(x.Total[i].Value-f.total[i]) > tolerance {
				t.Errorf("%s: total index %d is %.4f, known to be %.4f", f.name, i+1, x.Total[i].Value, f.total[i])
			}
		}
	}
}

// An input that a function ignores has indices whose intervals cover zero.
func TestDummyInput(t *testing.T) {
	x := NewIndices(ishigami().sampled(t, 256, 3), bootstrapKey(3))
	for _, e := range []Estimate{x.First[3], x.Total[3]} {
		if e.Low > 0 || e.High < 0 || math.Abs(e.Value) > 1e-12 {
			t.Errorf("an ignored input has the index %+v", e)
		}
	}
}

// Intervals of 95 % hold the known value in at least 88 % of 60 independent
// scramblings × 4 inputs × 2 indices: with 480 of 95 % a share below 0.88 has a
// chance below 1e-9 if they were independent; those of one scrambling are not,
// and an effective 60 gives 1.4 %. The seeds are fixed.
func TestIntervalsCover(t *testing.T) {
	f := gFunction()
	held, n := 0, 0
	for seed := range uint64(60) {
		x := NewIndices(f.sampled(t, 512, seed), bootstrapKey(seed))
		for i := range 4 {
			for _, e := range []struct {
				Estimate
				known float64
			}{{x.First[i], f.first[i]}, {x.Total[i], f.total[i]}} {
				n++
				if e.Low <= e.known && e.known <= e.High {
					held++
				}
			}
		}
	}
	share := float64(held) / float64(n)
	t.Logf("%d of %d intervals hold the known value (%.3f)", held, n, share)
	if share < 0.88 {
		t.Errorf("%d of %d intervals of 95 %% hold the known value", held, n)
	}
}

// Rows in which a run has no value are left out; an output that does not vary
// has no indices.
func TestNoValues(t *testing.T) {
	s := linear().sampled(t, 128, 5)
	whole := NewIndices(s, bootstrapKey(5))
	s.A = append(s.A, 1, math.NaN())
	s.B = append(s.B, math.NaN(), 2)
	for i := range s.Blocks {
		s.Blocks[i] = append(s.Blocks[i], 0, 0)
	}
	x := NewIndices(s, bootstrapKey(5))
	if x.Rows != 128 || x.First[0] != whole.First[0] || x.Total[4] != whole.Total[4] {
		t.Errorf("%d rows used, indices %+v and %+v; expected those of the 128 whole rows", x.Rows, x.First[0], x.Total[4])
	}
	none := []float64{math.NaN(), math.NaN()}
	if x := NewIndices(Sample{A: none, B: none, Blocks: [][]float64{none}}, bootstrapKey(5)); x.Rows != 0 || !math.IsNaN(x.Total[0].Value) ||
		!math.IsNaN(x.SumFirst([]int{0}).Value) {
		t.Errorf("without values: %+v", x)
	}
	for _, v := range [][]float64{s.A, s.B} {
		for i := range v {
			v[i] = 3
		}
	}
	if x := NewIndices(Sample{A: s.A, B: s.B, Blocks: [][]float64{s.A}}, bootstrapKey(5)); !math.IsNaN(x.First[0].Value) || !math.IsNaN(x.Total[0].High) {
		t.Errorf("an output that does not vary has the indices %+v %+v", x.First[0], x.Total[0])
	}
}

// Differences and sums carry the same interval as what they are made of.
func TestSumsAndDifferences(t *testing.T) {
	f := linear()
	x := NewIndices(f.sampled(t, 1024, 7), bootstrapKey(7))
	if sum := x.SumFirst([]int{0, 1, 2, 3, 4}); math.Abs(sum.Value-1) > 0.02 || sum.Low > 1 || sum.High < 1 {
		t.Errorf("first-order indices of a linear model sum to %+v, expected 1", sum)
	}
	if d := x.Apart(0, 1); d.Low <= 0 {
		t.Errorf("totals 0.53 and 0.30 are not told apart: %+v", d)
	}
	if d := x.Apart(1, 0); math.Abs(d.Value+x.Apart(0, 1).Value) > 1e-15 {
		t.Errorf("a difference turned round is %+v, not the negative of %+v", d, x.Apart(0, 1))
	}
}
