package rotations

import (
	"math"
	"slices"
	"strings"

	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
)

// field fills in the field, its climate and its weather.
func (r *resolver) field() {
	f := r.plan.Root.Map("field")
	c := r.c
	c.Name = "the field"
	if f.Has("name") {
		c.Name = f.Text("name")
	}
	c.AreaHa = f.Number("area_ha", 0)
	c.Soil = r.find("soils", f.Text("soil"))
	c.History = r.defaulted(f, "history", "implements", "shallow-disc")
	if v := f.Get("history"); v != nil {
		r.role(v, "implements", "cultivator", "drill")
	}
	c.LastCrop = r.defaulted(f, "last_crop", "crops", "winter-wheat")
	c.WorkOnItsDay = f.Text("work") == "on-its-day"
	if v := f.Get("climate"); v != nil {
		if v.Map == nil {
			c.Climate = r.find("climates", v.Text)
		} else if from := v.Map.Get("from"); from != nil {
			c.FitTo = r.record(from, v.Map.Map("columns"), v.Map.Map("units"))
			r.enough(from, c.FitTo, yearsToFit, "fitting a climate needs")
		}
	}
	if v := f.Get("weather"); v != nil {
		r.weather(v)
	}
	c.Latitude = f.Number("latitude", usualLatitude)
	if v := f.Get("latitude"); v != nil && c.Climate != nil {
		r.m.Add(v.Place, "climate %s has its own latitude: leave this one out, or fit the climate to a weather file (climate: {from: weather.csv})", c.Climate.Name)
	}
}

// usualLatitude is that of lowland England.
const usualLatitude = 52

// yearsToFit is the shortest record that a climate is fitted to (assumed): from
// five years the spread between years is known within a factor of about two.
const yearsToFit = 5

// defaulted is the entry under a key, or the one that is usual.
func (r *resolver) defaulted(p *sheet.Mapping, key, kind, usual string) *params.Entry {
	if v := p.Get(key); v != nil {
		return r.find(kind, v.Text)
	}
	return r.need(kind, usual)
}

func (r *resolver) weather(v *sheet.Value) {
	c := r.c
	file, columns, units := v, (*sheet.Mapping)(nil), (*sheet.Mapping)(nil)
	c.Resample = true
	if v.Map != nil {
		file, columns, units = v.Map.Get("file"), v.Map.Map("columns"), v.Map.Map("units")
		c.Resample = v.Map.Text("beyond") != "climate"
	}
	if file == nil {
		return
	}
	c.Record = r.record(file, columns, units)
	if c.Resample {
		r.enough(file, c.Record, 1, "taking whole years of it again needs")
	}
}

// enough notes a record with too few whole calendar years.
func (r *resolver) enough(at *sheet.Value, rec *params.Record, years int, what string) {
	if rec == nil {
		return
	}
	if n := wholeYears(rec); n < years {
		r.m.Add(at.Place, "the weather record runs from %s to %s and holds %d whole calendar years; %s at least %d: use a longer record, or a climate of "+
			"the library", rec.Start, end(rec), n, what, years)
	}
}

// z95 is the 95 % point of the standard normal distribution.
const z95 = 1.6448536269514722

// value is a quantity of the plan as a library value; its path is that of the
// plan, and a range becomes a lognormal spread, or a normal one where it begins at 0
// or below.
func value(v *sheet.Value, short, label string) *params.Value {
	if v == nil {
		return nil
	}
	out := &params.Value{Path: v.Path, Label: label, Short: short, Unit: v.Key.Unit, Central: v.Number,
		Low: v.Key.Low, High: v.Key.High, Source: "the plan", From: v.Place.String()}
	if v.Range() {
		out.Spread = params.Spread{Kind: params.Lognormal, A: math.Exp(math.Log(v.High/v.Low) / (2 * z95))}
		if v.Low <= 0 {
			out.Spread = params.Spread{Kind: params.Normal, A: (v.High - v.Low) / (2 * z95)}
		}
		out.High = math.Inf(1) // the range says how far it reaches; a draw beyond the key's limit is no error
	}
	return out
}

// layers are the keys of the seedbank, surface first.
var layers = [5]string{"surface", "0-5", "5-10", "10-15", "15-20"}

// weed fills in the weed, its start and what is known of it. It is not ok when
// the start is missing or refused.
func (r *resolver) weed() (ok bool) {
	w := r.plan.Root.Map("weed")
	c := r.c
	c.Weed = r.find("weeds", w.Text("species"))
	if v := w.Get("start"); v != nil {
		c.Start = v.Date.Day
	}
	c.Heads = value(w.Get("heads_per_m2"), "heads in the last June", "heads counted in the last June")
	c.Trend = value(w.Get("trend"), "seed over the year before", "seed of one year over that of the year before")
	if bank := w.Map("seedbank_per_m2"); bank != nil {
		c.HasSeedbank = true
		for i, l := range layers {
			c.Seedbank[i] = value(bank.Get(l), "old seed, "+l, "old seed, "+l)
		}
		c.FreshPerM2 = value(bank.Get("fresh"), "this year's seed on top", "this year's seed on the surface")
	}
	c.ImportPerM2 = w.Number("import_per_m2", 0)
	c.ThresholdPer = w.Number("threshold_heads_per_m2", 0)
	r.resistance(w)
	v := w.Get("start")
	if v != nil && w.Has("heads_per_m2") {
		from, to := date.Of(c.Start.Year(), 7, 1), date.Of(c.Start.Year(), 10, 15)
		if c.Start < from || c.Start > to {

			r.m.Add(v.Place, "the start %s is not between 1 July and 15 October, when the seed of the counted heads is fresh; move it, or write "+
				"seedbank_per_m2 instead of heads_per_m2", c.Start)
			return false // dates counted from it would only mislead
		}
	}
	return v != nil
}

// groups are the HRAC groups of the library's herbicides, sorted.
func (r *resolver) groups() []string {
	var groups []string
	for _, n := range r.lib.Names("herbicides") {
		if g := r.lib.Find("herbicides", n).Text["hrac"]; g != "" && !slices.Contains(groups, g) {
			groups = append(groups, g)
		}
	}
	slices.SortFunc(groups, func(a, b string) int {
		if len(a) != len(b) {
			return len(a) - len(b)
		}
		return strings.Compare(a, b)
	})
	return groups
}
