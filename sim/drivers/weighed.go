package drivers

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"

	"rundown/params"
)

// measured is the evidence behind the example plans, as TestEvidenceOfTheExamples
// found and wrote it; weighing it anew takes minutes.
//
//go:embed evidence.csv
var measured string

// Weighed is the evidence behind the values of the library: the mean over the
// example plans of what each grade makes of the spread of heads at the last harvest.
type Weighed struct {
	Evidence
	Plans   int
	Rows    int    // of the design, by plan
	Library string // SHA-256 of the library that was weighed
}

// WeighedExamples is the evidence behind the example plans as it was last measured.
func WeighedExamples() (*Weighed, error) { return readWeighed(measured) }

func readWeighed(text string) (*Weighed, error) {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) < 2 {
		return nil, fmt.Errorf("evidence.csv has no rows (%v)", err)
	}
	w := &Weighed{Evidence: Evidence{Share: map[params.Grade]float64{}, Error: map[params.Grade]float64{}}}
	plans := map[string]bool{}
	for i, r := range rows[1:] {
		share, err1 := strconv.ParseFloat(r[3], 64)
		off, err2 := strconv.ParseFloat(r[4], 64)
		n, err3 := strconv.Atoi(r[1])
		if err1 != nil || err2 != nil || err3 != nil {
			return nil, fmt.Errorf("evidence.csv, row %d: expected numbers for rows, share and error, found %q", i+2, r)
		}
		g := params.Grade(r[2])
		w.Share[g] += share
		w.Error[g] += off * off
		w.Rows, w.Library, plans[r[0]] = n, r[5], true
	}
	w.Plans = len(plans)
	for g := range w.Share {
		w.Share[g] /= float64(w.Plans)
		w.Error[g] = math.Sqrt(w.Error[g]) / float64(w.Plans)
	}
	return w, nil
}
