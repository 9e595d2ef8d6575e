package sim

import (
	"math"
	"testing"

	"rundown/params"
	"rundown/params/sheet"
	"rundown/rotations"
)

// What the inner loop draws is the library's own quantile, to 1e-9 of the value; where
// a table stands for it, to 5e-3 of the width of its 95 % range.
func TestDrawnIsTheQuantile(t *testing.T) {
	lib, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	var m sheet.Mistakes
	plan := rotations.Read("starter.yaml", rotations.Starter(), &m)
	c := plan.Resolve(lib, &m)
	if m.Len() > 0 {
		t.Fatal(m.Error())
	}
	kinds := map[params.SpreadKind]int{}
	for _, v := range c.Space.Values {
		d := newDrawn(v)
		kinds[v.Spread.Kind]++
		for _, u := range []float64{1e-12, 1e-4, 0.01, 0.2, 0.5, 0.77, 0.99, 1 - 1e-6} {
			want, near := v.Quantile(u), 1e-9*math.Abs(v.Quantile(u))+1e-12
			if d.table != nil {
				near = 5e-3 * (v.Quantile(0.975) - v.Quantile(0.025))
			}
			if got := d.at(u); math.Abs(got-want) > near {
				t.Errorf("%s at %v: %v, the quantile is %v", v.Path, u, got, want)
			}
		}
	}
	if len(kinds) < 4 {
		t.Errorf("only %v kinds of spread were met", kinds)
	}
}
