// Package output is everything between the program's results and the outside:
// files that are written whole or not at all, what a terminal can show, and
// the progress line of long work. It knows nothing of weeds.
package output

import (
	"io"
	"os"
	"strconv"
	"strings"
)

// NarrowestColumns is the least width that text is laid out for; a narrower
// terminal wraps the lines itself.
const NarrowestColumns = 60

// pipeColumns is the width of text that goes to a pipe or a file.
const pipeColumns = 80

// Terminal says what a stream can show.
type Terminal struct {
	Columns     int  // width to lay text out for, NarrowestColumns or more
	Interactive bool // a person is looking: progress, source snippets
	Colour      bool // Interactive, and colour is wanted (NO_COLOR is unset, TERM is not dumb)
	Blocks      bool // Interactive, and block characters can be shown: the locale is UTF-8, TERM is not dumb
}

// Look finds out what a stream can show. COLUMNS, when set, overrules the
// width that the terminal reports; NO_COLOR (any text) switches colour off.
func Look(w io.Writer, getenv func(string) string) Terminal {
	t := Terminal{Columns: pipeColumns}
	if f, ok := w.(*os.File); ok {
		if columns, ok := terminalColumns(f.Fd()); ok {
			t.Interactive = true
			if columns > 0 {
				t.Columns = columns
			}
		}
	}
	if n, err := strconv.Atoi(getenv("COLUMNS")); err == nil && n > 0 {
		t.Columns = n
	}
	t.Columns = max(t.Columns, NarrowestColumns)
	t.Colour = t.Interactive && getenv("NO_COLOR") == "" && getenv("TERM") != "dumb"
	t.Blocks = t.Interactive && getenv("TERM") != "dumb" && unicodeLocale(getenv)
	return t
}

// unicodeLocale tells whether the locale's characters are UTF-8: the first of
// the three variables that is set decides (POSIX, Base Definitions, chapter 8.2).
func unicodeLocale(getenv func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := strings.ToUpper(getenv(name)); v != "" {
			return strings.Contains(v, "UTF-8") || strings.Contains(v, "UTF8")
		}
	}
	return false
}

// Listens tells whether a person sits at a stream that is read from.
func Listens(r io.Reader) bool {
	f, ok := r.(*os.File)
	if !ok {
		return false
	}
	_, ok = terminalColumns(f.Fd())
	return ok
}

// Bold is text in bold where colour is wanted, else the text itself.
func (t Terminal) Bold(s string) string { return t.paint("1", s) }

// Faint is text in a fainter shade where colour is wanted.
func (t Terminal) Faint(s string) string { return t.paint("2", s) }

// Red is text in red where colour is wanted.
func (t Terminal) Red(s string) string { return t.paint("31", s) }

func (t Terminal) paint(code, s string) string {
	if !t.Colour || s == "" {
		return s
	}
	return "\x1b[" + code + "m" + s + "\x1b[0m"
}
