package findings

import (
	"cmp"
	"math"
	"slices"

	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/drivers"
)

func (f *found) document(warnings []report.Warning) report.Object {
	a := f.Analysis
	var needed any
	if f.doubts.RowsForOrder >= 0 {
		needed = max(f.doubts.RowsForOrder, 0)
	}
	var width any
	if !f.Empty() {
		width = f.doubts.RowsForWidth
	}
	o := driversHead(f.Run, warnings, a.Metric, f.year(a.Season))
	o = slices.Insert(o, 2, report.Member{"answer", f.answer().Object()})
	return append(o,
		report.Member{"scale", a.Scale().String()},
		report.Member{"runs", a.Runs}, report.Member{"rows", a.Rows}, report.Member{"rows_used", f.x.Rows}, report.Member{"walks", a.Walks},
		report.Member{"mean", numberOrNull(f.x.Mean)}, report.Member{"variance", numberOrNull(f.x.Variance)},
		report.Member{"screening", f.screeningObjects()},
		report.Member{"inputs", f.blockObjects(f.ranked)},
		report.Member{"groups", f.blockObjects([]int{a.Block(drivers.OtherInput), a.Block(drivers.FieldDraws), a.Block(drivers.Luck)})},
		report.Member{"first_order_sum", estimateOrNull(f.Sum)},
		report.Member{"evidence", f.evidenceObject()},
		report.Member{"split", f.splitObjects()},
		report.Member{"rows_for_width", width}, report.Member{"rows_for_order", needed},
		report.Member{"sweep", nil},
	)
}

// driversHead is what both forms of the document begin with.
func driversHead(r Run, warnings []report.Warning, m sim.Metric, year int) report.Object {
	return report.Object{
		{"format", DriversFormat}, {"plan", r.Calendar.Name}, {"seed", r.Seed}, {"replicates", r.Replicates},
		{"version", r.Provenance.Version}, {"provenance", r.Provenance.Object()}, {"units", units(r.Calendar)}, {"warnings", report.WarningObjects(warnings)},
		{"metric", sim.Metrics[m].Name}, {"label", sim.Metrics[m].Label}, {"unit", unit(r.Calendar, m)}, {"season", year},
	}
}

func (f *found) blockObjects(blocks []int) []report.Object {
	out := []report.Object{}
	for _, b := range blocks {
		o := report.Object{{"name", f.key(b)}, {"label", f.name(b)}, {"short", f.shortKey(b)}}
		if g := f.Grade(b); g != "" {
			o = append(o, report.Member{"grade", string(g)})
		}
		out = append(out, append(o, report.Member{"first", estimateOrNull(f.x.First[b])}, report.Member{"total", estimateOrNull(f.x.Total[b])}))
	}
	return out
}

// evidenceObject is on what the values rest, weighed; "your-plan" for what the plan gives.
func (f *found) evidenceObject() any {
	e := f.Evidence
	if e == nil {
		return nil
	}
	o := report.Object{}
	for _, g := range append(slices.Clone(drivers.Grades), "") {
		o = append(o, report.Member{cmp.Or(string(g), "your-plan"), report.Object{{"share", e.Share[g]}, {"error", e.Error[g]}}})
	}
	return o
}

func (f *found) splitObjects() []report.Object {
	out := []report.Object{}
	for s, x := range f.Analysis.Seasons {
		o := report.Object{{"harvest_year", f.year(s)}, {"crop", f.Calendar.Seasons[s].Courses[0].Crop.Name}, {"rows_used", x.Rows}}
		for _, b := range f.Kinds() {
			o = append(o, report.Member{f.key(b), report.Object{{"first", estimateOrNull(x.First[b])}, {"total", estimateOrNull(x.Total[b])}}})
		}
		out = append(out, append(o, report.Member{"first_order_sum", estimateOrNull(f.Splits[s].Sum)}))
	}
	return out
}

func (f *found) screeningObjects() []report.Object {
	out := []report.Object{}
	for _, i := range f.Analysis.Screened() {
		x, e := &f.Analysis.Inputs.List[i], f.Analysis.Effects[i]
		out = append(out, report.Object{{"name", x.Path}, {"label", inputName(x)}, {"short", nameWithEntry(shortInput(x))}, {"grade", string(x.Grade)},
			{"root_mean_square", numberOrNull(e.Root)}, {"mu_star", numberOrNull(e.MuStar)}, {"mu_star_error", numberOrNull(e.Error)},
			{"mu", numberOrNull(e.Mu)}, {"sigma", numberOrNull(e.Sigma)}})
	}
	return out
}

func estimateOrNull(e drivers.Estimate) any {
	if math.IsNaN(e.Value) || math.IsNaN(e.Low) || math.IsNaN(e.High) {
		return nil
	}
	return report.Object{{"value", e.Value}, {"low", e.Low}, {"high", e.High}}
}

func numberOrNull(x float64) any {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return x
}
