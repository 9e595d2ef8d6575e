package report

import (
	"strings"
	"unicode/utf8"

	"rundown/cmd/internal/output"
)

const columnGap = "  "

// write lays a table out in the columns there are. Where it is too wide it is
// broken into blocks, one under another, each with the key columns repeated.
func (t Table) write(b *strings.Builder, show output.Terminal, marks map[int]string) {
	if t.Title != "" {
		b.WriteString(paintLines(wrap(t.Title, show.Columns, "", ""), show.Bold))
	}
	if t.Legend != "" {
		b.WriteString(paintLines(wrap(t.Legend, min(show.Columns, widestProse), "", ""), show.Faint))
		if !t.Tight {
			b.WriteByte('\n')
		}
	}
	rows := t.aligned(t.marked(marks))
	widths := t.widths(rows)
	for i, block := range t.blocks(widths, show.Columns) {
		if i > 0 {
			b.WriteByte('\n')
		}
		t.writeBlock(b, show, rows, widths, block)
	}
	if t.Foot != "" {
		b.WriteString(paintLines(wrap(t.Foot, min(show.Columns, widestProse), "", ""), show.Faint))
	}
}

// marked is the cells with the notes' marks in the first of each row.
func (t Table) marked(marks map[int]string) [][]string {
	rows := make([][]string, len(t.Rows))
	for i, r := range t.Rows {
		rows[i] = append([]string(nil), r.Cells...)
		if m := marks[r.Season]; r.Season > 0 && m != "" {
			rows[i][0] += " " + m
		}
	}
	return rows
}

// aligned pads the medians of band columns, so that they end in line.
func (t Table) aligned(rows [][]string) [][]string {
	for c, column := range t.Columns {
		if !column.Band {
			continue
		}
		width := 0
		for _, r := range rows {
			middle, _, _ := strings.Cut(r[c], " (")
			width = max(width, utf8.RuneCountInString(middle))
		}
		for _, r := range rows {
			middle, _, _ := strings.Cut(r[c], " (")
			r[c] = pad(middle, width, true) + strings.TrimPrefix(r[c], middle)
		}
	}
	return rows
}

func (t Table) widths(rows [][]string) []int {
	widths := make([]int, len(t.Columns))
	for c, column := range t.Columns {
		widths[c] = max(utf8.RuneCountInString(column.Head), utf8.RuneCountInString(column.Unit))
		for _, r := range rows {
			widths[c] = max(widths[c], utf8.RuneCountInString(r[c]))
		}
	}
	return widths
}

// blocks shares the columns out: every block starts with the keys and takes as
// many more as fit, at least one. A last block of a single column gets the one
// before it for company.
func (t Table) blocks(widths []int, columns int) [][]int {
	keys := make([]int, t.Keys)
	used := 0
	for c := range keys {
		keys[c] = c
		used += widths[c] + len(columnGap)
	}
	var blocks [][]int
	block, width := keys, used
	for c := t.Keys; c < len(t.Columns); c++ {
		if len(block) > t.Keys && width+widths[c] > columns {
			blocks = append(blocks, block)
			block, width = keys, used
		}
		block = append(block[:len(block):len(block)], c)
		width += widths[c] + len(columnGap)
	}
	if n := len(blocks); n > 0 && len(block) == t.Keys+1 && len(blocks[n-1]) > t.Keys+1 {
		before := blocks[n-1]
		c := before[len(before)-1]
		if width+widths[c] <= columns {
			blocks[n-1] = before[:len(before)-1]
			block = append(append(keys[:t.Keys:t.Keys], c), block[t.Keys])
		}
	}
	return append(blocks, block)
}

func (t Table) writeBlock(b *strings.Builder, show output.Terminal, rows [][]string, widths, block []int) {
	line := func(cell func(c int) string) string {
		parts := make([]string, len(block))
		for i, c := range block {
			parts[i] = pad(cell(c), widths[c], t.Columns[c].Right)
		}
		return strings.TrimRight(strings.Join(parts, columnGap), " ")
	}
	b.WriteString(show.Bold(line(func(c int) string { return t.Columns[c].Head })) + "\n")
	units := line(func(c int) string { return t.Columns[c].Unit })
	if units != "" {
		b.WriteString(show.Faint(units) + "\n")
	}
	for _, r := range rows {
		b.WriteString(line(func(c int) string { return r[c] }) + "\n")
	}
}
