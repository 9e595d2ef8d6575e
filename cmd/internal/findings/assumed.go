package findings

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/sim/study"
)

// How many values are shown: those without a good source first.
const (
	mostAssumed = 9 // of grades assumed and memory
	mostBetter  = 5 // of the other grades
)

// shaky tells whether a value has no source that was read.
func shaky(v *params.Value) bool { return v.Grade == params.Assumed || v.Grade == params.Memory }

// assumedChapter says which uncertain values of a plan went most with its
// results, those that rest on judgement or memory first.
func assumedChapter(r Run, f *study.Forecast) *report.Chapter {
	c := &report.Chapter{ID: "assumed", Title: "What was assumed", Short: "Assumed"}
	if r.Past != nil {
		values := r.Calendar.Space.Values
		c.Words = []string{fmt.Sprintf("This plan uses %d values that nobody knows exactly. They came with the histories that the counts left, which "+
			"drew them, and are not ranked here: the page of the update names those that the counts moved. By the grade of their evidence: %s.",
			len(values), gradesOf(values))}
		return c
	}
	list, runs := f.Movers()
	if len(list) == 0 {
		return nil
	}
	// What chance alone would show in one value in a thousand.
	least := 3.29 / math.Sqrt(float64(max(runs, 2)))
	var weak, better []study.Mover
	for _, m := range list {
		switch {
		case m.Strength() < least:
		case shaky(m.Value) && len(weak) < mostAssumed:
			weak = append(weak, m)
		case !shaky(m.Value) && len(better) < mostBetter:
			better = append(better, m)
		}
	}
	c.Words = assumedWords(r.Calendar.Space.Values, runs, len(weak)+len(better))
	if own := ownReturn(r.Calendar.Weed, f.Outcome.Model.OwnReturn()); own != nil {
		c.Words = append(c.Words, own.Text)
	}
	if shown := append(weak, better...); len(shown) > 0 {
		c.Pictures = []report.Picture{{Name: "assumed", Figure: assumedPicture(r, shown, runs)}}
		c.Tables = []report.Table{assumedTable(r, shown)}
	}
	return c
}

// gradesOf counts values by the grade of their evidence, in words.
func gradesOf(values []*params.Value) string {
	count := map[params.Grade]int{}
	for _, v := range values {
		count[v.Grade]++
	}
	var grades []string
	for _, g := range gradeWords {
		if n := count[g.grade]; n > 0 {
			grades = append(grades, fmt.Sprintf("%d %s (%s)", n, g.grade, g.means))
		}
	}
	if n := count[""]; n > 0 {
		grades = append(grades, fmt.Sprintf("%d from the plan itself", n))
	}
	return strings.Join(grades, "; ")
}

func assumedWords(values []*params.Value, runs, shown int) []string {
	words := []string{fmt.Sprintf("This plan uses %d values that nobody knows exactly; every run draws each of them anew. By the grade of their evidence: %s.",
		len(values), gradesOf(values))}
	if shown == 0 {
		return append(words, fmt.Sprintf("With %s none of them stands out from chance; ask for more --replicates to see which matter.", runsOf(runs)))
	}
	return append(words,
		"Shown are those that went most with the results, first the ones that rest on judgement or memory: a better number there would help most. A mark "+
			"right of the line means that more of it went with more seed, or more margin.",
		fmt.Sprintf("Rank correlations over %s runs, one value at a time, with 95 %% intervals: a rough guide. Values that differ from spray to spray or "+
			"pass to pass are not ranked. Margins are as illustrative as the prices in them.", report.Counted(runs)))
}

func assumedPicture(r Run, shown []study.Mover, runs int) figure.Figure {
	interval := func(rho float64) figure.Interval {
		low, high := study.RankInterval(rho, runs)
		return figure.Interval{Value: rho, Low: low, High: high}
	}
	f := &figure.Dots{
		Caption: figure.Caption{Title: "Which uncertain values went with the result", Provenance: provenanceLine(r)},
		X:       figure.Scale{Name: "Rank correlation", Kind: figure.Linear},
		Main:    "seed in the soil at the end", Also: "margin",
	}
	for _, g := range gradeWords {
		f.Grades = append(f.Grades, string(g.grade))
	}
	for _, m := range shown {
		also := interval(m.Money)
		f.Rows = append(f.Rows, figure.DotRow{Name: shortValue(m.Value), Main: interval(m.Seed), Also: &also, Grade: string(m.Grade)})
	}
	return f
}

// valueName is what a value is, and of what: heads per plant (black grass).
func valueName(v *params.Value) string {
	if of := valueOf(v); of != "" {
		return v.Label + " (" + of + ")"
	}
	return v.Label
}

// valueOf is the entry that a value of the library belongs to, "" for one that
// the plan gives.
func valueOf(v *params.Value) string {
	parts := strings.Split(v.Path, "/")
	switch {
	case len(parts) != 3:
		return ""
	case parts[0] == "weeds": // black-grass keeps its hyphen
		return parts[1]
	}
	return spoken(parts[1])
}

// shortName is a value's short name, and the entry that it belongs to where a plan can
// have several of its kind: it has one weed, one soil and one climate.
func shortName(v *params.Value) (name, of string) {
	kind, _, _ := strings.Cut(v.Path, "/")
	if kind != "weeds" && kind != "soils" && kind != "climates" {
		of = valueOf(v)
	}
	return cmp.Or(v.Short, v.Label), of
}

// nameWithEntry is a short name with the entry in brackets.
func nameWithEntry(name, of string) string {
	if of == "" {
		return name
	}
	return name + " (" + of + ")"
}

// shortValue is a value's short name with its entry.
func shortValue(v *params.Value) string { return nameWithEntry(shortName(v)) }

func assumedTable(r Run, shown []study.Mover) report.Table {
	t := report.Table{Title: "The values and where they come from", Keys: 1, Columns: []report.Column{
		{Head: "Value"}, {Head: "What it is"}, {Head: "Centre", Unit: "nine in ten", Band: true}, {Head: "Unit"}, {Head: "Grade"}, {Head: "Source"}}}
	for _, m := range shown {
		value := valueWords(m.Value)
		if span := rangeWords(m.Value); span != "" {
			value += " (" + span + ")"
		}
		source := m.Source
		if source == string(m.Grade) {
			source = "–"
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{shortValue(m.Value), valueName(m.Value), value,
			strings.Replace(m.Unit, "money", r.Calendar.Currency, 1), string(m.Grade), source}})
	}
	return t
}

// runsOf says how many runs were made.
func runsOf(n int) string {
	if n == 1 {
		return "1 run"
	}
	return report.Counted(n) + " runs"
}
