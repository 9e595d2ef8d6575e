package sheet

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// writing is how a file writes its numbers and dates, where it may choose.
type writing struct {
	separator  rune
	points     Place // where a number stands with a decimal point; no line: nowhere
	commas     Place // with a decimal comma
	dayFirst   Place // where a date is that can only begin with its day
	monthFirst Place
	either     Place  // a date that may begin with either
	readings   string // the two dates that it may be
}

var (
	pointNumber = regexp.MustCompile(`^[-+]?[0-9]*\.[0-9]+$`)
	commaNumber = regexp.MustCompile(`^[-+]?[0-9]*,[0-9]+$`)
)

// separatorOf is the sign between the values, seen in the heading line.
func separatorOf(text []byte) rune {
	line, _, _ := bytes.Cut(text, []byte("\n"))
	if bytes.Count(line, []byte(",")) > 0 {
		return ','
	}
	for _, sign := range ";\t" {
		if bytes.ContainsRune(line, sign) {
			return sign
		}
	}
	return ','
}

// look goes through a file once, to see how its numbers and dates are written. What is
// wrong with it the reading says.
func (c *Columns) look(file string, text []byte) (w writing) {
	w.separator = separatorOf(text)
	reader := csv.NewReader(bytes.NewReader(text))
	reader.Comma, reader.ReuseRecord, reader.FieldsPerRecord = w.separator, true, -1
	head, err := reader.Read()
	if err != nil {
		return w
	}
	at := make([]int, len(c.Keys))
	for i := range c.Keys {
		at[i] = -1
		for j, h := range head {
			if strings.TrimSpace(h) == c.heading(i) {
				at[i] = j
			}
		}
	}
	for {
		record, err := reader.Read()
		if err != nil {
			return w
		}
		for i, j := range at {
			if j < 0 || j >= len(record) {
				continue
			}
			line, column := reader.FieldPos(j)
			w.see(&c.Keys[i], strings.TrimSpace(record[j]), Place{file, line, column})
		}
	}
}

// see takes in one value.
func (w *writing) see(k *Key, text string, at Place) {
	first := func(p *Place) {
		if p.Line == 0 {
			*p = at
		}
	}
	switch {
	case k.numeric():
		if pointNumber.MatchString(text) {
			first(&w.points)
		} else if commaNumber.MatchString(text) {
			first(&w.commas)
		}
	case k.Kind == FullDate:
		f := inDigits.FindStringSubmatch(text)
		if f == nil {
			return
		}
		switch a, b := number2(f[1]), number2(f[2]); {
		case a > 12 && b <= 12:
			first(&w.dayFirst)
		case b > 12 && a <= 12:
			first(&w.monthFirst)
		case a <= 12 && b <= 12 && a != b:
			if w.either.Line == 0 {
				w.either, w.readings = at, fmt.Sprintf("%s-%02d-%02d or %s-%02d-%02d", f[3], b, a, f[3], a, b)
			}
		}
	}
}

// numeric tells whether a value may be a number.
func (k *Key) numeric() bool {
	number := func(k Key) bool { return k.Kind == Number || k.Kind == Whole }
	return number(*k) || slices.ContainsFunc(k.Forms, number)
}

func number2(digits string) (n int) {
	for _, d := range digits {
		n = 10*n + int(d-'0')
	}
	return n
}

// settled notes what a file leaves open or says in two ways.
func (w *writing) settled(m *Mistakes) bool {
	before := m.Len()
	switch {
	case w.dayFirst.Line > 0 && w.monthFirst.Line > 0:
		m.Add(w.monthFirst, "the date begins with its month, but the one of line %d with its day; write all as 2026-08-31", w.dayFirst.Line)
	case w.either.Line > 0 && w.dayFirst.Line == 0 && w.monthFirst.Line == 0:
		m.Add(w.either, "no date of the file tells whether the day or the month comes first; write dates as %s", w.readings)
	}
	if w.points.Line > 0 && w.commas.Line > 0 {
		m.Add(w.commas, "a number with a comma, but the one of line %d has a decimal point; write all with a point", w.points.Line)
	}
	return m.Len() == before
}

// plain is a value as the rest of the program reads it.
func (w *writing) plain(k *Key, text string) string {
	switch {
	case k.numeric() && w.commas.Line > 0 && commaNumber.MatchString(text):
		return strings.Replace(text, ",", ".", 1)
	case k.Kind == FullDate:
		if f := inDigits.FindStringSubmatch(text); f != nil {
			day, month := number2(f[1]), number2(f[2])
			if w.monthFirst.Line > 0 {
				day, month = month, day
			}
			return fmt.Sprintf("%s-%02d-%02d", f[3], month, day)
		}
	}
	return text
}
