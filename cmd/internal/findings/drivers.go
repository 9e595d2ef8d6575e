package findings

import (
	"fmt"
	"math"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/drivers"
)

// DriversFormat names the JSON that drivers writes. Within a format keys are only added.
const DriversFormat = "rundown.drivers/1"

// DriversRun is what the report of an analysis is made from.
type DriversRun struct {
	Run
	Analysis *drivers.Analysis
}

// found is an analysis with what its reports ask for again and again.
type found struct {
	DriversRun
	x      *drivers.Indices // of the season that inputs are ranked by
	ranked []int            // blocks of single inputs, by total
	doubts drivers.Doubts
}

// Drivers assembles the report of what moves an answer.
func Drivers(r DriversRun) *report.Report {
	a := r.Analysis
	f := &found{r, a.Seasons[a.Season], a.Ranked(), a.Doubts()}
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
	return fmt.Sprintf("%s ha, %s, %s, from %s. %s runs, seed %d.", report.Shortest(c.AreaHa), spoken(c.Soil.Name), weather(c), c.Start.Short(), report.Counted(runs), seed)
}

// empty tells that nothing varies, so that there is nothing to share out.
func (f *found) empty() bool { return math.IsNaN(f.x.Variance) }

// grade of the evidence of a block; "" for groups.
func (f *found) grade(block int) params.Grade {
	b := f.Analysis.Blocks[block]
	if b.Group != drivers.OneInput {
		return ""
	}
	return f.Analysis.Inputs.List[b.Input].Grade
}

// weak tells whether a block's evidence is judgement or memory.
func (f *found) weak(block int) bool {
	g := f.grade(block)
	return g == params.Assumed || g == params.Memory
}

// shown are the blocks that split up the inputs once, single inputs first.
func (f *found) shown() []int {
	a := f.Analysis
	return append(append([]int{}, f.ranked...), a.Block(drivers.OtherInput), a.Block(drivers.FieldDraws), a.Block(drivers.Luck))
}

// fourKinds are the blocks of the four kinds of randomness, in the order in
// which they are shown.
func (f *found) fourKinds() []int {
	var out []int
	for _, g := range []drivers.Group{drivers.Weather, drivers.Seasons, drivers.Chance, drivers.Parameters} {
		out = append(out, f.Analysis.Block(g))
	}
	return out
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
