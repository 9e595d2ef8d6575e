package figure

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// Rows of a weak grade stand out: their colour is in the picture only when the
// grade is named as weak.
func TestWeakGradesStandOut(t *testing.T) {
	d := &Dots{X: Scale{Name: "Index", Kind: Linear}, Grades: []string{"read", "guessed"},
		Rows: []DotRow{{Name: "a", Main: Interval{0.4, 0.3, 0.5}, Grade: "read"}, {Name: "b", Main: Interval{0.2, 0.1, 0.3}, Grade: "guessed"}}}
	c := Vermilion.colour()
	hue := strings.ToLower(fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B))
	marks := func() int {
		var b bytes.Buffer
		if err := Write(d, SVG, &b); err != nil {
			t.Fatal(err)
		}
		return strings.Count(strings.ToLower(b.String()), hue)
	}
	if n := marks(); n != 0 {
		t.Errorf("%d marks in %s without a weak grade", n, hue)
	}
	d.Weak = []string{"guessed"}
	if n := marks(); n < 2 {
		t.Errorf("%d marks in %s, expected the row's and the key's", n, hue)
	}
}
