package report

import (
	"fmt"
	"math"
	"strings"
)

// Spark is one quantity over seasons, small enough for a terminal's line.
type Spark struct {
	Name, Unit string
	Log        bool // drawn on a log scale; none then has a mark of its own
	Bands      []Band
}

// sparkSteps are an eighth of a line's height to all of it.
var sparkSteps = []rune("▁▂▃▄▅▆▇█")

// sparkNone stands for none at all on a log scale.
const sparkNone = '·'

// sparkTable sets the median of every quantity between the ends of its 90 %
// range, each quantity on one scale of its own.
func sparkTable(sparks []Spark, first, last int) Table {
	t := Table{Title: "At a glance", Keys: 1, Columns: []Column{{Head: fmt.Sprintf("%d–%d", first, last)}},
		Legend: "One column a season, each quantity on its own scale; heads and seed by powers of ten, · for none."}
	rows := []Row{{Cells: []string{"19 in 20 below"}}, {Cells: []string{"half below"}}, {Cells: []string{"1 in 20 below"}}}
	for _, s := range sparks {
		t.Columns = append(t.Columns, Column{Head: s.Name, Unit: s.Unit})
		for i, line := range s.Lines() {
			rows[i].Cells = append(rows[i].Cells, line)
		}
	}
	t.Rows = rows
	return t
}

// Lines are the 95 %, 50 % and 5 % points of a quantity.
func (s Spark) Lines() [3]string {
	low, high := math.Inf(1), math.Inf(-1)
	points := func(b Band) [3]float64 {
		if b.N == 0 {
			return [3]float64{math.NaN(), math.NaN(), math.NaN()}
		}
		return [3]float64{s.scaled(b.P95), s.scaled(b.P50), s.scaled(b.P05)}
	}
	for _, b := range s.Bands {
		for _, x := range points(b) {
			if !math.IsNaN(x) && !math.IsInf(x, 0) {
				low, high = math.Min(low, x), math.Max(high, x)
			}
		}
	}
	var out [3]strings.Builder
	for _, b := range s.Bands {
		for i, x := range points(b) {
			out[i].WriteRune(sparkMark(x, low, high))
		}
	}
	return [3]string{out[0].String(), out[1].String(), out[2].String()}
}

func (s Spark) scaled(x float64) float64 {
	if s.Log {
		return math.Log(x) // −∞ for none
	}
	return x
}

func sparkMark(x, low, high float64) rune {
	switch {
	case math.IsNaN(x):
		return ' '
	case math.IsInf(x, 0):
		return sparkNone
	case high <= low:
		return sparkSteps[len(sparkSteps)/2]
	}
	step := int((x - low) / (high - low) * float64(len(sparkSteps)))
	return sparkSteps[min(step, len(sparkSteps)-1)]
}
