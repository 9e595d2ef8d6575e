package figure

import "math"

// Spread is the distribution of one quantity at one place of an axis. Any
// member may be NaN: what needs it is left out.
type Spread struct {
	P05, P25, P50, P75, P95 float64 // quantiles, in the unit of the axis
	Zero                    float64 // share that is exactly 0, 0..1; NaN or 0 shows nothing
}

// None is a Spread without a value: a gap.
func None() Spread {
	n := math.NaN()
	return Spread{n, n, n, n, n, n}
}

// Exactly is a Spread of one value: a line without ribbons.
func Exactly(v float64) Spread {
	s := None()
	s.P50 = v
	return s
}

// finite tells whether a value can be drawn; so near the ends of float64 that
// differences overflow, it cannot.
func finite(v float64) bool { return math.Abs(v) <= 1e300 }

// single tells of a spread that is one number, or none at all.
func (s Spread) single() bool {
	for _, v := range s.values() {
		if finite(v) && v != s.P50 {
			return false
		}
	}
	return true
}

func (s Spread) values() [5]float64 { return [5]float64{s.P05, s.P25, s.P50, s.P75, s.P95} }

// reach is the least and the greatest finite value that keep accepts; ok is
// false where there is none.
func reach(values []float64, keep func(float64) bool) (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if finite(v) && keep(v) {
			lo, hi, ok = math.Min(lo, v), math.Max(hi, v), true
		}
	}
	return lo, hi, ok
}

func flatten(series ...[]Spread) []float64 {
	var out []float64
	for _, s := range series {
		for _, v := range s {
			q := v.values()
			out = append(out, q[:]...)
		}
	}
	return out
}

func positive(v float64) bool { return v > 0 }
func anything(float64) bool   { return true }
