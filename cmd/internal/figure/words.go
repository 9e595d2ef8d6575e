package figure

import (
	"fmt"
	"strings"
)

// words says a spread in full: median 7.5, half of the runs 3.1 to 20, nine in
// ten 0.55 to 94, none in 2 % of runs.
func (q *Panel) words(s Spread) string {
	if !finite(s.P50) {
		return "no value"
	}
	if !finite(s.P05) || !finite(s.P95) || s.P05 == s.P95 {
		return q.write(s.P50)
	}
	said := "middle run " + q.write(s.P50)
	if finite(s.P25) && finite(s.P75) {
		said += fmt.Sprintf(", half of the runs %s to %s", q.write(s.P25), q.write(s.P75))
	}
	said += fmt.Sprintf(", nine in ten %s to %s", q.write(s.P05), q.write(s.P95))
	if finite(s.Zero) && s.Zero >= 0.005 && q.Kind == Log {
		said += fmt.Sprintf(", none in %.0f %% of runs", 100*s.Zero)
	}
	return said
}

// quantity is the name of a panel with its unit.
func (q *Panel) quantity() string { return quantity(q.Name, q.Unit) }

func quantity(name, unit string) string {
	if unit == "" {
		return name
	}
	return name + ", " + unit
}

// unitOn is a unit as the head of an axis has it: one in powers of ten says so.
func unitOn(unit string, kind AxisKind) string {
	if kind != Log {
		return unit
	}
	if unit == "" {
		return "log scale"
	}
	return unit + ", log scale"
}

// words says which season it is.
func (s Season) words() string {
	var parts []string
	if s.HarvestYear != 0 {
		parts = append(parts, fmt.Sprint(s.HarvestYear))
	}
	if s.Crop != "" {
		parts = append(parts, s.Crop)
	}
	return strings.Join(parts, " ")
}

// words says an interval: 19 (12 to 31).
func (v Interval) words() string {
	if !finite(v.Low) || !finite(v.High) {
		return short(v.Value)
	}
	return fmt.Sprintf("%s (%s to %s)", short(v.Value), short(v.Low), short(v.High))
}

// written is a value of a scale in words: a date, a share, a number.
func (s Scale) written(v float64) string {
	switch {
	case !finite(v):
		return "–"
	case s.Kind == Dates:
		return day(v).Format("2 Jan 2006")
	case s.Kind == Percent:
		return short(100*v) + "%"
	}
	return short(v)
}

// lowered is a name inside a sentence: Seed on 30 June becomes seed on 30 June.
func lowered(s string) string {
	for _, r := range s {
		return strings.ToLower(string(r)) + s[len(string(r)):]
	}
	return s
}

// countOf is a count with its noun: 1 season, 3 seasons.
func countOf(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
