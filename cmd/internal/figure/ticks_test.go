package figure

import (
	"math"
	"strings"
	"testing"
)

func labelsOf(ticks []tickMark) string {
	var out []string
	for _, t := range ticks {
		out = append(out, t.label)
	}
	return strings.Join(out, " ")
}

func TestTicks(t *testing.T) {
	cases := []struct {
		why  string
		got  []tickMark
		want string
	}{
		{"steps of 1-2-5", linearTicks(0, 19.9, 4, false), "0 5 10 15"},
		{"a true minus, and no tick outside", linearTicks(-430, 1290, 4, false), "0 500 1,000"},
		{"thousands have commas", linearTicks(0, 21000, 5, false), "0 5,000 10,000 15,000 20,000"},
		{"decimals as the step needs", linearTicks(0, 0.21, 5, false), "0 0.05 0.10 0.15 0.20"},
		{"fractions as percent", linearTicks(0, 1, 6, true), "0% 20% 40% 60% 80% 100%"},
		{"every decade", logTicks(0, 3, 4), "1 10 100 1,000"},
		{"every third of too many", logTicks(-4, 5, 4), "0.001 1 1,000"},
		{"1-2-5 within a decade", logTicks(math.Log10(3), math.Log10(29), 4), "5 10 20"},
		{"first and middle of months", dateTicks(20720, 20775, 4), "1 Oct 15 Oct 1 Nov 15 Nov"}, // 24 Sep to 18 Nov 2026
		{"days", dateTicks(20736, 20739, 5), "10 Oct 11 Oct 12 Oct 13 Oct"},
		{"years", dateTicks(20454, 22646, 6), "2026 2028 2030 2032"}, // 1 Jan 2026 to 2 Jan 2032
	}
	for _, c := range cases {
		if got := labelsOf(c.got); got != c.want {
			t.Errorf("%s: ticks %q, want %q", c.why, got, c.want)
		}
	}
}

func TestShortNumbers(t *testing.T) {
	cases := []struct {
		v    float64
		want string
	}{
		{0, "0"}, {0.0312, "0.031"}, {0.318, "0.32"}, {4.24, "4.2"}, {3, "3.0"}, {38.4, "38"}, {999, "1,000"}, {1234, "1,200"},
		{-120, "−120"}, {12345678, "1.2×10⁷"}, {0.00001, "10⁻⁵"}, {math.NaN(), "–"}, {math.Inf(1), "–"},
	}
	for _, c := range cases {
		if got := short(c.v); got != c.want {
			t.Errorf("short(%g) = %q, want %q", c.v, got, c.want)
		}
	}
}

// 0 lies in the strip, below every positive value; negative values are gaps.
func TestLogAxisHasAPlaceForNone(t *testing.T) {
	a := newAxis(Log, []float64{0, 0.4, 300}, 4)
	a.lay(200, 0)
	zero, ok := a.at(0)
	least, _ := a.at(1e-9)
	if !ok || !(zero > least+noneHeight/2) || zero > 200 {
		t.Errorf("0 lies at %g, the foot of the axis at %g, want it in the strip between there and 200", zero, least)
	}
	if _, ok := a.at(-1); ok {
		t.Error("a negative value has a place on a log axis")
	}
	one, _ := a.at(1)
	ten, _ := a.at(10)
	hundred, _ := a.at(100)
	if math.Abs((one-ten)-(ten-hundred)) > 1e-9 || one <= ten {
		t.Errorf("decades are not equally long: 1, 10, 100 at %g, %g, %g", one, ten, hundred)
	}
	b := newAxis(Log, []float64{0.4, 300}, 4)
	b.lay(200, 0)
	if _, ok := b.at(0); ok || b.none {
		t.Error("an axis without zeros has a strip for them")
	}
}

// A column of a season ends where its value stands: the first at a third of
// three seasons, and the start at the left edge.
func TestBandTurnsAboveWhatWasDone(t *testing.T) {
	e := columnEdges(box{100, 0, 400, 10}, 3)
	if want := []float64{100, 200, 300, 400}; len(e) != 4 || e[0] != want[0] || e[1] != want[1] || e[3] != want[3] {
		t.Errorf("edges %v, want %v", e, want)
	}
}
