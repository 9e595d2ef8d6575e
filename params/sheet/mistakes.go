// Package sheet reads YAML and CSV strictly and keeps the place of everything
// it reads. A table of keys (Table, Key) says what a file may hold; it drives
// the reading, the messages and the JSON Schema. Nothing is guessed, cut short
// or left at a silent default: every mistake of meaning is collected with its
// file, line and column, so that a user sees all of them at once.
//
// YAML is read through gopkg.in/yaml.v3 as a tree of nodes only; its decoding
// into Go values, which cuts 1.5 to 1 and skips an empty value, is not used.
package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Place is where something stands in a file. Line and Column count from 1;
// Column is 0 when only the line is known, Line 0 when only the file is.
type Place struct {
	File         string
	Line, Column int
}

// String is file:line:column, as far as it is known.
func (p Place) String() string {
	switch {
	case p.Line == 0:
		return p.File
	case p.Column == 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// Mistake is one thing that is wrong with a file.
type Mistake struct {
	Place Place
	Text  string // what was found, what was expected, what to try
}

// String is the mistake as a user sees it.
func (m Mistake) String() string { return m.Place.String() + ": " + m.Text }

// Mistakes collects mistakes. The zero value is empty and ready.
type Mistakes struct {
	list []Mistake
	said map[Mistake]bool
}

// Add notes a mistake; the same text at the same place is kept once. Control
// characters, which files may hold and terminals obey, are written out.
func (m *Mistakes) Add(place Place, format string, args ...any) {
	x := Mistake{place, visible(fmt.Sprintf(format, args...))}
	if m.said[x] {
		return
	}
	if m.said == nil {
		m.said = map[Mistake]bool{}
	}
	m.said[x] = true
	m.list = append(m.list, x)
}

func visible(s string) string {
	if !strings.ContainsFunc(s, unseen) {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if unseen(r) {
			b.WriteString(strings.Trim(strconv.QuoteRune(r), "'"))
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// Len is the number of mistakes.
func (m *Mistakes) Len() int { return len(m.list) }

// Sorted gives the mistakes in order of file, line and column; those of one
// place in the order in which they were found, once where they differ in numbers alone.
func (m *Mistakes) Sorted() []Mistake {
	s := slices.Clone(m.list)
	slices.SortStableFunc(s, func(a, b Mistake) int {
		return cmp.Or(cmp.Compare(a.Place.File, b.Place.File),
			cmp.Compare(a.Place.Line, b.Place.Line),
			cmp.Compare(a.Place.Column, b.Place.Column))
	})
	return onceEach(s)
}

// mostShown keeps a hopeless file from filling the screen.
const mostShown = 100

// Error gives the mistakes one per line, in order; after the hundredth it says
// how many more there are.
func (m *Mistakes) Error() string {
	s := m.Folded()
	lines := make([]string, 0, min(len(s), mostShown+1))
	for i, x := range s {
		if i == mostShown {
			lines = append(lines, fmt.Sprintf("… and %d more mistakes", len(s)-mostShown))
			break
		}
		lines = append(lines, x.String())
	}
	return strings.Join(lines, "\n")
}
