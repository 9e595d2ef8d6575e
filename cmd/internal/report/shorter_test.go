package report

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"rundown/cmd/internal/output"
)

// twelve is a table of twelve years of which one matters most, and a column to spare.
func twelve() Table {
	t := Table{Keys: 1, Columns: []Column{{Head: "Harvest"}, {Head: "Heads", Right: true}, {Head: "Yield", Right: true, Spare: 1}}}
	for i := range 12 {
		t.Rows = append(t.Rows, Row{Key: i == 6, Cells: []string{fmt.Sprint(2031 + i), fmt.Sprint(i), strings.Repeat("9", 90)}})
	}
	return t
}

func firstCells(t Table) []string {
	var out []string
	for _, r := range t.Rows {
		out = append(out, r.Cells[0])
	}
	return out
}

// Years that are not neighbours never stand under one another without a mark, whatever the room;
// the table keeps to its lines, its ends and what matters stay, and the foot counts what is missing.
func TestLeftOutRowsAreMarked(t *testing.T) {
	for lines := 2; lines <= 14; lines++ {
		x := twelve()
		got := x.trimmed(lines)
		said := len(got.Rows)
		if got.Foot != "" {
			said++
		}
		if said > max(lines, 3) {
			t.Errorf("%d lines: %d are used", lines, said)
		}
		was, shown, marked := 2030, 0, false
		for _, cell := range firstCells(got) {
			if cell == gapMark {
				marked = true
				continue
			}
			var year int
			_, err := fmt.Sscanf(strings.TrimPrefix(cell, gapMark+" "), "%d", &year)
			marked = marked || strings.HasPrefix(cell, gapMark)
			if err != nil || (year != was+1) != marked {
				t.Errorf("%d lines: %d after %d, marked %v", lines, year, was, marked)
			}
			was, marked = year, false
			shown++
		}
		want := fmt.Sprintf("Left out: %d more rows. --full shows them.", 12-shown)
		if shown == 12 {
			want = ""
		}
		if got.Foot != want || was != 2042 || lines >= 6 && !slices.Contains(firstCells(got), "2037") {
			t.Errorf("%d lines: foot %q, want %q, last %d, %v", lines, got.Foot, want, was, firstCells(got))
		}
	}
}

// A column that is left out is named, once, with the rows.
func TestLeftOutColumnsAreNamed(t *testing.T) {
	got := twelve().fitting(100)
	if len(got.Columns) != 2 || got.Foot != "Left out: yield. --full shows it." {
		t.Errorf("%d columns, %q", len(got.Columns), got.Foot)
	}
	if foot := got.trimmed(8).Foot; foot != "Left out: yield and 5 more rows. --full shows them." {
		t.Errorf("with rows left out: %q", foot)
	}
	narrow := twelve()
	narrow.Columns[2].Said = "what it yields"
	if foot := narrow.fitting(100).Foot; foot != "Left out: what it yields. --full shows it." {
		t.Errorf("called otherwise: %q", foot)
	}
	for i := range narrow.Rows {
		narrow.Rows[i].Cells[2] = "9"
	}
	if kept := narrow.fitting(100); len(kept.Columns) != 3 || kept.Foot != "" {
		t.Errorf("a table that fits loses %d columns: %q", 3-len(kept.Columns), kept.Foot)
	}
}

// The room for rows is what the notes leave as they are told, in their short form where they have one.
func TestShortNotesLeaveRoom(t *testing.T) {
	r := invented()
	r.Answer, r.Short, r.Lines = &Answer{Sentences: []string{"It goes down."}}, twelve(), 34
	r.Short.Rows, r.Short.Columns[2].Spare = r.Short.Rows[:12], 1
	r.Warnings = []Warning{{Code: "long", Text: strings.Repeat("So it is. ", 150), Usual: "So it is."}}
	var b bytes.Buffer
	if err := r.Text(&b, output.Terminal{Columns: usualColumns}); err != nil {
		t.Fatal(err)
	}
	if text := b.String(); !strings.Contains(text, "Left out: yield. --full shows it.") || !strings.Contains(text, "2036") {
		t.Errorf("rows are left out for a note that is not told:\n%s", text)
	}
}

// A table with a floor keeps so many rows whatever room there is, those that matter first.
func TestFloorOfRows(t *testing.T) {
	x := twelve()
	x.Floor = 5
	x.Rows[2].Key, x.Rows[4].Key = true, true
	if got := strings.Join(firstCells(x.trimmed(0)), " "); got != "2031 … 2033 … 2035 … 2037 … 2042" {
		t.Errorf("rows and marks are %s", got)
	}
	x.Rows = x.Rows[:5]
	if got := x.trimmed(0); len(got.Rows) != 5 || got.Foot != "" {
		t.Errorf("%d of five rows stand: %q", len(got.Rows), got.Foot)
	}
}

// Which option shows the rest is said on a terminal alone, and not where all is shown.
func TestAsideIsOfTheTerminal(t *testing.T) {
	a := &Answer{Sentences: []string{"So it is.", "And so."}, Aside: Aside{Behind: "And so.", Words: "two more with --full"}}
	for detail, want := range map[Detail]bool{Usual: true, Brief: true, Full: false} {
		if got := a.text(output.Terminal{Columns: usualColumns}, detail); strings.Contains(got, "And so (two more with --full).") != want {
			t.Errorf("detail %d: %q", detail, got)
		}
	}
	for _, v := range a.verdicts() {
		if strings.Contains(v.Word+v.Text, "--full") {
			t.Errorf("on a page: %q", v)
		}
	}
	if s, _ := a.Object()[2].Value.([]string); len(s) != 2 || s[1] != "And so." {
		t.Errorf("as JSON: %q", s)
	}
}
