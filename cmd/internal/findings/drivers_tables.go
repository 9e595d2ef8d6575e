package findings

import (
	"cmp"
	"fmt"
	"io"
	"math"

	"rundown/cmd/internal/report"
	"rundown/sim/drivers"
)

// readIndex says how a cell of an index is read.
const readIndex = "0.22 (0.20–0.24): 22 % of the variance, between 20 and 24 % (95 % interval by drawing rows again). Total: with all that an " +
	"input takes part in, so that totals add up to more than 1 where inputs act together."

// indexTable ranks the inputs by their short names; a page has room for what is drawn
// of them, which a terminal gets below the table with their paths.
func (f *found) indexTable(page bool) report.Table {
	t := report.Table{
		Title: "Everything that differs from run to run, by total index",
		Keys:  2,
		Columns: []report.Column{{Head: "", Right: true}, {Head: "Input"}, {Head: "Of"}, {Head: "Evidence"}, {Head: "Total", Unit: "in all", Band: true},
			{Head: "First-order", Unit: "by itself", Band: true, Spare: 1}},
		Legend: readIndex + " What the numbered inputs are in full stands below, with the path that --sweep takes and the range that holds nine in ten draws.",
	}
	if page {
		t.Columns = append(t.Columns, report.Column{Head: "Drawn", Unit: "middle (nine in ten)"})
		t.Legend = readIndex
	}
	entries := false
	for k, b := range f.Shown() {
		grade, drawn := string(f.Grade(b)), "–"
		if f.Analysis.Blocks[b].Group == drivers.OneInput {
			grade, drawn = cmp.Or(grade, "your plan"), drawnWords(f.input(b))
		} else {
			grade = "–"
		}
		name, of := f.short(b)
		entries = entries || of != ""
		row := []string{fmt.Sprint(k + 1), name, of, grade, indexBand(f.x.Total[b]), indexBand(f.x.First[b])}
		if page {
			row = append(row, drawn)
		}
		t.Rows = append(t.Rows, report.Row{Cells: row})
	}
	if !entries {
		t = t.Without(ofColumn)
	}
	return t
}

// ofColumn is the column of the tables of values that holds their entries.
const ofColumn = 2

func (f *found) splitTable() report.Table {
	t := report.Table{
		Title:   "Where the spread of each season comes from",
		Keys:    1,
		Columns: []report.Column{{Head: "Harvest"}, {Head: "Planned crop"}},
		Legend: "0.26 / 0.41: by itself / with all it takes part in. What a spray or a pass does differs each time; that counts as season effects, not " +
			"as not knowing.",
	}
	for _, b := range f.Kinds() {
		t.Columns = append(t.Columns, report.Column{Head: sentence(f.name(b))})
	}
	for s, x := range f.Analysis.Seasons {
		row := []string{fmt.Sprint(f.year(s)), spoken(f.Calendar.Seasons[s].Courses[0].Crop.Name)}
		for _, b := range f.Kinds() {
			row = append(row, index(x.First[b].Value)+" / "+index(x.Total[b].Value))
		}
		t.Rows = append(t.Rows, report.Row{Cells: row})
	}
	return t
}

// screenedRows is how many inputs the page's table of the screening shows.
const screenedRows = 25

func (f *found) screeningTable() report.Table {
	t := report.Table{
		Title: fmt.Sprintf("The screening: the %d largest elementary effects of %d inputs", min(screenedRows, len(f.Analysis.Inputs.List)),
			len(f.Analysis.Inputs.List)),
		Keys: 1,
		Columns: []report.Column{{Head: "Input"}, {Head: "Root mean square", Right: true}, {Head: "μ*", Right: true},
			{Head: "± standard error", Right: true}, {Head: "μ", Right: true}, {Head: "σ", Right: true}, {Head: "Evidence"}},
	}
	for _, i := range f.Analysis.Screened()[:min(screenedRows, len(f.Analysis.Inputs.List))] {
		x, e := &f.Analysis.Inputs.List[i], f.Analysis.Effects[i]
		t.Rows = append(t.Rows, report.Row{Cells: []string{nameWithEntry(shortInput(x)), index(e.Root), index(e.MuStar), index(e.Error), index(e.Mu),
			index(e.Sigma), string(x.Grade)}})
	}
	return t
}

// IndicesCSV writes the indices of every season, one row for each block.
func IndicesCSV(w io.Writer, r DriversRun) error {
	f := newFound(r)
	out := report.NewCSV(w)
	_ = out.Write([]string{"season", "level", "parameter", "label", "grade", "index", "estimate", "low", "high"}) // errors come at Error below
	for s, x := range f.Analysis.Seasons {
		for b := range f.Analysis.Blocks {
			level := "group"
			if f.Analysis.Blocks[b].Group == drivers.OneInput {
				level = "input"
			}
			for _, q := range []struct {
				name string
				e    drivers.Estimate
			}{{"first", x.First[b]}, {"total", x.Total[b]}} {
				_ = out.Write([]string{fmt.Sprint(f.year(s)), level, f.key(b), f.name(b), string(f.Grade(b)), q.name, report.Cell(q.e.Value),
					report.Cell(q.e.Low), report.Cell(q.e.High)})
			}
		}
	}
	out.Flush()
	return out.Error()
}

// key is a block as JSON and CSV name it.
func (f *found) key(block int) string {
	b := f.Analysis.Blocks[block]
	if b.Group == drivers.OneInput {
		return f.Analysis.Inputs.List[b.Input].Path
	}
	return groupNames[b.Group][1]
}

// SplitCSV writes the four kinds of every season.
func SplitCSV(w io.Writer, r DriversRun) error {
	f := newFound(r)
	out := report.NewCSV(w)
	_ = out.Write([]string{"season", "group", "first", "first_low", "first_high", "total", "total_low", "total_high"}) // errors come at Error below
	for s, x := range f.Analysis.Seasons {
		for _, b := range f.Kinds() {
			a, t := x.First[b], x.Total[b]
			_ = out.Write([]string{fmt.Sprint(f.year(s)), f.key(b), report.Cell(a.Value), report.Cell(a.Low), report.Cell(a.High), report.Cell(t.Value),
				report.Cell(t.Low), report.Cell(t.High)})
		}
	}
	out.Flush()
	return out.Error()
}

// ScreeningCSV writes the screening, largest effect first.
func ScreeningCSV(w io.Writer, r DriversRun) error {
	f := newFound(r)
	out := report.NewCSV(w)
	// errors come at Error below
	_ = out.Write([]string{"parameter", "label", "unit", "grade", "root_mean_square", "mu_star", "mu_star_error", "mu", "sigma", "own_index"})
	for k, i := range f.Analysis.Screened() {
		x, e := &f.Analysis.Inputs.List[i], f.Analysis.Effects[i]
		own := "no"
		if k < len(f.ranked) && !math.IsNaN(e.Root) {
			own = "yes"
		}
		_ = out.Write([]string{x.Path, inputName(x), x.Unit, string(x.Grade), report.Cell(e.Root), report.Cell(e.MuStar), report.Cell(e.Error),
			report.Cell(e.Mu), report.Cell(e.Sigma), own})
	}
	out.Flush()
	return out.Error()
}
