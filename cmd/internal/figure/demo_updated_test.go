package figure

import (
	"fmt"
	"math"
)

// demoUpdated is n invented columns of two quantities, the second at dates; the
// first of each was counted, the last found none.
func demoUpdated(n int) *Updated {
	f := &Updated{Caption: Caption{Title: "Far Piece: what the counts made of the forecast", Note: invented},
		Before: "the forecast", After: "after the counts", Counted: "counted, with its interval"}
	seasons, dates := UpdatedPanel{Name: "Weed heads", Unit: "per m², mid-June", Kind: Log},
		UpdatedPanel{Name: "Weed plants", Unit: "per m², on the day", Kind: Log}
	spread := func(m, gsd float64) Spread {
		s := Spread{P50: m, P25: m / math.Pow(gsd, 0.67), P75: m * math.Pow(gsd, 0.67), P05: m / math.Pow(gsd, 1.64), P95: m * math.Pow(gsd, 1.64)}
		return s
	}
	for i := range n {
		m := 30 * math.Exp(math.Sin(float64(i)))
		c := UpdatedColumn{Label: fmt.Sprint(2027 + i), Before: spread(m, 3), After: spread(1.7*m, 1.4)}
		if i < 3 {
			c.Counts = []Interval{{1.9 * m, 1.2 * m, 3.1 * m}}
		}
		seasons.Columns = append(seasons.Columns, c)
		c.Label = fmt.Sprintf("12 Apr %d", 2027+i)
		if i == n-1 {
			c.Counts, c.After = []Interval{{0, 0, 0.4}}, Spread{0, 0, 0, 0.2, 1.1, 0.7}
		}
		dates.Columns = append(dates.Columns, c)
	}
	f.Panels = []UpdatedPanel{seasons, dates}
	return f
}
