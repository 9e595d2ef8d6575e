package rotations

import (
	"rundown/params/date"
	"rundown/params/sheet"
)

// drilling resolves the sowing of a crop; nil for a crop that is not drilled,
// and not ok when its day cannot be told.
func (r *resolver) drilling(full *sheet.Mapping, sp *span) (d *Drilling, ok bool) {
	p := full.Map("drill")
	switch {
	case p == nil && (full.Said("drill") || sp.crop.Text["season"] != "none" && full.Said("crop")):
		if !full.Said("drill") {
			r.m.Add(full.Place, "%s has no drill, and the library no usual one; write drill: {date: …, with: …, seeds_per_m2: …}", sp.name())
		}
		return nil, false
	case p == nil:
		return nil, true
	case sp.crop.Text["season"] == "none":
		r.m.Add(p.Place, "%s is not drilled; leave drill out", sp.crop.Name)
		return nil, false
	}
	v := p.Get("date")
	if v == nil {
		if !p.Said("date") {
			r.m.Add(p.Place, "the drilling of %s has no date, and the library no usual one; write date:", sp.crop.Name)
		}
		return nil, false
	}
	on, ok := r.day(v, sp.open)
	if !ok {
		return nil, false
	}
	d = &Drilling{On: on, SeedsPerM2: p.Number("seeds_per_m2", 0)}
	moved := r.latestDrilling(p, v, d, sp)
	if on < sp.open {
		r.m.Add(v.Place, "the drilling on %s comes before %s opens on %s", on.Short(), sp.name(), sp.open.Short())
		return nil, false
	}
	if d.On < sp.decide {
		if !sp.usual(v.Place) {
			r.m.Add(v.Place, "the drilling on %s comes before it is decided on %s what is grown; drill later, or decide earlier", d.On.Short(), sp.decide.Short())
			return nil, false
		}
		d.On, moved = sp.decide, true
		d.Latest = max(d.Latest, d.On+tooNear)
	}
	if moved {
		r.note("%s: usually drilled on %s, before the season opens; drilled from %s on", sp.name(), v.Text, d.On.Short())
	}
	r.drill(p, d, sp)
	return d, true
}

// absurdlyThin is how many times less seed than usual is taken for a slip of the pen.
const absurdlyThin = 50

// drill looks up the machine and the seed rate.
func (r *resolver) drill(p *sheet.Mapping, d *Drilling, sp *span) {
	if v := p.Get("with"); v != nil {
		d.With = r.at(r.role(v, "implements", "drill"), sp.money)
	} else if !p.Said("with") {
		r.m.Add(p.Place, "the drilling of %s has no implement, and the library no usual one; write with: (see rundown library implements)", sp.crop.Name)
	}
	if v, usual := p.Get("seeds_per_m2"), sp.crop.Value("seed_rate"); v != nil && usual != nil && v.Number < usual.Central/absurdlyThin {
		r.m.Add(v.Place, "%s is sown at %s seeds/m²; that is less than a %dth of the usual %s: is it in another unit? seeds_per_m2 = kg/ha × 100 / "+
			"thousand-grain weight in g",
			sp.crop.Name, v.Text, absurdlyThin, sheet.Plain(usual.Central))
	}
	if !p.Said("seeds_per_m2") {
		r.m.Add(p.Place, "the drilling of %s has no seed rate, and the library no usual one; write seeds_per_m2:", sp.crop.Name)
	}
}

// latestDrilling finds the day after which a drilling is given up: as written,
// else as usual, else a month on. A usual day of drilling that has just gone by
// when the season opens is moved to the opening.
func (r *resolver) latestDrilling(p *sheet.Mapping, v *sheet.Value, d *Drilling, sp *span) (moved bool) {
	if open, near := sp.nearby(v, d.On); near && sp.usual(v.Place) {
		d.On, moved = open, true
	}
	l := p.Get("latest")
	if l == nil {
		d.Latest = d.On + drillWait
		return moved
	}
	latest, ok := r.day(l, d.On)
	wait := latest - d.On
	switch {
	case !ok:
		d.Latest = d.On + drillWait
	case sp.usual(l.Place) && (wait > longestWait || wait < tooNear):
		d.Latest = d.On + drillWait
	case r.waits(l, d.On, latest, "the drilling"):
		d.Latest = latest
	default:
		d.Latest = d.On + drillWait
	}
	return moved
}

// waits checks that latest is neither before the day wished nor long after it.
func (r *resolver) waits(l *sheet.Value, on, latest date.Day, what string) bool {
	switch {
	case latest < on:
		r.m.Add(l.Place, "the latest day %s comes before the day wished for %s, %s", latest.Short(), what, on.Short())
		return false
	case latest-on > longestWait:
		r.m.Add(l.Place, "%s is wished for %s and its latest day is %s, %d days on; at most %d: is one of the two in the wrong month?", what, on.Short(),
			latest.Short(), latest-on, longestWait)
		return false
	}
	return true
}
