package findings

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/output"
	"rundown/cmd/internal/report"
	"rundown/params"
)

// everyValue is all values of the library, by kind.
func everyValue(t *testing.T) map[string][]*params.Value {
	t.Helper()
	l, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]*params.Value{}
	for _, kind := range params.Kinds {
		for _, name := range l.Names(kind) {
			e := l.Find(kind, name)
			for _, key := range e.Keys {
				out[kind] = append(out[kind], e.Value(key))
			}
		}
	}
	return out
}

// No name of a value is cut, in a table of 100 columns nor in a picture, and with its
// entry it is no other's.
func TestNamesAreNotCut(t *testing.T) {
	for kind, values := range everyValue(t) {
		table := report.Table{Keys: 3, Columns: []report.Column{{Head: "", Right: true}, {Head: "Input"}, {Head: "Of"}, {Head: "Evidence"},
			{Head: "Total", Band: true}}}
		dots := &figure.Dots{X: figure.Scale{Name: "Share", Kind: figure.Linear}, Main: "total"}
		seen := map[string]string{}
		for _, v := range values {
			name, _ := shortName(v)
			if n := utf8.RuneCountInString(name); n == 0 || n > 28 {
				t.Errorf("%s: %q has %d characters", v.Path, name, n)
			}
			if full := name + "/" + strings.Split(v.Path, "/")[1]; seen[full] != "" {
				t.Errorf("%s and %s are both %s", v.Path, seen[full], full)
			} else {
				seen[full] = v.Path
			}
			_, of := shortName(v)
			table.Rows = append(table.Rows, report.Row{Cells: []string{"100", name, of, "published", "0.22 (0.20–0.24)"}})
			dots.Rows = append(dots.Rows, figure.DotRow{Name: shortValue(v), Main: figure.Interval{Value: 0.5, Low: 0.4, High: 0.6}})
		}
		var b strings.Builder
		r := &report.Report{Tables: []report.Table{table}}
		if err := r.Text(&b, output.Terminal{Columns: 100}); err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(b.String(), "Evidence"); n != 1 || strings.Contains(b.String(), "…") {
			t.Errorf("%s: the table has %d parts, or a name is cut:\n%s", kind, n, b.String())
		}
		for _, line := range strings.Split(b.String(), "\n") {
			if utf8.RuneCountInString(line) > 100 {
				t.Fatalf("%s: a line of %d characters: %s", kind, utf8.RuneCountInString(line), line)
			}
		}
		var svg bytes.Buffer
		if err := figure.Write(dots, figure.SVG, &svg); err != nil {
			t.Fatal(err)
		}
		if at := strings.Index(svg.String(), "…"); at >= 0 {
			t.Errorf("%s: a name is cut in the picture: %s", kind, svg.String()[max(0, at-80):at+3])
		}
	}
}
