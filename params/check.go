package params

import (
	"fmt"
	"math"

	"rundown/params/sheet"
)

// checkSpread notes what cannot be drawn: shapes that make no distribution,
// and tails outside the physical limits.
func (r *reader) checkSpread(v *Value, at sheet.Place) {
	s := v.Spread
	if wrong := v.unfit(); wrong != "" {
		r.m.Add(at, "%s: %s", v.Path, wrong)
		return
	}
	if s.PerEvent && (s.Kind == Fixed || s.Kind == Stated) {
		r.m.Add(at, "%s is drawn per event but has no spread to draw from; give one or leave \"drawn\" out", v.Path)
		return
	}
	for _, u := range []float64{0.001, 0.999} {
		x := v.unlimited(u)
		if s.Kind != Stated && (math.IsNaN(x) || x < v.Low || x > v.High) && v.Row == nil {
			r.m.Add(at, "%s reaches %.3g at its %g quantile; its limits are %s to %s: narrow the spread", v.Path, x, u, sheet.Plain(v.Low), sheet.Plain(v.High))
		}
	}
}

// unfit says why a spread does not suit its value; "" when it does.
func (v *Value) unfit() string {
	s, c := v.Spread, v.Central
	plain := sheet.Plain
	ordered := func(low, high float64) string {
		if !(low < high && low <= c && c <= high) {
			return fmt.Sprintf("the value %s must lie between %s and %s, low before high", plain(c), plain(low), plain(high))
		}
		return ""
	}
	if v.Row != nil && s.Kind != Fixed {
		return "a list of numbers is not drawn; leave the spread out"
	}
	switch s.Kind {
	case Lognormal:
		if c <= 0 {
			return "a lognormal spread needs a value above 0"
		}
	case LogitNormal:
		if c <= 0 || c >= 1 {
			return "a logitnormal spread needs a value between 0 and 1"
		}
	case Beta:
		if !(s.A > 0 && s.B > 0) {
			return "both shapes of a beta spread must be above 0"
		}
		if mean := s.A / (s.A + s.B); math.Abs(mean-c) > 0.02 {
			return fmt.Sprintf("beta(%s, %s) has the mean %.3g but the value is %s; make them agree within 0.02", plain(s.A), plain(s.B), mean, plain(c))
		}
	case Triangular:
		if s.B != c {
			return fmt.Sprintf("the mode %s of the triangular spread differs from the value %s", plain(s.B), plain(c))
		}
		return ordered(s.A, s.C)
	case Range, Stated:
		if s.Kind == Stated && s.A == s.B {
			return "" // a single figure was stated
		}
		return ordered(s.A, s.B)
	}
	return ""
}

// checkEntry notes what an entry lacks or has too much of, once everything
// that makes it up has been read.
func (l *Library) checkEntry(e *Entry, at sheet.Place, m *sheet.Mistakes) {
	role := e.Text["role"]
	if e.About == "" {
		m.Add(at, "%s/%s lacks \"about\": expected one plain sentence", e.Kind, e.Name)
	}
	for _, w := range needed(e.Kind, role) {
		if e.Text[w] == "" && len(e.Lists[w]) == 0 && (w != "usual" || e.Usual == nil) {
			more := ""
			if w == "works" {
				more = ": say how it takes weeds, by pull, cut, top, spray or hoe"
			}
			m.Add(at, "%s/%s lacks the key %q%s", e.Kind, e.Name, w, more)
		}
	}
	if role == "" && (e.Kind == "implements" || e.Kind == "herbicides") || role == "in-crop" && e.Text["works"] == "" {
		return // which keys it needs is not known
	}
	if role != "in-crop" && e.Text["works"] != "" {
		m.Add(at, "%s/%s says how it works in the crop (%s) but is of role %q; take \"works\" out", e.Kind, e.Name, e.Text["works"], role)
	}
	for _, q := range Quantities(e.Kind) {
		switch v := e.Values[q.Key]; {
		case v == nil && e.has(q) && q.Weed == "":
			m.Add(at, "%s/%s lacks the value %q (%s, in %s)", e.Kind, e.Name, q.Key, q.Label, q.Unit)
		case v != nil && !e.has(q):
			m.Add(at, "%s/%s has the value %q, which %s does not use; take it out", e.Kind, e.Name, q.Key, e.sort())
		}
	}
	switch e.Kind {
	case "herbicides":
		if e.Text["family"] != "" && e.Text["hrac"] != "1" {
			m.Add(at, "%s/%s says its chemical family (%s), which is asked of HRAC group 1 alone; take \"family\" out", e.Kind, e.Name, e.Text["family"])
		}
	case "implements":
		checkMatrix(e, at, m)
	case "soils":
		checkSoil(e, at, m)
	case "climates":
		checkClimate(e, at, m)
	}
}

// sort names what an entry is, where that says which values it has.
func (e *Entry) sort() string {
	switch {
	case e.Text["works"] != "":
		return fmt.Sprintf("an entry of role %q that works by %q", e.Text["role"], e.Text["works"])
	case e.Kind == "crops":
		return "a crop that is not perennial"
	}
	return fmt.Sprintf("an entry of role %q", e.Text["role"])
}

// needed are the words that an entry must have.
func needed(kind, role string) []string {
	switch {
	case kind == "implements" && role == "in-crop":
		return []string{"works"}
	case kind == "crops":
		return []string{"season", "usual"}
	case kind == "implements" || kind == "herbicides" && role == "":
		return []string{"role"}
	case kind == "herbicides" && role == "programme":
		return []string{"actives"}
	case kind == "herbicides":
		return []string{"hrac"}
	}
	return nil
}

// checkMatrix: all the seed of a layer goes somewhere.
func checkMatrix(e *Entry, at sheet.Place, m *sheet.Mistakes) {
	v := e.Values["movement"]
	if v == nil {
		return
	}
	for i, layer := range Layers {
		sum := 0.0
		for _, x := range v.Row[5*i : 5*i+5] {
			sum += x
		}
		if math.Abs(sum-1) > 1e-9 {
			m.Add(at, "%s: the shares that go from %s add to %s; expected 1", v.Path, layer, sheet.Plain(sum))
		}
	}
}

func checkSoil(e *Entry, at sheet.Place, m *sheet.Mistakes) {
	w, f, s := e.Values["wilting_point"], e.Values["field_capacity"], e.Values["saturation"]
	if w != nil && f != nil && s != nil && !(w.Central < f.Central && f.Central < s.Central) {
		m.Add(at, "soils/%s: expected wilting_point < field_capacity < saturation, found %s, %s, %s", e.Name,
			sheet.Plain(w.Central), sheet.Plain(f.Central), sheet.Plain(s.Central))
	}
}

func checkClimate(e *Entry, at sheet.Place, m *sheet.Mistakes) {
	high, low, rain, wet := e.Values["tmax"], e.Values["tmin"], e.Values["rain"], e.Values["wet_days"]
	if high == nil || low == nil || rain == nil || wet == nil {
		return
	}
	for i := range 12 {
		if low.Row[i] >= high.Row[i] {
			m.Add(at, "climates/%s: in month %d tmin %s is not below tmax %s", e.Name, i+1, sheet.Plain(low.Row[i]), sheet.Plain(high.Row[i]))
		}
		if rain.Row[i] < wet.Row[i] {
			m.Add(at, "climates/%s: month %d has %s mm of rain on %s wet days, which have at least 1 mm each", e.Name, i+1, sheet.Plain(rain.Row[i]),
				sheet.Plain(wet.Row[i]))
		}
	}
}
