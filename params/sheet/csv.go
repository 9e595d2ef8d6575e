package sheet

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"rundown/params/date"
)

// MaxCSVBytes is the largest CSV file that is read.
const MaxCSVBytes = 50 << 20

// How many columns a heading may have, and how many bytes a line.
const (
	mostCSVColumns = 1000
	mostCSVLine    = 1 << 16
)

// mostCSVMistakes is after how many mistakes the reading of a CSV file ends.
const mostCSVMistakes = 50

// Columns says what a CSV file may hold.
type Columns struct {
	Keys    []Key             // one per column; Number, Whole, dates, Text, Name, Choice, YesNo
	Headers map[string]string // key → heading in this file, where it differs
	Extra   bool              // other columns may stand in the file and are skipped
	Loose   bool              // as programs save it: semicolons or tabs, decimal commas, 31/08/2026 or 08/31/2026 where the file decides it
	Holes   bool              // a value may be missing in a line, in any column but the first
}

// Row is one line of a CSV file.
type Row struct {
	Place Place    // of the line
	Cells []*Value // by key; nil where the column is absent, empty or a mistake
	Good  bool     // the line had no mistake
}

// ReadCSV reads a CSV file with a heading line, row by row and without holding
// the file. Every mistake is noted with its line; each row with the right number
// of values is handed to use. The Row is used again for the next line.
func ReadCSV(file string, r io.Reader, c Columns, m *Mistakes, use func(*Row)) {
	before := m.Len()
	limited := &io.LimitedReader{R: r, N: MaxCSVBytes + 1}
	in := bufio.NewReader(&linewise{r: limited})
	if b, err := in.Peek(3); err == nil && string(b) == "\ufeff" {
		_, _ = in.Discard(3) // three bytes are there: Peek has just shown them
	}
	how := writing{separator: ','}
	if c.Loose {
		text, err := io.ReadAll(in)
		if err == nil && limited.N > 0 { // else the reading below says what is wrong
			how = c.look(file, text)
		}
		in = bufio.NewReader(io.MultiReader(bytes.NewReader(text), failing{err}))
		if !how.settled(m) {
			return
		}
	}
	reader := csv.NewReader(in)
	reader.Comma, reader.ReuseRecord, reader.FieldsPerRecord = how.separator, true, -1
	head, err := reader.Read()
	if err != nil {
		csvError(file, err, m)
		return
	}
	at, ok := c.find(file, head, m)
	if !ok {
		return
	}
	width := len(head)
	row := Row{Cells: make([]*Value, len(c.Keys))}
	for {
		record, err := reader.Read()
		if limited.N <= 0 {
			m.Add(Place{File: file}, "the file is larger than 50 MB; is it the right file?")
			return
		}
		if err != nil {
			csvError(file, err, m)
			return
		}
		line, _ := reader.FieldPos(0)
		row.Place = Place{File: file, Line: line}
		if len(record) != width {
			m.Add(row.Place, "the line has %s; the heading has %d", counted(len(record), "value"), width)
		} else {
			row.Good = c.cells(file, reader, record, at, row.Cells, &how, m)
			use(&row)
		}
		if m.Len()-before >= mostCSVMistakes {
			m.Add(row.Place, "too many mistakes; reading ended here")
			return
		}
	}
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// csvError notes what ended the reading; the end of the file is no mistake
// once the heading has been read.
func csvError(file string, err error, m *Mistakes) {
	var parse *csv.ParseError
	var long *longLine
	switch {
	case errors.Is(err, io.EOF):
		return
	case errors.As(err, &parse):
		m.Add(Place{file, parse.Line, parse.Column}, "a quotation mark is out of place; put a value that holds one, or a comma, in quotation marks and "+
			"double it inside")
	case errors.As(err, &long):
		m.Add(Place{File: file, Line: long.number}, "the line is longer than %d kB; is it the right file?", mostCSVLine>>10)
	default:
		m.Add(Place{File: file}, "cannot be read: %v", err)
	}
}

// linewise passes lines on and ends at one that is too long to be a row, so that
// none of it need be kept.
type linewise struct {
	r    io.Reader
	line int // lines passed
	at   int // bytes of the line that is being passed
}

// longLine is the end of reading at a line that is too long.
type longLine struct{ number int }

func (e *longLine) Error() string { return fmt.Sprintf("line %d is too long", e.number) }

func (l *linewise) Read(b []byte) (int, error) {
	n, err := l.r.Read(b)
	for _, c := range b[:n] {
		l.at++
		if c == '\n' {
			l.line++
			l.at = 0
		}
		if l.at > mostCSVLine {
			return 0, &longLine{l.line + 1}
		}
	}
	return n, err
}

// failing is a reader that gives an error and nothing else.
type failing struct{ err error }

func (f failing) Read([]byte) (int, error) {
	if f.err == nil {
		return 0, io.EOF
	}
	return 0, f.err
}

// find looks for the columns in the heading line.
func (c *Columns) find(file string, head []string, m *Mistakes) (at []int, ok bool) {
	before := m.Len()
	place := Place{File: file, Line: 1}
	if len(head) == 1 && len(c.Keys) > 1 {
		for _, sep := range []struct{ sign, name string }{{";", "semicolons"}, {"\t", "tabs"}} {
			if strings.Contains(head[0], sep.sign) {
				m.Add(place, "the values are separated by %s; expected commas", sep.name)
				return nil, false
			}
		}
	}
	if len(head) > mostCSVColumns {
		m.Add(place, "the heading has %d columns; at most %d are read", len(head), mostCSVColumns)
		return nil, false
	}
	names := make([]string, len(head))
	for i, h := range head {
		names[i] = strings.TrimSpace(h)
		if slices.Contains(names[:i], names[i]) && names[i] != "" {
			m.Add(place, "the column %s stands twice in the heading", quote(names[i]))
		}
	}
	at = make([]int, len(c.Keys))
	var wanted, others []string
	for i := range c.Keys {
		wanted = append(wanted, c.heading(i))
	}
	for _, n := range names {
		if !slices.Contains(wanted, n) {
			others = append(others, n)
		}
	}
	if c.strange(names, wanted) {
		m.Add(place, "this is no heading of such a file; expected CSV that begins with the line %s", strings.Join(c.required(), ","))
		return nil, false
	}
	for i, want := range wanted {
		at[i] = slices.Index(names, want)
		if at[i] < 0 && c.Keys[i].Required {
			near := Nearest(want, others)
			if near != "" {
				near = fmt.Sprintf("; is it %q? Then rename that column", near)
			}
			m.Add(place, "the heading has no column %q%s; found: %s", want, near, strings.Join(names, ", "))
		}
	}
	for _, n := range others {
		if !c.Extra {
			m.Add(place, "the column %s is not known; %s", quote(n), DidYouMean(n, wanted))
		}
	}
	return at, m.Len() == before
}

// strange tells whether a heading shares nothing with what is read: another kind of file.
func (c *Columns) strange(names, wanted []string) bool {
	return len(c.required()) > 1 && !slices.ContainsFunc(names, func(n string) bool { return slices.Contains(wanted, n) || Nearest(n, wanted) != "" })
}

// required are the headings of the columns that a file must have.
func (c *Columns) required() (out []string) {
	for i := range c.Keys {
		if c.Keys[i].Required {
			out = append(out, c.heading(i))
		}
	}
	return out
}

func (c *Columns) heading(i int) string {
	if h := c.Headers[c.Keys[i].Name]; h != "" {
		return h
	}
	return c.Keys[i].Name
}

// cells reads the values of one line and tells whether all are good.
func (c *Columns) cells(file string, reader *csv.Reader, record []string, at []int, cells []*Value, how *writing, m *Mistakes) bool {
	before := m.Len()
	for i := range c.Keys {
		cells[i] = nil
		if at[i] < 0 {
			continue
		}
		k := c.Keys[i]
		k.Name = c.heading(i)
		line, column := reader.FieldPos(at[i])
		n := &Node{Place: Place{file, line, column}, Text: strings.TrimSpace(record[at[i]])}
		if !utf8.ValidString(n.Text) {
			m.Add(n.Place, "found a letter that is not UTF-8 in the column %q; save the file as UTF-8 text", k.Name)
			continue
		}
		if c.Loose {
			n.Text = how.plain(&k, n.Text)
		}
		if k.Kind == FullDate {
			if d, err := date.ParseSpoken(n.Text); err == nil {
				n.Text = d.String()
			}
		}
		if n.Text == "" {
			if k.Required && (i == 0 || !c.Holes) {
				m.Add(n.Place, "nothing stands in the column %q; expected %s", k.Name, k.expects())
			}
			continue
		}
		cells[i] = readValue(n, &k, k.Name, m)
	}
	return m.Len() == before
}
