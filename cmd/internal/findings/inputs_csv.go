package findings

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/drivers"
)

// longestNumber is how long a number is written at most, as a rule.
const longestNumber = 20

// ParametersBytes is about how large parameters.csv becomes, rather more than less.
func ParametersBytes(c *rotations.Calendar, replicates int) int64 {
	each := 0
	for _, v := range c.Space.Values {
		each += len(strconv.Itoa(replicates)) + len(v.Path) + len(drawnUnit(v)) + longestNumber + 4
	}
	return int64(each) * int64(replicates)
}

// DesignBytes is about how large design.csv becomes, where so many inputs get an index
// of their own, rather more than less.
func DesignBytes(c *rotations.Calendar, rows, own int) int64 {
	longest := 0
	for _, v := range c.Space.Values {
		longest = max(longest, len(v.Path)+len(drawnUnit(v)))
	}
	return 2 * int64(rows) * int64(min(own, len(c.Space.Values))) * int64(longest+2*longestNumber+20)
}

// drawnUnit is the unit of a drawn number: a date is drawn as a day, with fractions.
func drawnUnit(v *params.Value) string {
	if v.Unit == "date" {
		return "day of the year"
	}
	return v.Unit
}

// ParametersCSV writes what every run was made with: one row for each replicate and
// uncertain value. Replicates are numbered as in replicates.csv.
func ParametersCSV(w io.Writer, r ForecastRun) error {
	out := report.NewCSV(w)
	_ = out.Write([]string{"replicate", "parameter", "unit", "value"}) // errors come at Error below
	values := r.Calendar.Space.Values
	err := r.Found.Values(func(k int, theta []float64) error {
		for i, v := range values {
			if err := out.Write([]string{strconv.Itoa(k + 1), v.Path, drawnUnit(v), report.Cell(theta[i])}); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	out.Flush()
	return out.Error()
}

// DesignCSV writes where the two samples of the design have the inputs with an index of
// their own.
func DesignCSV(w io.Writer, r DriversRun) error {
	a := r.Found
	out := report.NewCSV(w)
	_ = out.Write([]string{"row", "sample", "parameter", "unit", "point", "value"}) // errors come at Error below
	list := a.Inputs.List
	err := a.Points(func(row int, second bool, input int, u, value float64) error {
		x := &list[input]
		unit := x.Unit
		if x.Value != nil {
			unit = drawnUnit(x.Value)
		}
		return out.Write([]string{strconv.Itoa(row + 1), sampleWords[second], x.Path, unit, report.Cell(u), report.Cell(value)})
	})
	if err != nil {
		return err
	}
	out.Flush()
	return out.Error()
}

// sampleWords name the samples of the design.
var sampleWords = map[bool]string{false: "first", true: "second"}

// RunsCSV writes what every run of the design gave, in the season that inputs are ranked
// by. In a mixed run all is of the first sample but what replaced names.
func RunsCSV(w io.Writer, r DriversRun) error {
	f := newFound(r)
	a := f.Analysis
	out := report.NewCSV(w)
	_ = out.Write([]string{"row", "sample", "replaced", "season", "metric", "scale", "outcome"}) // errors come at Error below
	year, metric, scale := fmt.Sprint(f.year(a.Season)), sim.Metrics[a.Metric].Name, a.Scale().String()
	err := a.Outputs(func(row, block int, y float64) error {
		sample, replaced := "mixed", ""
		switch block {
		case drivers.First, drivers.Second:
			sample = sampleWords[block == drivers.Second]
		default:
			replaced = f.key(block)
		}
		if math.IsInf(y, 0) {
			y = math.NaN()
		}
		return out.Write([]string{strconv.Itoa(row + 1), sample, replaced, year, metric, scale, report.Cell(y)})
	})
	if err != nil {
		return err
	}
	out.Flush()
	return out.Error()
}
