package figure

import (
	"bytes"
	"math"
	"strings"
	"testing"
)

// Panels without columns, spreads without values, counts of nothing and intervals
// without an end are drawn as far as they go, and said without a word that is none.
func TestUpdatedOdd(t *testing.T) {
	inf := math.Inf(1)
	f := &Updated{Before: "before", After: "after", Counted: "counted", Panels: []UpdatedPanel{
		{Name: "Nothing", Kind: Log},
		{Name: "One", Unit: "per m²", Kind: Log, Columns: []UpdatedColumn{{Label: "2027", Before: None(), After: None()}}},
		{Name: "Two", Unit: "per m²", Kind: Log, Columns: []UpdatedColumn{
			{Label: "12 Apr 2027", Before: Spread{0, 0, 0, 0, 0, 1}, After: Exactly(3), Counts: []Interval{{0, 0, inf}, {2, math.NaN(), inf}}},
			{Label: "a very long label that does not fit anywhere", Before: Spread{1, 2, 3, 4, 1e6, 0.2}, After: None()}}},
	}}
	for _, g := range []*Updated{{}, f} {
		for _, format := range []Format{PNG, SVG} {
			var b bytes.Buffer
			if err := Write(g, format, &b); err != nil || b.Len() == 0 {
				t.Errorf("%s: %v", format, err)
			}
			if s := b.String(); format == SVG && (strings.Contains(s, "NaN") || strings.Contains(s, "Inf")) {
				t.Errorf("the picture holds a number that is none")
			}
		}
		for _, d := range g.data() {
			for _, row := range d.Rows {
				if line := strings.Join(row, " "); strings.Contains(line, "NaN") || strings.Contains(line, "Inf") || len(row) != len(d.Head) {
					t.Errorf("%q under %q", row, d.Head)
				}
			}
		}
	}
}
