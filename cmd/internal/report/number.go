package report

import (
	"math"
	"strconv"
	"strings"
)

// Form says how a quantity is written for a person.
type Form struct {
	Digits int     // significant digits
	Least  float64 // nothing finer than this is written, e.g. 0.01
	// Even: all numbers of a band are rounded to one step, taken from the
	// width of the band (yield, money); else each to its own digits (densities,
	// which span powers of ten).
	Even bool
}

// Band writes a median with its 90 % range: 180 (40–620). A band without
// values is a dash.
func (f Form) Band(b Band) string {
	if b.N == 0 {
		return "–"
	}
	write := f.Value
	if f.Even {
		step := f.Step(b.P95-b.P05, b.P50)
		write = func(x float64) string { return Rounded(x, step) }
	}
	return between(write(b.P50), write(b.P05), write(b.P95))
}

// Around writes a band whose middle is written already, to a rounding of its own.
func (f Form) Around(middle string, b Band) string {
	if b.N == 0 {
		return "–"
	}
	step := f.Step(b.P95-b.P05, b.P50)
	return between(middle, Rounded(b.P05, step), Rounded(b.P95, step))
}

// between writes a middle and what lies on either side of it.
func between(middle, low, high string) string {
	if low == high {
		return middle
	}
	to := "–"
	if strings.HasPrefix(low, "-") || strings.HasPrefix(high, "-") {
		to = " to "
	}
	return middle + " (" + low + to + high + ")"
}

// Value writes one number.
func (f Form) Value(x float64) string {
	if math.IsNaN(x) {
		return "–"
	}
	a := math.Abs(x)
	switch {
	case a == 0:
		return "0"
	case a < f.Least && !f.Even:
		return "<" + Rounded(f.Least, f.Least)
	}
	return Rounded(x, f.Step(0, x))
}

// step is the power of ten to round to: two digits of the span where there is
// one, else Digits of the number.
func (f Form) Step(span, x float64) float64 {
	digits := f.Digits
	if span > 0 {
		x, digits = span, 2
	}
	if x == 0 {
		return f.Least
	}
	power := math.Floor(math.Log10(math.Abs(x))) + 1
	step := math.Pow(10, power-float64(digits))
	if math.Round(math.Abs(x)/step)*step >= math.Pow(10, power) {
		step *= 10 // 9.96 is 10 in two digits, not 10.0
	}
	return math.Max(f.Least, step)
}

// rounded writes x to a step that is a power of ten, with commas between
// thousands; what rounds to nothing is 0.
func Rounded(x, step float64) string {
	decimals := 0
	if step < 1 {
		decimals = int(math.Round(-math.Log10(step)))
	} else {
		x = math.Round(x/step) * step
	}
	s := strconv.FormatFloat(math.Abs(x), 'f', decimals, 64)
	whole, fraction, _ := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if fraction != "" {
		whole += "." + fraction
	}
	switch {
	case strings.Trim(s, "0.") == "":
		return "0"
	case x < 0:
		return "-" + whole
	}
	return whole
}

// counted is a number of things, with commas between thousands.
func Counted(n int) string { return Form{Digits: 9, Least: 1}.Value(float64(n)) }

// Of100 writes a share as runs of a hundred; shares that would round to all
// or none say so only when they are.
func Of100(share float64) string {
	n := math.Round(100 * share)
	switch {
	case share > 0 && n == 0:
		return "fewer than 1"
	case share < 1 && n == 100:
		return "more than 99"
	}
	return strconv.Itoa(int(n))
}
