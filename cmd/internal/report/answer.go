package report

import (
	"slices"
	"strings"

	"rundown/cmd/internal/output"
)

// Answer is what a report owes its reader first: the answer to the command's own
// question, as facts and in words.
type Answer struct {
	Verdict   string   // a stable word
	Facts     Object   // what the sentences are made of
	Sentences []string // each of at most 25 words
}

// Object is the answer as a command's JSON holds it.
func (a *Answer) Object() Object {
	return Object{{"verdict", a.Verdict}, {"facts", a.Facts}, {"sentences", a.Sentences}}
}

// Detail says how much of a report is told as text.
type Detail uint8

// Details.
const (
	Usual Detail = iota // the answer, a short table, warnings and cautions
	Brief               // the answer alone
	Full                // everything
)

// answerLines is how many lines an answer takes at most, at usualColumns.
const (
	answerLines  = 6
	usualColumns = 100
)

// text lays the answer out: a line for each sentence where that takes few
// lines, else one paragraph.
func (a *Answer) text(show output.Terminal) string {
	var b strings.Builder
	width := min(show.Columns, usualColumns)
	lines := func(columns int) string {
		var out strings.Builder
		for _, s := range a.Sentences {
			out.WriteString(wrap(s, columns, "- ", "  "))
		}
		return out.String()
	}
	if strings.Count(lines(usualColumns), "\n") <= answerLines {
		return lines(width)
	}
	b.WriteString(wrap(strings.Join(a.Sentences, " "), width, "", ""))
	return b.String()
}

// verdicts are the answer as the head of a page: its first sentence set off.
func (a *Answer) verdicts() []Verdict {
	out := []Verdict{{Word: a.Sentences[0]}}
	if len(a.Sentences) > 1 {
		out = append(out, Verdict{Text: strings.Join(a.Sentences[1:], " ")})
	}
	return out
}

// Without is a table less one column.
func (t Table) Without(column int) Table {
	t.Columns = slices.Delete(slices.Clone(t.Columns), column, column+1)
	rows := t.Rows
	t.Rows = nil
	for _, r := range rows {
		r.Cells = slices.Delete(slices.Clone(r.Cells), column, column+1)
		t.Rows = append(t.Rows, r)
	}
	return t
}

// fitting is a table that leaves spare columns out until it is not
// broken at a width.
func (t Table) fitting(columns int) Table {
	for len(t.blocks(t.widths(t.aligned(t.marked(nil))), columns)) > 1 {
		at := -1
		for c, column := range t.Columns {
			if column.Spare > 0 && (at < 0 || column.Spare > t.Columns[at].Spare) {
				at = c
			}
		}
		if at < 0 {
			break
		}
		t = t.Without(at)
	}
	return t
}

// trimmed is a table with as many rows as there is room for: the first and the last, then
// those that matter most, and of the rest some, evenly, or those that rank first.
func (t Table) trimmed(rows int) Table {
	if len(t.Rows) <= rows {
		return t
	}
	keep := make([]bool, len(t.Rows))
	left := max(rows-1, 2) // a line says that there are more
	for _, key := range []bool{false, true} {
		for i, r := range t.Rows {
			end := i == 0 || i == len(t.Rows)-1
			if !keep[i] && (!key && end || key && r.Key && left > 0) {
				keep[i] = true
				left--
			}
		}
	}
	step := len(t.Rows) / 2
	if t.Ranked {
		step = 1
	}
	for ; step > 0 && left > 0; step /= 2 {
		for i := step; i < len(t.Rows) && left > 0; i += step {
			if !keep[i] {
				keep[i] = true
				left--
			}
		}
	}
	all := t.Rows
	t.Rows = nil
	for i, r := range all {
		if keep[i] {
			t.Rows = append(t.Rows, r)
		}
	}
	if n := len(all) - len(t.Rows); n > 0 {
		t.Foot = Counted(n) + " more rows with --full."
	}
	return t
}
