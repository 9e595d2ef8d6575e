package rotations

import (
	"fmt"

	"rundown/params"
)

// SameField reports where two plans do not start from the same field, weed and
// infestation, which plans compared must share: one sentence with its place for
// each difference. Libraries may differ when they are what is compared.
func (c *Calendar) SameField(other *Calendar, anyLibrary bool) []string {
	mine, theirs := c.Place(), other.Place()
	out := c.unlike(other, mine, theirs)
	if len(out) == 0 && !mine.Apart().Equal(theirs.Apart()) { // of something that has no line of its own
		out = append(out, fmt.Sprintf("%s: the field is not that of %s; plans that are compared share field, weed and start", other.plan.File, c.plan.File))
	}
	if !anyLibrary && mine.Library != theirs.Library {
		out = append(out, fmt.Sprintf("%s: the values of this plan are not those of %s (the libraries have the sums %.12s… and %.12s…), so a difference "+
			"could come from them; "+
			"give all plans one library, or say that libraries are what is compared: --compare-libraries", other.library(), c.library(), theirs.Library, mine.Library))
	}
	return out
}

// difference says that a key differs.
func (c *Calendar) difference(other *Calendar, section, key string, mine, theirs any) []string {
	a, b := fmt.Sprint(mine), fmt.Sprint(theirs)
	if a == b {
		return nil
	}
	return []string{fmt.Sprintf("%s: %s.%s is %s, but %s in %s",
		other.place(section, key), section, key, b, a, c.place(section, key))}
}

// unlike are the differences of two places and of what stood there at the start.
func (c *Calendar) unlike(other *Calendar, mine, theirs Place) (out []string) {
	check := func(section, key string, mine, theirs any) {
		out = append(out, c.difference(other, section, key, mine, theirs)...)
	}
	check("field", "area_ha", mine.AreaHa, theirs.AreaHa)
	check("field", "soil", mine.Soil, theirs.Soil)
	check("field", "climate", c.climateOf(), other.climateOf())
	check("field", "weather", c.weatherOf(), other.weatherOf())
	check("field", "latitude", mine.Latitude, theirs.Latitude)
	check("field", "history", mine.History, theirs.History)
	check("field", "last_crop", mine.LastCrop, theirs.LastCrop)
	check("field", "work", mine.Work, theirs.Work)
	check("weed", "species", mine.Weed, theirs.Weed)
	check("weed", "start", c.Start, other.Start)
	check("weed", "heads_per_m2", quantity(c.Heads), quantity(other.Heads))
	check("weed", "trend", quantity(c.Trend), quantity(other.Trend))
	for l, key := range params.Layers {
		check("weed", "seedbank_per_m2."+key, quantity(c.Seedbank[l]), quantity(other.Seedbank[l]))
	}
	check("weed", "seedbank_per_m2.fresh", quantity(c.FreshPerM2), quantity(other.FreshPerM2))
	check("weed", "resistance", mine.Resistance, theirs.Resistance)
	check("weed", "import_per_m2", mine.ImportPerM2, theirs.ImportPerM2)
	if len(out) > 0 { // what they must share is told once, behind all that differs
		out[len(out)-1] += "; plans that are compared share field, weed and start"
	}
	return out
}

// library is where a plan names a library of its own, or the plan.
func (c *Calendar) library() string {
	if v := c.plan.Root.Get("library"); v != nil {
		return v.Place.String()
	}
	return c.plan.File
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

func quantity(v *params.Value) string {
	if v == nil {
		return "left out"
	}
	if v.Drawn() {
		return fmt.Sprintf("about %.4g, spread %s", v.Central, v.Spread)
	}
	return fmt.Sprintf("%.6g", v.Central)
}

// weather names a record by its first day, length and means.
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
	return fmt.Sprintf("a record of %d days from %v (rain %.1f mm, mean %.2f °C)", len(r.RainMM), r.Start, rain, warm/2/float64(len(r.RainMM)))
}

// climateOf names a climate of the library, or the record that one is fitted to.
func (c *Calendar) climateOf() string {
	if r := c.FitTo; r != nil {
		return fmt.Sprintf("fitted to %d days (sum %.8s…)", len(r.RainMM), r.Days)
	}
	return name(c.Climate)
}

// weatherOf names a record so that no two have one name.
func (c *Calendar) weatherOf() string {
	r := c.Record
	if r == nil {
		return "generated"
	}
	beyond := map[bool]string{true: "its years again", false: "the climate"}[c.Resample]
	return fmt.Sprintf("%s, sum %.8s…, and beyond it %s", c.weather(), r.Days, beyond)
}
