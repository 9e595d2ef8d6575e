package findings

import (
	"cmp"
	"fmt"
	"io"
	"rundown/cmd/internal/report"
	"rundown/sim/study"

	"rundown/params"
	"rundown/sim"
)

const (
	beforeCounts = "the forecast before"
	afterCounts  = "after the counts"
)

// countsTable sets every count beside what was expected of it.
func (u *updated) countsTable() report.Table {
	t := report.Table{
		Title: "The counts, and what the forecast had for that day",
		Keys:  2,
		Columns: []report.Column{{Head: "Date"}, {Head: "Counted"}, {Head: "Quadrats", Right: true}, {Head: "Quadrats say", Unit: "per m²", Band: true},
			{Head: "Forecast before", Unit: "per m²", Band: true},
			{Head: "After all counts", Unit: "per m²", Band: true}, {Head: "Forecasts below", Unit: "of 100", Right: true}},
		Legend: "180 (40–620): middle, with the range that holds nine in ten. Last column: of 100 forecasts so many would have given fewer in these " +
			"quadrats; near 0 or 100 the count is a surprise. From cores only what germinates shows.",
	}
	for i := range u.Counts {
		c, s := &u.Counts[i], &u.Result.Seen[i]
		m := s.Counted.MeanPerM2
		kind := countKinds[c.Kind][0]
		if c.Watch.DepthCM > 0 {
			kind += fmt.Sprintf(", %s cm", report.Shortest(c.Watch.DepthCM))
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{c.Watch.Day.Short(), kind, report.Counted(s.Counted.Quadrats),
			ratioWords(m, "–"), density.Band(report.Band(s.Prior)), density.Band(report.Band(s.Posterior)), report.Of100(s.PriorTail)}})
	}
	return t
}

// seasonsTable sets the bands before and after under each other's heading.
func (u *updated) seasonsTable() report.Table {
	t := report.Table{
		Title: "Every season, before and after",
		Keys:  2,
		Columns: []report.Column{{Head: "Harvest"}, {Head: "Planned crop"}, {Head: "Heads before", Unit: "per m²", Band: true},
			{Head: "Heads after", Unit: "per m²", Band: true},
			{Head: "Seed before", Unit: "per m², new seed too", Band: true}, {Head: "Seed after", Unit: "per m², new seed too", Band: true}},
	}
	for i := range u.after {
		a, b := &u.before[i], &u.after[i]
		crop := spoken(b.Crop)
		if b.Cover != nil {
			crop = "cover, " + crop
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{fmt.Sprint(b.HarvestYear), crop, forms[sim.Heads].Band(a.Bands[sim.Heads]),
			forms[sim.Heads].Band(b.Bands[sim.Heads]),
			forms[sim.SeedbankJune].Band(a.Bands[sim.SeedAfter]), forms[sim.SeedbankJune].Band(b.Bands[sim.SeedAfter])}})
	}
	return t
}

// movedRows is how many values a table or picture shows.
const movedRows = 8

// movedTable names the values that moved beyond noise.
func (u *updated) movedTable(page bool) report.Table {
	t := report.Table{
		Title: "Uncertain values that the counts moved",
		Keys:  2,
		Columns: []report.Column{{Head: "", Right: true}, {Head: "Value"}, {Head: "Of"}, {Head: "Before", Band: true}, {Head: "After", Band: true},
			{Head: "Moved", Unit: "sd", Right: true}, {Head: "± error", Right: true}, {Head: "Narrower", Unit: "%", Right: true}, {Head: "Evidence"}},
		Legend: "Moved: of the mean, in standard deviations of what was thought before. ",
	}
	if bar := u.Bar; bar < 20 {
		t.Legend += fmt.Sprintf("Only shifts of more than %.1f of their standard errors are named; the rest may be the method's own noise.", bar)
	} else {
		t.Legend += fmt.Sprintf("The histories descend from %s of the first: too few to tell a shift from the method's own noise, unless it is huge.",
			report.Counted(u.Result.Families))
	}
	moved := u.Moved
	if len(moved) > 0 && !page {
		t.Legend += " What the numbered values are in full stands below."
	}
	entries := false
	for k, m := range moved[:min(movedRows, len(moved))] {
		name, of := shortName(m.Value)
		entries = entries || of != ""
		t.Rows = append(t.Rows, report.Row{Cells: []string{fmt.Sprint(k + 1), name, of, movedBand(m.Value, report.Band(m.Prior)),
			movedBand(m.Value, report.Band(m.Posterior)),
			fmt.Sprintf("%+.2f", m.Shift), fmt.Sprintf("%.2f", m.Error), fmt.Sprintf("%.0f", 100*m.Narrowed), cmp.Or(string(m.Value.Grade), "your plan")}})
	}
	if len(t.Rows) == 0 {
		t.Rows = []report.Row{{Cells: []string{"–", "none", "", "–", "–", "–", "–", "–", "–"}}}
	}
	if !entries {
		t = t.Without(ofColumn)
	}
	return t
}

// movedBand is the band of a value in a cell; of a date the dates.
func movedBand(v *params.Value, b report.Band) string {
	if v.Unit == "date" {
		return fmt.Sprintf("%s (%s–%s)", annual(b.P50), annual(b.P05), annual(b.P95))
	}
	return report.Form{Digits: 2, Least: 1e-6}.Band(b)
}

// movedMiddle is the middle of a value's band.
func movedMiddle(v *params.Value, b report.Band) string {
	if v.Unit == "date" {
		return annual(b.P50)
	}
	return value3.Value(b.P50)
}

// remarks say in full what the rows of the table of moved values are.
func (u *updated) remarks() []report.Term {
	var out []report.Term
	moved := u.Moved
	for k, m := range moved[:min(movedRows, len(moved))] {
		out = append(out, report.Term{Name: fmt.Sprint(k + 1), Text: m.Value.Path + " – " + valueName(m.Value) + ", " + cmp.Or(m.Value.Unit, "no unit")})
	}
	return out
}

// stepsTable is how the counts were let in, for the page.
func (u *updated) stepsTable() report.Table {
	t := report.Table{
		Title: "How the counts were let in",
		Keys:  1,
		Columns: []report.Column{{Head: "Date"}, {Head: "Let in", Unit: "%", Right: true},
			{Head: "Effective", Unit: "of " + report.Counted(u.Replicates), Right: true}, {Head: "Drawn anew"},
			{Head: "Values moved", Unit: "% of tries", Right: true}, {Head: "Luck moved", Unit: "% of tries", Right: true}},
	}
	for _, s := range u.Result.Steps {
		anew, values, luck := "no", "–", "–"
		if s.Drawn {
			anew, values, luck = "yes", fmt.Sprintf("%.0f", 100*s.Values), fmt.Sprintf("%.0f", 100*s.Luck)
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{u.dates()[s.Date].Short(), fmt.Sprintf("%.0f", 100*s.Let), report.Counted(int(s.Effective)),
			anew, values, luck}})
	}
	return t
}

// UpdateCSV writes the bands of every season, before and after, tidily.
func UpdateCSV(w io.Writer, r UpdateRun) error {
	out := report.NewCSV(w)
	_ = out.Write([]string{"season", "when", "metric", "unit", "quantile", "estimate"}) // errors come at Error below
	for i, s := range r.Calendar.Seasons {
		for _, x := range []struct {
			when  string
			found *study.Forecast
		}{{"before", r.Found.Before}, {"after", r.Found.After}} {
			bands := x.found.Seasons[i].Bands
			for _, m := range shownMetrics {
				bandRows(out, []string{fmt.Sprint(s.HarvestYear), x.when, sim.Metrics[m].Name, unit(r.Calendar, m)}, bands[m])
			}
		}
	}
	out.Flush()
	return out.Error()
}

// CountedCSV writes every count beside what was expected of it.
func CountedCSV(w io.Writer, r UpdateRun) error {
	out := report.NewCSV(w)
	_ = out.Write([]string{"date", "kind", "depth_cm", "quadrats", "counted_per_m2", "counted_low_per_m2", "counted_high_per_m2", "when", "unit",
		"quantile", "estimate"}) // errors come at Error below
	for i := range r.Counts {
		c, s := &r.Counts[i], &r.Found.Result.Seen[i]
		depth := ""
		if c.Watch.DepthCM > 0 {
			depth = report.Cell(c.Watch.DepthCM)
		}
		m := s.Counted.MeanPerM2
		row := []string{c.Watch.Day.String(), c.Kind, depth, fmt.Sprint(s.Counted.Quadrats), report.Cell(m.Value), report.Cell(m.Low), report.Cell(m.High)}
		bandRows(out, append(row[:len(row):len(row)], "before", "per m²"), report.Band(s.Prior))
		bandRows(out, append(row[:len(row):len(row)], "after", "per m²"), report.Band(s.Posterior))
	}
	out.Flush()
	return out.Error()
}

// MovedCSV writes every uncertain value before and after, those that moved most first.
func MovedCSV(w io.Writer, r UpdateRun) error {
	out := report.NewCSV(w)
	_ = out.Write([]string{"parameter", "label", "unit", "grade", "before_p05", "before_p50", "before_p95", "after_p05", "after_p50", "after_p95",
		"shift_sd", "shift_error", "narrower"}) // errors come at Error below
	for _, m := range r.Found.Result.Moved {
		a, b := m.Prior, m.Posterior
		_ = out.Write([]string{m.Value.Path, valueName(m.Value), m.Value.Unit, string(m.Value.Grade), report.Cell(a.P05), report.Cell(a.P50),
			report.Cell(a.P95), report.Cell(b.P05), report.Cell(b.P50), report.Cell(b.P95), report.Cell(m.Shift), report.Cell(m.Error), report.Cell(m.Narrowed)})
	}
	out.Flush()
	return out.Error()
}
