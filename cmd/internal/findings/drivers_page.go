package findings

import (
	"fmt"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/sim/drivers"
	"rundown/sim/study"
)

// page is the analysis as a page to hand over.
func (f *found) page(r *report.Report) *report.Page {
	words := r.Sentences
	p := &report.Page{Field: fieldLine(f.Run), Question: fmt.Sprintf("What moves %s?", f.what()), Main: &r.Pictures[0], Scale: driversScale}
	if f.Empty() {
		return p
	}
	p.Chapters = []report.Chapter{
		{ID: "indices", Title: "Value by value", Words: append([]string{readingIndices, f.scaleWords()}, words[2:]...), Tables: []report.Table{f.indexTable(true)}},
		{ID: "split", Title: "Weather, seasons, chance, not knowing", Short: "The split", Words: []string{f.splitVerdict(), words[0]},
			Pictures: r.Pictures[1:], Tables: []report.Table{f.splitTable()}},
		{ID: "screening", Title: "The screening", Words: []string{screeningWords}, Tables: []report.Table{f.screeningTable()}},
	}
	p.Assumed = f.assumed()
	return p
}

const readingIndices = "The total index of a value is the share of the variance that would be left if all else were known and it alone were not: " +
	"all that it takes part in. The first-order index is what would go, on average, if it alone became known. Where the two differ, it acts together " +
	"with others. Red marks rest on memory or judgement: a long red bar is where a better number would help most. In grey stands the range that holds " +
	"nine in ten draws."

const screeningWords = "Before the indices every value was moved in turn, from place to place in the range that holds nine in ten of its draws. μ* " +
	"is the mean size of what a value does over its whole range, on the scale on which the spread is shared out; μ keeps the sign; σ is large where " +
	"what it does hangs on the others. The largest by root mean square were given indices of their own: it also finds what does much, but rarely."

// scaleWords says on what scale the spread is shared out.
func (f *found) scaleWords() string {
	x := unit(f.Calendar, f.Analysis.Metric)
	switch f.Analysis.Scale() {
	case drivers.Plain:
		return "The variance is that of the number itself."
	case drivers.LogCent:
		x = "per cent"
	}
	return fmt.Sprintf("The variance is that of log(1 + %s), so that a few extreme runs do not make up all of it.", x)
}

// splitVerdict says what weighs more, luck or not knowing, with intervals.
func (f *found) splitVerdict() string {
	x, all := f.Answer, f.Splits[f.Analysis.Season].All
	verdict := map[study.Heavier]string{
		study.CannotTell:     "These runs cannot tell whether not knowing or luck weighs more",
		study.AboutTheSame:   "Not knowing and luck weigh about the same",
		study.UnknownHeavier: "Not knowing weighs more than luck",
		study.LuckHeavier:    "Luck weighs more than not knowing",
	}[x.Heavier]
	return fmt.Sprintf("%s: of the variance between runs, the values that nobody knows exactly make %s by themselves, weather, seasons and chance %s; "+
		"the rest they make together (95 %% intervals in brackets).%s",
		verdict, percentBand(x.Unknown.Value/all, x.Unknown.Low, x.Unknown.High), percentBand(x.Luck.Value/all, x.Luck.Low, x.Luck.High), brought(all))
}

// assumed lists what the inputs with indices of their own rest on, those that
// rest on judgement or memory first.
func (f *found) assumed() *report.Chapter {
	count := map[params.Grade]int{}
	for _, x := range f.Analysis.Inputs.List {
		count[x.Grade]++
	}
	var grades []string
	for _, g := range gradeWords {
		if n := count[g.grade]; n > 0 {
			grades = append(grades, fmt.Sprintf("%d %s (%s)", n, g.grade, g.means))
		}
	}
	t := report.Table{Title: "What the values with an index of their own rest on", Keys: 1, Columns: []report.Column{
		{Head: "Value"}, {Head: "Path"}, {Head: "Total", Unit: "in all", Band: true}, {Head: "Drawn", Unit: "middle (nine in ten)"}, {Head: "Grade"},
		{Head: "Source"}}}
	for _, weak := range []bool{true, false} {
		for _, b := range f.ranked {
			if f.Weak(b) != weak {
				continue
			}
			x := f.input(b)
			source := x.From
			if source == "" || source == string(x.Grade) {
				source = "–"
			}
			t.Rows = append(t.Rows, report.Row{Cells: []string{f.name(b), f.key(b), indexBand(f.x.Total[b]), drawnWords(x), string(x.Grade), source}})
		}
	}
	return &report.Chapter{ID: "assumed", Title: "What was assumed", Short: "Assumed", Tables: []report.Table{t}, Words: []string{
		fmt.Sprintf("This plan uses %d values that nobody knows exactly. By the grade of their evidence: %s.", len(f.Analysis.Inputs.List),
			strings.Join(grades, "; ")),
		"First stand those that rest on judgement or memory, by total index: a better number at the head of this list would narrow the forecast most."}}
}

// page is a swept value as a page to hand over.
func (r *SweepRun) page(all *report.Report) *report.Page {
	v := r.Value
	p := &report.Page{Field: fieldLine(r.Run), Main: &all.Pictures[0],
		Question: fmt.Sprintf("How much hangs on %s?", valueName(v))}
	p.Chapters = []report.Chapter{{ID: "numbers", Title: "Point by point", Words: append([]string{
		"Every point was run with the same weather, seasons, luck and other values, run by run; only the one value was set."}, all.Sentences...), Tables: all.Tables}}
	source := v.Source
	if source == "" {
		source = "–"
	}
	p.Assumed = &report.Chapter{ID: "assumed", Title: "What was assumed", Short: "Assumed",
		Words: []string{"All other uncertain values were drawn as a forecast draws them; 'rundown drivers' without --sweep ranks them."},
		Tables: []report.Table{{Keys: 1, Columns: []report.Column{{Head: "Value"}, {Head: "Centre", Unit: "nine in ten", Band: true}, {Head: "Unit"},
			{Head: "Grade"}, {Head: "Source"}},
			Rows: []report.Row{{Cells: []string{valueName(v), valueWords(v) + " (" + rangeWords(v) + ")",
				strings.Replace(v.Unit, "money", r.Calendar.Currency, 1), string(v.Grade), source}}}}}}
	return p
}
