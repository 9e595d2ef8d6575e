package figure

import (
	"fmt"
	"slices"
)

// Data is the numbers of a figure as a table, for those who would rather read
// than look: the first column names the row.
type Data struct {
	Title string
	Head  []string
	Rows  [][]string
}

// Table gives the numbers of a figure, one table for each quantity.
func Table(fig Figure) []Data { return fig.data() }

// spreadHead are the headings of a spread's columns.
var spreadHead = []string{"1 in 20 below", "1 in 4 below", "half below", "1 in 4 above", "1 in 20 above"}

// medianCell is where the median stands among them.
const medianCell = 2

// cells are a spread's columns.
func (q *Panel) cells(s Spread) []string {
	var out []string
	for _, v := range s.values() {
		if finite(v) {
			out = append(out, q.write(v))
		} else {
			out = append(out, "–")
		}
	}
	return out
}

// data is a panel's bands under the names of their rows.
func (q *Panel) data(title string, lead []string, rows [][]string, bands []Spread) Data {
	spread := slices.ContainsFunc(bands, func(s Spread) bool { return !s.single() })
	d := Data{Title: title, Head: append([]string{}, lead...)}
	if spread {
		d.Head = append(d.Head, spreadHead...)
	} else {
		d.Head = append(d.Head, "value") // of which there is but one, which need not stand five times
	}
	none := false
	for _, s := range bands {
		none = none || q.Kind == Log && finite(s.Zero) && s.Zero > 0
	}
	if none {
		d.Head = append(d.Head, "runs with none")
	}
	for i := range min(len(rows), len(bands)) {
		cells := q.cells(bands[i])
		if !spread {
			cells = cells[medianCell : medianCell+1]
		}
		cells = append(append([]string{}, rows[i]...), cells...)
		if none {
			share := "–"
			if finite(bands[i].Zero) {
				share = fmt.Sprintf("%.0f%%", 100*bands[i].Zero)
			}
			cells = append(cells, share)
		}
		d.Rows = append(d.Rows, cells)
	}
	return d
}

func (f *Bands) data() []Data {
	var rows [][]string
	for _, s := range f.Seasons {
		rows = append(rows, []string{fmt.Sprint(s.HarvestYear), s.Crop})
	}
	var out []Data
	for i := range f.Panels {
		q := &f.Panels[i]
		out = append(out, q.data(q.quantity(), []string{"Harvest", "Crop"}, rows, q.Bands))
	}
	return out
}

func (f *Sweep) data() []Data {
	order, at := f.inOrder()
	var rows [][]string
	for _, v := range at {
		rows = append(rows, []string{f.X.written(v)})
	}
	var out []Data
	for i := range f.Panels {
		q := &f.Panels[i]
		out = append(out, q.data(q.quantity(), []string{quantity(f.X.Name, f.X.Unit)}, rows, ordered(q.Bands, order)))
	}
	return out
}

func (f *Comparison) data() []Data {
	var rows [][]string
	var bands []Spread
	for _, plan := range f.Plans {
		for i := range min(len(f.HarvestYears), len(plan.Bands)) {
			rows = append(rows, []string{plan.Name, fmt.Sprint(f.HarvestYears[i])})
			bands = append(bands, plan.Bands[i])
		}
	}
	q := &f.Quantity
	return []Data{q.data(q.quantity(), []string{"Plan", "Harvest"}, rows, bands)}
}

func (f *Decision) data() []Data {
	var rows [][]string
	var x, y []Spread
	for _, q := range f.Choices {
		rows = append(rows, []string{q.Name})
		x, y = append(x, q.X), append(y, q.Y)
	}
	of := func(s Scale, bands []Spread) Data {
		q := &Panel{Name: s.Name, Unit: s.Unit, Kind: s.Kind}
		return q.data(q.quantity(), []string{"Plan"}, rows, bands)
	}
	return []Data{of(f.X, x), of(f.Y, y)}
}

func (f *Budget) data() []Data {
	d := Data{Title: "Seeds per m², means over the runs", Head: []string{"Season"}}
	for _, fl := range append(append([]flow{}, budgetIn...), budgetOut...) {
		d.Head = append(d.Head, fl.name)
	}
	for i := range f.Seasons {
		s := &f.Seasons[i]
		row := []string{s.words()}
		for _, fl := range append(append([]flow{}, budgetIn...), budgetOut...) {
			row = append(row, short(fl.amount(s)))
		}
		d.Rows = append(d.Rows, row)
	}
	return []Data{d}
}

func (f *Split) data() []Data {
	d := Data{Title: quantity(f.Name, f.Unit), Head: []string{"Season"}}
	for i := range f.Parts {
		d.Head = append(d.Head, f.Parts[i].Name)
	}
	for s := range f.Seasons {
		row := []string{f.Seasons[s].words()}
		for i := range f.Parts {
			row = append(row, f.share(i, s))
		}
		d.Rows = append(d.Rows, row)
	}
	return []Data{d}
}

// share of a part in a season, in per cent.
func (f *Split) share(part, season int) string {
	t := f.total(season)
	if t == 0 {
		return "–"
	}
	return fmt.Sprintf("%.0f%%", 100*f.Parts[part].amount(season)/t)
}

func (f *Dots) data() []Data {
	d := Data{Title: quantity(f.X.Name, f.X.Unit), Head: []string{"Row", or(f.Main, "value")}}
	if f.Also != "" {
		d.Head = append(d.Head, f.Also)
	}
	if len(f.Grades) > 0 {
		d.Head = append(d.Head, "evidence")
	}
	for _, r := range f.Rows {
		row := []string{r.Name, r.Main.words()}
		if f.Also != "" {
			also := "–"
			if r.Also != nil {
				also = r.Also.words()
			}
			row = append(row, also)
		}
		if len(f.Grades) > 0 {
			row = append(row, or(r.Grade, "–"))
		}
		d.Rows = append(d.Rows, row)
	}
	return []Data{d}
}

func or(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}

func (f *Counts) data() []Data {
	d := Data{Title: quantity(f.Y.Name, f.Y.Unit), Head: []string{"Date", "Zone", "Quadrats", "Mean (interval)", "Every quadrat"}}
	for _, g := range f.Groups {
		every := ""
		for i, v := range g.Counts {
			if i > 0 {
				every += ", "
			}
			every += short(v)
		}
		d.Rows = append(d.Rows, []string{g.Date, g.Zone, fmt.Sprint(len(g.Counts)), g.Mean.words(), every})
	}
	return []Data{d}
}
