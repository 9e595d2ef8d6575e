package findings

import (
	"fmt"
	"math"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/drivers"
	"rundown/sim/study"
)

// DriversFormat names the JSON that drivers writes. Within a format keys are only added.
const DriversFormat = "rundown.drivers/1"

// DriversRun is what the report of an analysis is made from.
type DriversRun struct {
	Run
	Found *study.Drivers
}

// found is an analysis with what its reports ask for again and again.
type found struct {
	DriversRun
	*study.Drivers
	x      *drivers.Indices // of the season that inputs are ranked by
	ranked []int            // blocks of single inputs, by total
	doubts *drivers.Doubts
}

func newFound(r DriversRun) *found {
	return &found{r, r.Found, r.Found.Last, r.Found.Ranking, &r.Found.Doubts}
}

// Drivers assembles the report of what moves an answer.
func Drivers(r DriversRun) *report.Report {
	f := newFound(r)
	a := f.Analysis
	warnings := f.warnings()
	out := &report.Report{
		Title:     fmt.Sprintf("%s: what moves %s at harvest %d", r.Calendar.Name, sim.Metrics[a.Metric].Label, f.year(a.Season)),
		Subtitle:  f.subtitle(),
		Answer:    f.answer(),
		Short:     f.shortTable(),
		Lines:     36,
		Sentences: f.sentences(),
		Tables:    []report.Table{f.indexTable(false), f.splitTable()},
		Remarks:   f.remarks(),
		Pictures:  f.pictures(),
		Warnings:  warnings,
		Cautions:  Cautions(),
		Method:    driversMethod(),
		Document:  f.document(warnings),
		Made:      r.made(a.Runs),
		Plans:     plansOf(r.Run),
	}
	out.Page = func() *report.Page { return f.page(out) }
	return out
}

func (f *found) year(season int) int { return f.Calendar.Seasons[season].HarvestYear }

func (f *found) subtitle() string { return driversSubtitle(f.Calendar, f.Analysis.Runs, f.Seed) }

func driversSubtitle(c *rotations.Calendar, runs int, seed uint64) string {
	return fmt.Sprintf("%s, %s, %s, from %s. %s runs, seed %d.", sizeOf(c.Area, c.AreaHa), spoken(c.Soil.Name), weather(c), c.Start.Short(),
		report.Counted(runs), seed)
}

// index writes an index with two decimals.
func index(x float64) string {
	if math.IsNaN(x) {
		return "–"
	}
	return strings.Replace(fmt.Sprintf("%.2f", x+0), "-0.00", "0.00", 1)
}

// indexBand writes an index with its interval.
func indexBand(e drivers.Estimate) string {
	if math.IsNaN(e.Value) {
		return "–"
	}
	low, high, between := index(e.Low), index(e.High), "–"
	if strings.HasPrefix(high, "-") {
		between = " to "
	}
	return index(e.Value) + " (" + low + between + high + ")"
}
