package random_test

import (
	"encoding/csv"
	"os"
	"slices"
	"strconv"
	"sync"
	"testing"
)

// row is one line of testdata/reference.csv, which testdata/reference.py made
// with SciPy 1.10.1.
type row struct {
	table, law       string
	a, b, x, y       float64 // 0 where empty
	openLow, openTop bool    // of a cell: no lower, no upper limit
	value            float64
}

// reference is the table, read once.
var reference = sync.OnceValues(func() ([]row, error) {
	f, err := os.Open("testdata/reference.csv")
	if err != nil {
		return nil, err
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, err
	}
	rows := make([]row, 0, len(lines))
	for _, line := range lines[1:] {
		r := row{table: line[0], law: line[1], openLow: line[4] == "", openTop: line[5] == ""}
		for i, field := range []*float64{&r.a, &r.b, &r.x, &r.y, &r.value} {
			if line[i+2] == "" {
				continue
			}
			if *field, err = strconv.ParseFloat(line[i+2], 64); err != nil {
				return nil, err
			}
		}
		rows = append(rows, r)
	}
	return rows, nil
})

// readReference gives the rows of one table.
func readReference(t *testing.T, table string) []row {
	t.Helper()
	all, err := reference()
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	for _, r := range all {
		if r.table == table {
			rows = append(rows, r)
		}
	}
	if len(rows) == 0 {
		t.Fatalf("reference.csv has no table %q", table)
	}
	return rows
}

// critical is the value that a test statistic exceeds by chance once in 10,000.
func critical(t *testing.T, statistic string, size int) float64 {
	t.Helper()
	for _, r := range readReference(t, "critical") {
		if r.law == statistic && r.a == float64(size) {
			return r.value
		}
	}
	t.Fatalf("reference.csv has no critical value of %s for %d", statistic, size)
	return 0
}

// evenness is the chi-square statistic of counts against equal chances.
func evenness(counts []int, draws int) float64 {
	expected := float64(draws) / float64(len(counts))
	x := 0.0
	for _, n := range counts {
		d := float64(n) - expected
		x += d * d / expected
	}
	return x
}

// distanceFromUniform is the Kolmogorov–Smirnov distance; it sorts x.
func distanceFromUniform(x []float64) float64 {
	slices.Sort(x)
	d, n := 0.0, float64(len(x))
	for i, v := range x {
		d = max(d, v-float64(i)/n, float64(i+1)/n-v)
	}
	return d
}
