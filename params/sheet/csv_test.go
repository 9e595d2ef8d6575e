package sheet

import (
	"fmt"
	"strings"
	"testing"
)

func columns() Columns {
	return Columns{Keys: []Key{
		{Name: "date", Kind: FullDate, Required: true},
		{Name: "count", Kind: Whole, Low: 0, High: 99, Required: true},
		{Name: "note", Kind: Text},
	}}
}

// readCSV gives what was read, one line per good row, and the mistakes.
func readCSV(text string, c Columns) (rows, mistakes string) {
	var m Mistakes
	ReadCSV("f", strings.NewReader(text), c, &m, func(r *Row) {
		if r.Good {
			rows += fmt.Sprintf("%d %s %v;", r.Place.Line, r.Cells[0].Date, r.Cells[1].Number)
		}
	})
	return rows, m.Error()
}

func TestCSV(t *testing.T) {
	mapped, extra := columns(), columns()
	mapped.Headers = map[string]string{"date": "Day", "count": "No"}
	extra.Extra = true
	for _, c := range []struct {
		why, text      string
		columns        Columns
		rows, mistakes string
	}{
		{"as it should be, in another order, CRLF and BOM", "\ufeffcount,date\r\n3,2026-08-01\r\n", columns(), "2 2026-08-01 3;", ""},
		{"headings of the user's own", "Day,No\n2026-08-01,3\n", mapped, "2 2026-08-01 3;", ""},
		{"other columns where they are allowed", "date,count,wind\n2026-08-01,3,9\n", extra, "2 2026-08-01 3;", ""},
		{"and where they are not", "date,count,wind\n", columns(), "", `f:1: the column "wind" is not known; expected one of: date, count, note`},
		{"a column missing", "date,cuont\n", extra, "", `f:1: the heading has no column "count"; is it "cuont"? Then rename that column; found: date, cuont`},
		{"another file", "# a plan\nfield:\n", columns(), "", "f:1: this is no heading of such a file; expected CSV that begins with the line date,count"},
		{"a column twice", "date,count,count\n", columns(), "", `f:1: the column "count" stands twice in the heading`},
		{"tabs", "date\tcount\n", columns(), "", "f:1: the values are separated by tabs; expected commas"},
		{"a fraction, and the good rows about it", "date,count\n2026-08-01,1\n2026-08-02,1.5\n2026-08-03,2\n", columns(), "2 2026-08-01 1;4 2026-08-03 2;",
			`f:3:12: found "1.5" for "count"; expected a whole number from 0 to 99`},
		{"a hole", "date,count\n2026-08-01,\n", columns(), "", `f:2:12: nothing stands in the column "count"; expected a whole number from 0 to 99`},
		{"a short line", "date,count\n2026-08-01\n", columns(), "", "f:2: the line has 1 value; the heading has 2"},
		{"a stray quotation mark", "date,count\n2026-08-01,3\"\n", columns(), "",
			"f:2:13: a quotation mark is out of place; put a value that holds one, or a comma, in quotation marks and double it inside"},
		{"more columns than any file has", "date,count" + strings.Repeat(",x", 999) + "\n", columns(), "",
			"f:1: the heading has 1001 columns; at most 1000 are read"},
		{"a heading without end", "date,count" + strings.Repeat("x", mostCSVLine) + "\n", columns(), "", "f:1: the line is longer than 64 kB; is it the right file?"},
		{"a line without end", "date,count\n2026-08-01,1\n2026-08-02,\"" + strings.Repeat("x", mostCSVLine) + "\n", columns(), "2 2026-08-01 1;",
			"f:3: the line is longer than 64 kB; is it the right file?"},
		{"a comma inside quotation marks", "date,count,note\n2026-08-01,3,\"a, b\"\n", columns(), "2 2026-08-01 3;", ""},
	} {
		rows, mistakes := readCSV(c.text, c.columns)
		if rows != c.rows || mistakes != c.mistakes {
			t.Errorf("%s:\n got %q %s\nwant %q %s", c.why, rows, mistakes, c.rows, c.mistakes)
		}
	}
}

// endless gives the same line for ever: neither wrong lines nor a file without
// end may keep the reader busy.
type endless struct{ rest, line string }

func (e *endless) Read(p []byte) (int, error) {
	if e.rest == "" {
		e.rest = strings.Repeat(e.line, 1+len(p)/len(e.line))
	}
	n := copy(p, e.rest)
	e.rest = e.rest[n:]
	return n, nil
}

func TestCSVEnds(t *testing.T) {
	var m Mistakes
	ReadCSV("f", &endless{"date,count\n", "x,y\n"}, columns(), &m, func(*Row) {})
	if m.Len() != mostCSVMistakes+1 {
		t.Errorf("%d mistakes were noted; reading should end after %d", m.Len(), mostCSVMistakes)
	}
	if testing.Short() {
		return
	}
	m = Mistakes{}
	ReadCSV("f", &endless{"date,count\n", "2026-08-01,1" + strings.Repeat(" ", 4000) + "\n"}, columns(), &m, func(*Row) {})
	if got := m.Error(); got != "f: the file is larger than 50 MB; is it the right file?" {
		t.Errorf("a file without end: %s", got)
	}
}
