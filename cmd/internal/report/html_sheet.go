package report

import (
	"regexp"
	"strings"

	"rundown/cmd/internal/figure"
)

// sheet is a table ready for the template.
type sheet struct {
	Title, Legend string
	Label         string // for those who cannot see where it stands
	Head          []Column
	Lines         []line
	Cards         bool // too wide for a phone: each row is shown as a card there
}

type line struct {
	Cells []cellView
	Gap   int // above 0: it stands for rows that are left out, over so many columns
}

// cellView is one cell: 180 (40–620) comes apart, so that the range can stand
// back behind the median.
type cellView struct {
	Head, Unit   string // of its column, for cards
	Middle, Rest string
	Marks        []string // of notes, in the first cell
	Key, Right   bool
}

// widestOnPhone is how many columns fit a phone.
const widestOnPhone = 3

func newSheet(t Table, within string, marks map[int]string) sheet {
	s := sheet{Label: within + ", table", Title: t.Title, Legend: t.Legend, Head: t.Columns, Cards: len(t.Columns) > widestOnPhone}
	if t.Title != "" {
		s.Label = within + ": " + t.Title
	}
	for _, r := range t.Rows {
		var l line
		if r.Gap {
			s.Lines = append(s.Lines, line{Gap: len(t.Columns)})
			continue
		}
		for c, column := range t.Columns {
			text := Minus(r.Cells[c])
			v := cellView{Head: column.Head, Unit: column.Unit, Middle: text, Key: c < max(t.Keys, 1), Right: column.Right || column.Band}
			if column.Band {
				if middle, rest, ok := strings.Cut(text, " ("); ok {
					v.Middle, v.Rest = middle, "("+rest
				}
			}
			if c == 0 && r.Season > 0 && marks[r.Season] != "" {
				v.Marks = strings.Split(marks[r.Season], ",")
			}
			l.Cells = append(l.Cells, v)
		}
		s.Lines = append(s.Lines, l)
	}
	return s
}

// hyphenMinus is a hyphen that stands for a minus.
var hyphenMinus = regexp.MustCompile(`(^|[ (])-([0-9])`)

// minus sets a true minus before numbers.
func Minus(s string) string { return hyphenMinus.ReplaceAllString(s, "${1}−${2}") }

// dataTable is the numbers of a picture as a table: words to the left, numbers
// to the right.
func dataTable(d figure.Data) Table {
	t := Table{Title: d.Title, Keys: 1}
	for c, head := range d.Head {
		column := Column{Head: head, Right: c > 0}
		for _, r := range d.Rows {
			if !numberish(r[c]) {
				column.Right = false
			}
		}
		t.Columns = append(t.Columns, column)
	}
	for _, r := range d.Rows {
		t.Rows = append(t.Rows, Row{Cells: r})
	}
	return t
}

// numberish tells whether a cell reads as one number, or as none.
func numberish(s string) bool {
	return s == "–" || s == "none" || strings.Trim(s, "0123456789.,%−-<×⁻⁰¹²³⁴⁵⁶⁷⁸⁹ ") == ""
}
