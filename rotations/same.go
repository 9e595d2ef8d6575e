package rotations

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"rundown/params"
)

// SameField reports where two plans do not start from the same field, weed and
// infestation, which plans compared must share: one sentence with its place for
// each difference.
func (c *Calendar) SameField(other *Calendar) []string {
	var out []string
	check := func(section, key string, mine, theirs any) {
		a, b := fmt.Sprint(mine), fmt.Sprint(theirs)
		if a != b {
			out = append(out, fmt.Sprintf("%s: %s.%s is %s, but %s in %s; plans that are compared share field, weed and start",
				other.place(section, key), section, key, b, a, c.place(section, key)))
		}
	}
	check("field", "area_ha", c.AreaHa, other.AreaHa)
	check("field", "soil", name(c.Soil), name(other.Soil))
	check("field", "climate", name(c.Climate), name(other.Climate))
	check("field", "weather", c.weather(), other.weather())
	check("field", "latitude", c.Latitude, other.Latitude)
	check("field", "history", name(c.History), name(other.History))
	check("field", "last_crop", name(c.LastCrop), name(other.LastCrop))
	check("field", "work", work(c), work(other))
	check("weed", "species", name(c.Weed), name(other.Weed))
	check("weed", "start", c.Start, other.Start)
	check("weed", "heads_per_m2", quantity(c.Heads), quantity(other.Heads))
	check("weed", "trend", quantity(c.Trend), quantity(other.Trend))
	for l, key := range params.Layers {
		check("weed", "seedbank_per_m2."+key, quantity(c.Seedbank[l]), quantity(other.Seedbank[l]))
	}
	check("weed", "seedbank_per_m2.fresh", quantity(c.FreshPerM2), quantity(other.FreshPerM2))
	check("weed", "resistance", groups(c.Resistance), groups(other.Resistance))
	check("weed", "import_per_m2", c.ImportPerM2, other.ImportPerM2)
	return out
}

// place is file:line:column of a key of a section, or the section's where the
// key is not written.
func (c *Calendar) place(section, key string) string {
	s := c.plan.Root.Get(section)
	if s == nil {
		return c.plan.File
	}
	if v := s.Map.Get(key); v != nil {
		return v.Place.String()
	}
	return s.Place.String()
}

// work is how the work of a plan waits, as it writes it.
func work(c *Calendar) string {
	if c.WorkOnItsDay {
		return "on-its-day"
	}
	return "when-fit"
}

func name(e *params.Entry) string {
	if e == nil {
		return "left out"
	}
	return e.Name
}

// groups writes the status of resistance as plans do.
func groups(r map[string]float64) string {
	if len(r) == 0 {
		return "left out"
	}
	var out []string
	for _, g := range slices.Sorted(maps.Keys(r)) {
		out = append(out, fmt.Sprintf("%s: %g", g, r[g]))
	}
	return "{" + strings.Join(out, ", ") + "}"
}

func quantity(v *params.Value) string {
	if v == nil {
		return "left out"
	}
	if v.Drawn() {
		return fmt.Sprintf("about %.4g, spread %s", v.Central, v.Spread)
	}
	return fmt.Sprintf("%.6g", v.Central)
}

// weather names a record by its first day, length and means, and by the sum of all its days.
func (c *Calendar) weather() string {
	r := c.Record
	if r == nil {
		r = c.FitTo
	}
	if r == nil {
		return "generated"
	}
	var rain, warm float64
	for i := range r.RainMM {
		rain += r.RainMM[i]
		warm += r.TmaxC[i] + r.TminC[i]
	}
	return fmt.Sprintf("a record of %d days from %v (rain %.1f mm, mean %.2f °C, sum of its days %s)", len(r.RainMM), r.Start, rain, warm/2/float64(len(r.RainMM)), sumOfDays(r, len(r.RainMM)))
}
