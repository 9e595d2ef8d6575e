package report

import (
	"cmp"
	"math"
	"slices"

	"rundown/sim"
	"rundown/sim/drivers"
)

func (f *found) document(warnings []Warning) Object {
	a := f.Analysis
	var needed any
	if f.doubts.RowsForOrder >= 0 {
		needed = max(f.doubts.RowsForOrder, 0)
	}
	var width any
	if !f.empty() {
		width = f.doubts.RowsForWidth
	}
	o := driversHead(f.Run, warnings, a.Metric, f.year(a.Season))
	o = slices.Insert(o, 2, Member{"answer", f.answer().Object()})
	return append(o,
		Member{"scale", a.Scale().String()},
		Member{"runs", a.Runs}, Member{"rows", a.Rows}, Member{"rows_used", f.x.Rows}, Member{"walks", a.Walks},
		Member{"mean", numberOrNull(f.x.Mean)}, Member{"variance", numberOrNull(f.x.Variance)},
		Member{"screening", f.screeningObjects()},
		Member{"inputs", f.blockObjects(f.ranked)},
		Member{"groups", f.blockObjects([]int{a.Block(drivers.OtherInput), a.Block(drivers.FieldDraws), a.Block(drivers.Luck)})},
		Member{"first_order_sum", estimateOrNull(f.x.SumFirst(f.shown()))},
		Member{"evidence", f.evidenceObject()},
		Member{"split", f.splitObjects()},
		Member{"rows_for_width", width}, Member{"rows_for_order", needed},
		Member{"sweep", nil},
	)
}

// driversHead is what both forms of the document begin with.
func driversHead(r Run, warnings []Warning, m sim.Metric, year int) Object {
	return Object{
		{"format", DriversFormat}, {"plan", r.Calendar.Name}, {"seed", r.Seed}, {"replicates", r.Replicates},
		{"version", r.Provenance.Version}, {"provenance", r.Provenance.Object()}, {"units", units(r.Calendar)}, {"warnings", warningObjects(warnings)},
		{"metric", sim.Metrics[m].Name}, {"label", sim.Metrics[m].Label}, {"unit", unit(r.Calendar, m)}, {"season", year},
	}
}

func (f *found) blockObjects(blocks []int) []Object {
	out := []Object{}
	for _, b := range blocks {
		o := Object{{"name", f.key(b)}, {"label", f.name(b)}, {"short", f.shortKey(b)}}
		if g := f.grade(b); g != "" {
			o = append(o, Member{"grade", string(g)})
		}
		out = append(out, append(o, Member{"first", estimateOrNull(f.x.First[b])}, Member{"total", estimateOrNull(f.x.Total[b])}))
	}
	return out
}

// evidenceObject is on what the values rest, weighed; "your-plan" for what the plan gives.
func (f *found) evidenceObject() any {
	e := f.Analysis.Evidence()
	if e == nil {
		return nil
	}
	o := Object{}
	for _, g := range append(slices.Clone(drivers.Grades), "") {
		o = append(o, Member{cmp.Or(string(g), "your-plan"), Object{{"share", e.Share[g]}, {"error", e.Error[g]}}})
	}
	return o
}

func (f *found) splitObjects() []Object {
	out := []Object{}
	for s, x := range f.Analysis.Seasons {
		o := Object{{"harvest_year", f.year(s)}, {"crop", f.Calendar.Seasons[s].Courses[0].Crop.Name}, {"rows_used", x.Rows}}
		for _, b := range f.fourKinds() {
			o = append(o, Member{f.key(b), Object{{"first", estimateOrNull(x.First[b])}, {"total", estimateOrNull(x.Total[b])}}})
		}
		out = append(out, append(o, Member{"first_order_sum", estimateOrNull(x.SumFirst(f.fourKinds()))}))
	}
	return out
}

func (f *found) screeningObjects() []Object {
	out := []Object{}
	for _, i := range f.Analysis.Screened() {
		x, e := &f.Analysis.Inputs.List[i], f.Analysis.Effects[i]
		out = append(out, Object{{"name", x.Path}, {"label", inputName(x)}, {"short", nameWithEntry(shortInput(x))}, {"grade", string(x.Grade)},
			{"root_mean_square", numberOrNull(e.Root)}, {"mu_star", numberOrNull(e.MuStar)}, {"mu_star_error", numberOrNull(e.Error)}, {"mu", numberOrNull(e.Mu)}, {"sigma", numberOrNull(e.Sigma)}})
	}
	return out
}

func estimateOrNull(e drivers.Estimate) any {
	if math.IsNaN(e.Value) || math.IsNaN(e.Low) || math.IsNaN(e.High) {
		return nil
	}
	return Object{{"value", e.Value}, {"low", e.Low}, {"high", e.High}}
}

func numberOrNull(x float64) any {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return x
}
