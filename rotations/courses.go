package rotations

import (
	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
)

// cover resolves the cover before a crop; nil for none.
func (r *resolver) cover(p *sheet.Mapping, sp *span) *Cover {
	sow, destroy := sowing(p), p.Get("destroy")
	if sow == nil || destroy == nil {
		return nil
	}
	c := &Cover{Mix: r.at(r.find("covers", p.Text("mix")), sp.money)}
	var ok, ok2 bool
	if sow.Key.Name == "sow" {
		c.Sow, ok = r.day(sow, sp.open)
	} else {
		c.AfterHarvest = int(sow.Number)
		if c.Sow, ok = r.afterHarvest(c.AfterHarvest, "the sowing of the cover", sp); !ok {
			r.m.Add(sow.Place, "the sowing of the cover on %s, %d days after the harvest before, comes long before the start on %s; write sow: with a date",
				c.Sow.Short(), c.AfterHarvest, sp.open.Short())
		}
	}
	c.Destroy, ok2 = r.day(destroy, c.Sow)
	if !ok || !ok2 {
		return nil
	}
	r.coverDays(c, p, sp)
	c.DestroyWith = r.at(r.need("herbicides", sprayOff), sp.money)
	if v := p.Get("destroy_with"); v != nil {
		c.DestroyWith = r.at(r.role(v, "operations", "non-selective", "cultivator"), sp.money)
	}
	return r.ruledCover(c, p, sp)
}

// sowing is what tells when a cover is sown.
func sowing(p *sheet.Mapping) *sheet.Value {
	if v := p.Get("sow"); v != nil {
		return v
	}
	return p.Get("days_after_harvest")
}

// coverDays finds the latest day for sowing and checks the days of a cover
// against the season and the drilling.
func (r *resolver) coverDays(c *Cover, p *sheet.Mapping, sp *span) {
	sow, destroy := sowing(p), p.Get("destroy")
	c.Latest = min(c.Sow+14, c.Destroy-1)
	if v := p.Get("latest"); v != nil {
		if latest, ok := r.day(v, c.Sow); ok && r.waits(v, c.Sow, latest, "the sowing of the cover") {
			c.Latest = latest
		}
	}
	switch {
	case c.Sow < sp.open || c.Sow > sp.end:
		r.m.Add(sow.Place, "the sowing of the cover on %s falls outside %s%s", c.Sow.Short(), sp.bounds(), sp.early(c.Sow))
	case c.Sow < sp.decide:
		r.m.Add(sow.Place, "the sowing of the cover on %s comes before it is decided on %s what is grown; sow it later, or decide earlier", c.Sow.Short(),
			sp.decide.Short())
	case sp.drill != nil && c.Destroy > sp.drill.On:
		r.m.Add(destroy.Place, "the cover sown on %s is destroyed on %s, after %s is drilled on %s; destroy it by then%s", c.Sow.Short(), c.Destroy.Short(),
			sp.crop.Name, sp.drill.On.Short(), sp.early(c.Sow))
	case c.Destroy > sp.end:
		r.m.Add(destroy.Place, "the destruction of the cover on %s falls outside %s", c.Destroy.Short(), sp.bounds())
	case c.Destroy <= c.Sow:
		r.m.Add(destroy.Place, "the cover is destroyed on %s, not after it is sown on %s", c.Destroy.Short(), c.Sow.Short())
	case c.Latest >= c.Destroy:
		r.m.Add(p.Get("latest").Place, "the cover may be sown until %s but is destroyed on %s", c.Latest.Short(), c.Destroy.Short())
	}
}

// courses resolves what is grown in a season: what was planned, what is grown
// otherwise, and fallow where neither can be drilled.
func (r *resolver) courses(w written, full *sheet.Mapping, sp *span) []Course {
	planned := r.course(full, sp)
	planned.CultivarFactor = full.Number("cultivar_factor", 1)
	courses := []Course{planned}
	v := w.season.Get("otherwise")
	if sp.drill == nil {
		if v != nil && w.year == 1 {
			r.m.Add(v.Place, "nothing is drilled in %s, so there is nothing to grow otherwise; leave otherwise out", sp.name())
		}
		if w.year > 1 { // where the ley was never sown
			courses = r.fallow(courses, sp, sp.open-1)
		}
		return courses
	}
	last := sp.drill.Latest
	if v != nil {
		alt, latest, drilled, ok := r.alternative(v, sp)
		if !ok {
			return courses
		}
		courses = append(courses, alt)
		if !drilled {
			return courses
		}
		last = latest
	}
	return r.fallow(courses, sp, last)
}

// fallow adds what is left where nothing was drilled by a day: fallow, with its usual work.
func (r *resolver) fallow(courses []Course, sp *span, last date.Day) []Course {
	fallow := r.need("crops", "fallow")
	if fallow == nil {
		return courses
	}
	f := *sp
	f.crop, f.after, f.drill = fallow, last, nil
	return append(courses, r.course(r.usualOf(fallow), &f))
}

// alternative resolves the crop grown when the planned one could not be
// drilled. It takes its own usual practice from the day after that.
func (r *resolver) alternative(v *sheet.Value, sp *span) (c Course, latest date.Day, drilled, ok bool) {
	name, own := v, (*sheet.Mapping)(nil)
	if v.Map != nil {
		own = v.Map
		name = own.Get("crop")
	}
	if name == nil {
		return c, 0, false, false
	}
	crop := r.find("crops", name.Text)
	if crop == nil {
		return c, 0, false, false
	}
	a := *sp
	a.crop, a.after, a.drill = crop, sp.drill.Latest, nil
	if own == nil {
		own = (&sheet.Mapping{Place: v.Place}).Only()
	}
	full := sheet.Over(own, r.usualOf(crop))
	if crop.Text["season"] == "none" && !own.Said("drill") {
		return r.course(full, &a), 0, false, true
	}
	if a.drill, ok = r.drilling(full, &a); !ok {
		return c, 0, false, false
	}
	if a.drill == nil {
		r.m.Add(name.Place, "%s has no usual drilling; write otherwise: {crop: %s, drill: …}", crop.Name, crop.Name)
		return c, 0, false, false
	}
	if a.drill.Latest <= a.after {
		r.m.Add(name.Place, "%s cannot be drilled after %s, the latest day for %s: its own latest day is %s", crop.Name, a.after.Short(), sp.crop.Name,
			a.drill.Latest.Short())
		return c, 0, false, false
	}
	a.drill.On = max(a.drill.On, a.after+1)
	harvest := r.harvest(crop, a.open, a.drill)
	if harvest.Year() != sp.end.Year() {
		r.m.Add(name.Place, "%s drilled on %s would be harvested on %s, but the season belongs to %d", crop.Name, a.drill.On.Short(), harvest.Short(), sp.end.Year())
		return c, 0, false, false
	}
	a.end = max(a.end, harvest)
	return r.course(full, &a), a.drill.Latest, true, true
}

// course resolves a crop and the work that belongs to it.
func (r *resolver) course(full *sheet.Mapping, sp *span) Course {
	crop := r.at(sp.crop, sp.money)
	c := Course{Crop: crop, Drill: sp.drill, Operations: r.operations(full, sp), CultivarFactor: 1,
		Price: crop.Value("price"), VariableCost: crop.Value("variable_cost")}
	h := full.Map("harvest")
	c.StrawChopped = h.Text("straw") == "chopped"
	if v := h.Get("with"); v != nil {
		c.HarvestWith = r.at(r.role(v, "implements", "harvest"), sp.money)
	}
	if h != nil {
		r.ruledHarvest(&c, h, sp)
	}
	return c
}

// Entries lists the crops of all courses of a season, the planned one first.
func (s *Season) Entries() []*params.Entry {
	var e []*params.Entry
	for i := range s.Courses {
		e = append(e, s.Courses[i].Crop)
	}
	return e
}
