package report

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// gapMark stands in the first cell of a row for those that are left out there.
const gapMark = "…"

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
// broken at a width. Its foot names them.
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
		t.spared = append(slices.Clone(t.spared), t.Columns[at].said())
		t = t.Without(at)
	}
	return t.told(0)
}

// said is what a column is called in a sentence.
func (c Column) said() string {
	if c.Said != "" {
		return c.Said
	}
	first, size := utf8.DecodeRuneInString(c.Head)
	return strings.ToLower(string(first)) + c.Head[size:]
}

// told is a table whose foot says what is left out, and where it stands.
func (t Table) told(rows int) Table {
	missing := slices.Clone(t.spared)
	slices.SortStableFunc(missing, func(a, b string) int { return len(a) - len(b) }) // a clause comes last
	switch {
	case rows == 1:
		missing = append(missing, "1 more row")
	case rows > 1:
		missing = append(missing, Counted(rows)+" more rows")
	}
	if len(missing) == 0 {
		return t
	}
	text := missing[len(missing)-1]
	if n := len(missing) - 1; n > 0 {
		text = strings.Join(missing[:n], ", ") + " and " + text
	}
	shows := "shows it"
	if rows > 1 || len(missing) > 1 {
		shows = "shows them"
	}
	t.Foot = fmt.Sprintf("Left out: %s. --full %s.", text, shows)
	return t
}

// trimmed is a table in as many lines as there is room for, whose foot has its line
// already where columns are left out. The first row and the last stay, and those that matter
// most; "…" stands where rows are left out between others.
func (t Table) trimmed(lines int) Table {
	if len(t.Rows) <= max(lines, t.Floor) {
		return t
	}
	if len(t.spared) == 0 {
		lines-- // a line says that there are more
	}
	lines = max(lines, t.Floor)
	keep := t.chosen(lines)
	tight := count(keep)+t.gaps(keep) > lines // the mark gets no line of its own
	all, was := t.Rows, -1
	t.Rows = nil
	for i, r := range all {
		if !keep[i] {
			continue
		}
		switch {
		case i == was+1 || t.Thinned:
		case tight:
			r.Cells = slices.Clone(r.Cells)
			r.Cells[0] = gapMark + " " + r.Cells[0]
		default:
			gap := Row{Cells: make([]string, len(t.Columns)), Gap: true}
			gap.Cells[0] = gapMark
			t.Rows = append(t.Rows, gap)
		}
		t.Rows, was = append(t.Rows, r), i
	}
	return t.told(len(all) - count(keep))
}

// chosen marks the rows that are kept in so many lines.
func (t Table) chosen(lines int) []bool {
	keep := make([]bool, len(t.Rows))
	keep[0], keep[len(keep)-1] = true, true
	try := func(i int) {
		if !keep[i] {
			keep[i] = true
			keep[i] = count(keep)+t.gaps(keep) <= lines
		}
	}
	for i, r := range t.Rows {
		switch {
		case r.Key && count(keep) < t.Floor: // the marks between them need no line of their own
			keep[i] = true
		case r.Key:
			try(i)
		}
	}
	if t.Thinned {
		for step := len(keep) / 2; step > 0; step /= 2 {
			for i := step; i < len(keep); i += step {
				try(i)
			}
		}
		return keep
	}
	t.closeHoles(keep, lines)
	for i := range keep {
		try(i)
	}
	return keep
}

// closeHoles fills what can be filled whole, the smallest first: that needs no mark. Rows that
// rank are filled from the first alone.
func (t Table) closeHoles(keep []bool, lines int) {
	if t.Ranked {
		return
	}
	for size := 1; size < lines; size++ {
		for i := 1; i < len(keep); i++ {
			end := i
			for end < len(keep) && !keep[end] {
				end++
			}
			if keep[i-1] && end-i == size && count(keep)+t.gaps(keep)+size-1 <= lines {
				for k := i; k < end; k++ {
					keep[k] = true
				}
			}
		}
	}
}

func count(keep []bool) int {
	n := 0
	for _, k := range keep {
		if k {
			n++
		}
	}
	return n
}

// gaps is how many lines mark what is left out.
func (t Table) gaps(keep []bool) int {
	n := 0
	for i := 1; i < len(keep) && !t.Thinned; i++ {
		if keep[i-1] && !keep[i] {
			n++
		}
	}
	return n
}
