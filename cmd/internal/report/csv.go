package report

import (
	"encoding/csv"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
)

// BandsCSV writes the series tidily: one row per season, metric and quantile.
// A quantile that has no value (nothing grown, nothing drilled) is empty.
func BandsCSV(w io.Writer, series []Series) error {
	out := NewCSV(w)
	_ = out.Write([]string{"season", "metric", "unit", "quantile", "estimate"}) // errors come at Error below
	for _, s := range series {
		b := s.Band
		for _, q := range []struct {
			name string
			x    float64
		}{{"mean", b.Mean}, {"p05", b.P05}, {"p25", b.P25}, {"p50", b.P50}, {"p75", b.P75}, {"p95", b.P95}} {
			x := q.x
			if b.N == 0 {
				x = math.NaN()
			}
			_ = out.Write([]string{strconv.Itoa(s.Season), s.Metric, s.Unit, q.name, Cell(x)})
		}
	}
	out.Flush()
	return out.Error()
}

// Replicates is every replicate of every season, in words.
type Replicates struct {
	Columns []string     // metrics, after replicate and season
	Seasons []int        // harvest years
	Rows    [][][]string // by season, replicate, column; empty for no value
}

// ReplicatesCSV writes one row per replicate and season.
func ReplicatesCSV(w io.Writer, r Replicates) error {
	out := NewCSV(w)
	_ = out.Write(append([]string{"replicate", "season"}, r.Columns...))
	if len(r.Rows) > 0 {
		for k := range r.Rows[0] {
			for s, year := range r.Seasons {
				row := append([]string{strconv.Itoa(k + 1), strconv.Itoa(year)}, r.Rows[s][k]...)
				if err := out.Write(row); err != nil {
					return err
				}
			}
		}
	}
	out.Flush()
	return out.Error()
}

// csvWriter writes rows of which no spreadsheet takes a cell for a formula.
type CsvWriter struct{ *csv.Writer }

func NewCSV(w io.Writer) *CsvWriter { return &CsvWriter{csv.NewWriter(w)} }

// Write writes a row. A cell that is no number and begins as a formula does gets an
// apostrophe, which spreadsheets take for "this is text".
func (w *CsvWriter) Write(row []string) error {
	for i, c := range row {
		if c == "" || !strings.ContainsRune("=+-@", rune(c[0])) {
			continue
		}
		if _, err := strconv.ParseFloat(c, 64); err != nil {
			row = slices.Clone(row)
			row[i] = "'" + c
		}
	}
	return w.Writer.Write(row)
}

// cell is a number in the fewest digits that read back the same; empty for no
// value.
func Cell(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return ""
	}
	return Shortest(x)
}
