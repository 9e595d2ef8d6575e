package rotations

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"rundown/params/date"
	"rundown/params/sheet"
)

// due is when a piece of work is decided on, or a choice.
type due struct {
	what    string
	on      date.Day // planned
	from    date.Day // first day that can be looked on
	counted string   // "drilling" or "harvest before": what its day is counted from, so that it is the run's own
	known   date.Day // then the planned day from which on it is known
	number  int      // of the season, 1 for the first
	year    int      // of the harvest
	drilled bool     // something is drilled in the season
	choice  bool
	june    bool // it falls behind the June of its own season whatever its day
}

// condition resolves an if.
func (r *resolver) condition(v *sheet.Value, d due) *Condition {
	if holds, ok := r.as.force[v.Place]; ok {
		return &Condition{Tests: []Test{{What: KnownAhead, Holds: holds}}, as: v}
	}
	r.notEmpty(v)
	c := r.conditionOf(v.Map, d)
	c.as = v
	return c
}

// notEmpty notes a condition that asks for nothing.
func (r *resolver) notEmpty(v *sheet.Value) {
	if len(v.Node.Keys) == 0 {
		r.m.Add(v.Place, "a condition is empty; write what must hold, as in if: {heads_per_m2: {above: 20}}")
	}
}

// conditionOf resolves what an if asks for.
func (r *resolver) conditionOf(p *sheet.Mapping, d due) *Condition {
	c := &Condition{}
	var words []string
	add := func(t Test, text string) {
		c.Tests = append(c.Tests, t)
		words = append(words, text)
	}
	asks := false
	for _, name := range p.Names {
		v := p.Get(name)
		if v == nil {
			continue
		}
		switch name {
		case "heads_per_m2":
			if t, ok := r.headsTest(v, &d); ok {
				add(t, "heads "+bandWords(t))
			}
		case "plants_per_m2", "seed_per_m2":
			asks = true
			if t, ok := r.countTest(v, p, &d); ok {
				add(t, strings.TrimSuffix(name, "_per_m2")+" "+bandWords(t)+t.seenWords())
			}
		case "ground":
			asks = true
			t := Test{What: GroundDry, Holds: v.Text == "dry"}
			if r.seen(&t, v, p, &d) {
				add(t, v.Text+" ground"+t.seenWords())
			}
		case "drilled_by":
			if t, ok := r.drilledTest(v, &d); ok {
				add(t, "drilled by "+v.Text)
			}
		case "crop_before":
			t := r.cropTest(v, &d)
			add(t, "after "+strings.ReplaceAll(strings.Join(t.Crops, " or "), "-", " "))
		case "any":
			t, text, some := r.anyTest(v, p, &d)
			asks = asks || some
			add(t, text)
		}
	}
	r.uselessSeen(p, asks)
	c.Text = strings.Join(words, " and ")
	return c
}

// uselessSeen notes a day of looking where nothing is looked at on a day.
func (r *resolver) uselessSeen(p *sheet.Mapping, asks bool) {
	for _, name := range []string{"seen", "seen_days_before"} {
		if v := p.Get(name); v != nil && !asks {
			r.m.Add(v.Place, "%s is a day of looking, but nothing that is seen on a day is asked for: plants_per_m2, seed_per_m2 or ground; leave it out", name)
		}
	}
	if p.Has("seen") && p.Has("seen_days_before") {
		r.m.Add(p.Get("seen_days_before").Place, "a condition has both seen and seen_days_before; keep one")
	}
}

// band reads above and below; not ok where nothing lies between.
func (r *resolver) band(v *sheet.Value, t *Test) bool {
	t.Above, t.Below = math.Inf(-1), math.Inf(1)
	if x := v.Map.Get("above"); x != nil {
		t.Above = r.as.bound(x)
	}
	if x := v.Map.Get("below"); x != nil {
		t.Below = r.as.bound(x)
	}
	if !v.Map.Has("above") && !v.Map.Has("below") {
		if len(v.Node.Keys) == 0 {
			r.m.Add(v.Place, "%s has neither above nor below; write one, as in {above: 20}", v.Key.Name)
		}
		return false
	}
	if t.Above >= t.Below {
		r.m.Add(v.Place, "%s can never be above %s and below %s at once; swap the two, or keep one of them", v.Key.Name, sheet.Plain(t.Above), sheet.Plain(t.Below))
		return false
	}
	return true
}

func bandWords(t Test) string {
	switch {
	case math.IsInf(t.Below, 1):
		return fmt.Sprintf("above %s per m²", sheet.Plain(t.Above))
	case math.IsInf(t.Above, -1):
		return fmt.Sprintf("below %s per m²", sheet.Plain(t.Below))
	}
	return fmt.Sprintf("above %s and below %s per m²", sheet.Plain(t.Above), sheet.Plain(t.Below))
}

func (t *Test) seenWords() string {
	if t.Seen == 0 {
		return fmt.Sprintf(" %d days before", t.Before)
	}
	return " on " + annual(t.Seen).String()
}

// inside tells whether what is seen is in the band of a test.
func (t *Test) inside(x float64) bool { return x > t.Above && x < t.Below }

// headsTest is of the heads of the mid-June before. Those before the start are the plan's
// own, a fact.
func (r *resolver) headsTest(v *sheet.Value, d *due) (t Test, ok bool) {
	if t.What = HeadsSeen; !r.band(v, &t) {
		return t, false
	}
	t.ThisSeason = d.june || !d.choice && d.on > date.Of(d.year, time.June, 15)
	if t.ThisSeason || d.number > 1 {
		return t, true
	}
	if r.c.Heads == nil {
		if r.c.HasSeedbank {
			r.m.Add(v.Place, "the heads of last June are asked for, but the plan starts from a seedbank; write the crop instead of the choice, or give "+
				"heads_per_m2 under weed")
		}
		return t, false
	}
	t.What, t.Holds = KnownAhead, t.inside(r.c.Heads.Central)
	r.c.ByOwnHeads = true
	return t, true
}

// countTest is of plants or seedlings counted on a day.
func (r *resolver) countTest(v *sheet.Value, p *sheet.Mapping, d *due) (t Test, ok bool) {
	if t.What = PlantsSeen; v.Key.Name == "seed_per_m2" {
		t.What = SeedSeen
	}
	return t, r.band(v, &t) && r.seen(&t, v, p, d)
}

// seen finds the day of looking; not ok where there is none.
func (r *resolver) seen(t *Test, asked *sheet.Value, p *sheet.Mapping, d *due) bool {
	at, days := p.Get("seen"), p.Get("seen_days_before")
	switch {
	case at == nil && p.Said("seen") || days == nil && p.Said("seen_days_before"):
		return false
	case at != nil && d.counted != "":
		r.m.Add(at.Place, "%s is counted from the %s, whose day is not known ahead; write seen_days_before: and a number of days instead of seen", d.what,
			d.counted)
		return false
	case at != nil:
		return r.seenOn(t, at, d)
	}
	t.Before = 1
	place := asked.Place
	if days != nil {
		t.Before, place = int(days.Number), days.Place
	}
	on := d.on - date.Day(t.Before)
	if d.counted == "" {
		t.Seen = on
	}
	switch {
	case d.counted != "" && on < d.known:
		r.m.Add(place, "what %s hangs on would be looked for %d days before it is due, before the %s from which it is counted; do it later, or look nearer "+
			"to it", d.what, t.Before, d.counted)
	case on < d.from:
		r.m.Add(place, "%s would be decided on what is seen on %s, before %s; %s", d.what, on.Short(), d.since(), d.wayOut())
	default:
		return true
	}
	return false
}

// since says what the first day of looking is.
func (d *due) since() string {
	if d.choice && d.number > 1 {
		return fmt.Sprintf("the season before opens on %s", d.from.Short())
	}
	if d.number == 1 {
		return fmt.Sprintf("the plan starts on %s", d.from.Short())
	}
	return fmt.Sprintf("its season opens on %s", d.from.Short())
}

func (d *due) wayOut() string {
	if d.choice {
		return "write decide: with a later day, or seen: with one after that"
	}
	return "do it later, or write seen: with a later day"
}

func (r *resolver) seenOn(t *Test, at *sheet.Value, d *due) bool {
	on, ok := r.dayBefore(at, d)
	if !ok {
		return false
	}
	t.Seen = on
	switch {
	case on >= d.on:
		r.m.Add(at.Place, "%s is decided on %s, but what it hangs on is looked for on %s; look before it is decided", d.what, d.on.Short(), on.Short())
		return false
	case on < d.from:
		r.m.Add(at.Place, "%s would be decided on what is seen on %s, before %s; %s", d.what, on.Short(), d.since(), d.wayOut())
		return false
	}
	return true
}

// dayBefore gives a date of looking its year: for work the first in its season; for a
// choice the last before it is decided, unless it comes shortly after.
func (r *resolver) dayBefore(v *sheet.Value, d *due) (date.Day, bool) {
	if !d.choice {
		return r.day(v, d.from)
	}
	const nearly = 330 // a day that was so long ago is one that is shortly to come
	if v.Date.Full {
		return v.Date.Day, true
	}
	y := d.on.Year()
	last, ok := v.Date.Annual.In(y)
	if !ok || last >= d.on {
		last, ok = v.Date.Annual.In(y - 1)
	}
	if ok && v.Key.Name == "seen" && d.on-last > nearly {
		return v.Date.Annual.OnOrAfter(d.on)
	}
	if !ok {
		return r.day(v, d.from)
	}
	return last, ok
}

// drilledTest is of whether a crop was drilled by a day: of this season for work, of the
// season before for a choice.
func (r *resolver) drilledTest(v *sheet.Value, d *due) (t Test, ok bool) {
	t = Test{What: DrilledBy, ThisSeason: !d.choice}
	if d.choice && d.number == 1 {
		r.m.Add(v.Place, "drilled_by asks for the season before, but the plan begins with this one; write the crop instead of the choice")
		return t, false
	}
	if !d.choice && !d.drilled {
		r.m.Add(v.Place, "nothing is drilled in this season; leave drilled_by out")
		return t, false
	}
	if t.By, ok = r.dayBefore(v, d); !ok {
		return t, false
	}
	if t.By >= d.on {
		r.m.Add(v.Place, "%s is decided on %s, when it is not known yet what is drilled by %s; write an earlier day", d.what, d.on.Short(), t.By.Short())
		return t, false
	}
	return t, true
}

// cropTest is of what really stood before.
func (r *resolver) cropTest(v *sheet.Value, d *due) Test {
	t := Test{What: CropBefore}
	names := v.List
	if v.Key.Kind == sheet.Name {
		names = []*sheet.Value{v}
	}
	for _, n := range names {
		if e := r.find("crops", n.Text); e != nil { // else noted
			t.Crops = append(t.Crops, e.Name)
		}
	}
	if d.number == 1 && r.c.LastCrop != nil {
		t.What, t.Holds = KnownAhead, slices.Contains(t.Crops, r.c.LastCrop.Name)
	}
	return t
}

// anyTest is of several conditions of which one must hold. A day of looking of the whole
// is that of those that have none.
func (r *resolver) anyTest(v *sheet.Value, p *sheet.Mapping, d *due) (t Test, text string, asks bool) {
	t.What = AnyOf
	var words []string
	for _, x := range v.List {
		q := x.Map
		if !q.Said("seen") && !q.Said("seen_days_before") {
			for _, name := range []string{"plants_per_m2", "seed_per_m2", "ground"} {
				if q.Said(name) {
					asks = true
					q = sheet.Over(q, p.Only("seen", "seen_days_before"))
					break
				}
			}
		}
		r.notEmpty(x)
		c := r.conditionOf(q, *d)
		t.Any = append(t.Any, c)
		words = append(words, c.Text)
	}
	text = "either " + strings.Join(words, ", or ")
	if known, holds := t.static(); known {
		t = Test{What: KnownAhead, Holds: holds}
	}
	return t, text, asks
}

// static tells whether a test is decided when the plan is read, and how.
func (t *Test) static() (known, holds bool) {
	switch t.What {
	case KnownAhead:
		return true, t.Holds
	case AnyOf:
		known = true
		for _, c := range t.Any {
			k, h := c.static()
			if k && h {
				return true, true
			}
			known = known && k
		}
		return known, false
	}
	return false, false
}

// static tells whether a condition is decided when the plan is read, and how.
func (c *Condition) static() (known, holds bool) {
	known = true
	for i := range c.Tests {
		k, h := c.Tests[i].static()
		if k && !h {
			return true, false
		}
		known = known && k
	}
	return known, known
}

// later is a condition of work that is done so many days later: what is seen so many days
// before it is seen later, too.
func (c *Condition) later(days date.Day) *Condition {
	if c == nil || days == 0 {
		return c
	}
	out := *c
	out.Tests = slices.Clone(c.Tests)
	for i := range out.Tests {
		t := &out.Tests[i]
		if t.Seen != 0 && t.Before != 0 {
			t.Seen += days
		}
		t.Any = slices.Clone(t.Any)
		for k := range t.Any {
			t.Any[k] = t.Any[k].later(days)
		}
	}
	return &out
}
