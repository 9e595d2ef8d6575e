package figure

import "math"

// AxisKind says how numbers lie along an axis.
type AxisKind int

// The kinds of axis.
const (
	Linear  AxisKind = iota
	Log              // with a strip "none" for 0 where 0 occurs; negative values are gaps
	Percent          // linear, for fractions: 0.25 is written 25 %
	Dates            // linear; values are whole days since 1 January 1970
)

// Sizes of the strip "none": its depth under a y axis, left of an x axis, and
// its distance from the axis.
const (
	noneHeight = 19.0
	noneWidth  = 36.0
	noneGap    = 7.0
)

// axis maps values to places between two edges of a plot area.
type axis struct {
	kind     AxisKind
	lo, hi   float64 // log10 of the values on a Log axis
	from, to float64 // where lo and hi lie, in pixels
	none     bool    // has a strip for 0, beyond from
	depth    float64 // of that strip
	ticks    []tickMark
}

type tickMark struct {
	value float64
	label string
}

// newAxis spans the finite values; most is the number of ticks wanted at most.
func newAxis(kind AxisKind, values []float64, most int) axis {
	a := axis{kind: kind, depth: noneHeight}
	if kind == Log {
		a.spanLog(values)
		a.ticks = logTicks(a.lo, a.hi, most)
		return a
	}
	lo, hi, ok := reach(values, anything)
	if !ok {
		lo, hi = 0, 1
	}
	switch {
	case kind == Dates:
		if hi-lo < 2 {
			lo, hi = lo-1, hi+1
		}
		a.lo, a.hi = lo, hi
		a.ticks = dateTicks(lo, hi, most)
		return a
	case hi-lo <= 1e-9*math.Max(math.Abs(lo), math.Abs(hi)): // a constant, or a single value
		d := math.Max(math.Abs(lo)/4, 0.5)
		if kind == Percent {
			d = 0.05
		}
		if kind != Percent || lo != 0 { // of nothing the axis begins at 0
			lo -= d
		}
		hi += d
	}
	switch pad := 0.04 * (hi - lo); {
	case kind == Percent: // from 0 and not above 100 %, as far as the values allow
		lo, hi = math.Min(lo, 0), math.Max(hi+pad, 0.02)
		if hi <= 1+2*pad {
			hi = math.Min(hi, 1)
		}
	case lo >= 0 && lo < 0.2*(hi-lo): // nearly at 0: show 0
		lo, hi = 0, hi+pad
	default:
		lo, hi = lo-pad, hi+pad
	}
	a.lo, a.hi = lo, hi
	a.ticks = linearTicks(lo, hi, most, kind == Percent)
	return a
}

// decades shown at most: below, a value is drawn at the foot of the axis.
const decades = 9

func (a *axis) spanLog(values []float64) {
	for _, v := range values {
		a.none = a.none || v == 0
	}
	lo, hi, ok := reach(values, positive)
	if !ok {
		lo, hi = 1, 10
	}
	lo, hi = math.Max(lo, 1e-200), math.Max(hi, 1e-200) // powers of ten must not underflow
	a.lo, a.hi = math.Log10(lo)-0.1, math.Log10(hi)+0.1
	if short := 1 - (a.hi - a.lo); short > 0 { // a decade at least, so that a constant has its axis around it
		a.lo, a.hi = a.lo-short/2, a.hi+short/2
	}
	a.lo = math.Max(a.lo, a.hi-decades)
}

// lay puts the axis between two edges of the picture, leaving room for the
// strip at the first.
func (a *axis) lay(from, to float64) {
	a.from, a.to = from, to
	if a.none {
		a.from += math.Copysign(a.depth+noneGap, to-from)
	}
}

// at is the place of a value; ok is false for a gap.
func (a *axis) at(v float64) (px float64, ok bool) {
	if !finite(v) {
		return 0, false
	}
	if a.kind == Log {
		if v == 0 && a.none {
			return a.noneAt(), true
		}
		if v <= 0 {
			return 0, false
		}
		v = math.Log10(v)
	}
	t := (v - a.lo) / (a.hi - a.lo)
	return a.from + math.Min(math.Max(t, 0), 1)*(a.to-a.from), true
}

// noneAt is the middle of the strip "none".
func (a *axis) noneAt() float64 {
	return a.from - math.Copysign(a.depth/2+noneGap, a.to-a.from)
}
