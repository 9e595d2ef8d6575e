package drivers

import (
	"math"
	"strconv"
	"testing"

	"rundown/sim/random"
	"rundown/sim/testfile"
)

// table reads a table of numbers of testdata/drivers, without its head.
func table(t *testing.T, name string) [][]float64 {
	t.Helper()
	rows := testfile.Rows(t, "../../testdata/drivers/"+name)
	var out [][]float64
	for _, row := range rows[1:] {
		var numbers []float64
		for _, cell := range row {
			x, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			numbers = append(numbers, x)
		}
		out = append(out, numbers)
	}
	return out
}

// The sequence without scrambling is that of scipy.stats.qmc.Sobol, in all
// dimensions (testdata/drivers/reference.py; scipy keeps 30 binary digits).
func TestSobolAgainstSciPy(t *testing.T) {
	s, err := NewSobol(MostDimensions, random.Root(1, random.Parameters, 0))
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range table(t, "sobol.csv") {
		if len(row) != 1+MostDimensions {
			t.Fatalf("%d dimensions in the table, %d here", len(row)-1, MostDimensions)
		}
		for d, want := range row[1:] {
			if got := s.plain(uint32(row[0]), d); got != uint32(want)<<2 {
				t.Fatalf("point %v, dimension %d: %d, SciPy has %v", row[0], d+1, got>>2, want)
			}
		}
	}
}

// The estimators are those of OpenTURNS on the same outputs: first-order as its
// MauntzKucherenkoSensitivityAlgorithm, total as its JansenSensitivityAlgorithm.
// It divides by N − 1 (2N − 1) and the variance of the first sample, and takes
// the mean of all outputs off; here it is N (2N), both samples and their mean.
// Both differences are undone exactly.
func TestIndicesAgainstOpenTURNS(t *testing.T) {
	var s Sample
	s.Blocks = make([][]float64, 3)
	var all float64
	for _, row := range table(t, "ishigami.csv") {
		s.A, s.B = append(s.A, row[0]), append(s.B, row[1])
		for i := range s.Blocks {
			s.Blocks[i] = append(s.Blocks[i], row[2+i])
		}
		for _, y := range row {
			all += y
		}
	}
	n := float64(len(s.A))
	all /= 5 * n
	var mean, variance float64
	for _, y := range s.A {
		mean += y / n
	}
	for _, y := range s.A {
		variance += (y - mean) * (y - mean) / (n - 1)
	}
	x := NewIndices(s, bootstrapKey(1))
	for i, row := range table(t, "indices.csv") {
		gap := 0.0
		for k := range s.A {
			gap += s.Blocks[i][k] - s.A[k]
		}
		first := (x.First[i].Value*x.Variance*n + (x.Mean-all)*gap) / (n - 1) / variance
		total := x.Total[i].Value * x.Variance * 2 * n / (2*n - 1) / variance
		if math.Abs(first-row[1]) > 1e-12 || math.Abs(total-row[2]) > 1e-12 {
			t.Errorf("input %d: first-order %v and total %v; OpenTURNS has %v and %v", i+1, first, total, row[1], row[2])
		}
	}
}
