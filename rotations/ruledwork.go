package rotations

import (
	"slices"
	"strconv"

	"rundown/params/date"
	"rundown/params/sheet"
)

// Counting where the plan says nothing of it (assumed).
const (
	usualQuadrats  = 20
	usualQuadratM2 = 0.25
	usualCores     = 40
	usualCoreM2    = 0.002
	usualDepthCM   = 10
)

func (r *resolver) counting() Counting {
	p := r.plan.Root.Map("counting")
	c := Counting{
		Quadrats: int(p.Number("quadrats", usualQuadrats)), QuadratM2: p.Number("quadrat_m2", usualQuadratM2),
		Cores: int(p.Number("cores", usualCores)), CoreM2: p.Number("core_m2", usualCoreM2), DepthCM: p.Number("depth_cm", usualDepthCM),
		Cost: p.Number("cost", 0), CostPerQuadrat: p.Number("cost_per_quadrat", 0), CostPerCore: p.Number("cost_per_core", 0),
	}
	if v := p.Get("quadrats"); v != nil && v.Text == "all" {
		c.Quadrats = 0
	}
	return c
}

// dueOf is when work is decided on that is planned for a day of a season.
func (sp *span) dueOf(what string, on date.Day) due {
	return due{what: what, on: on, from: sp.open, number: sp.number, year: sp.end.Year(), drilled: sp.drill != nil}
}

// ruled reads what an operation hangs on, and what is known to have become of it; not ok
// where it is known not to have been done.
func (r *resolver) ruled(op *Operation, v *sheet.Value, list int, sp *span) bool {
	cond, done := v.Map.Get("if"), v.Map.Get("done")
	if cond != nil {
		d := sp.dueOf(lists[list].what, op.due(sp.drill))
		switch {
		case op.Timing == AfterDrilling:
			d.counted, d.known = "drilling", sp.drill.On
		case op.Timing == AfterHarvest && sp.number > 1:
			d.counted, d.known = "harvest before", sp.cut+1
		}
		op.If = r.condition(cond, d)
	}
	if !r.factsGoWithIf(cond, v.Map) {
		return false
	}
	fact := factOf(done, sp)
	switch {
	case fact == nil:
		return true
	case fact.Key.Kind == sheet.Choice:
		return false
	}
	on, ok := r.day(fact, sp.open)
	if !ok {
		return false
	}
	op.If, op.Timing, op.Days, op.On = nil, OnDate, 0, on
	op.Latest = min(on+date.Day(lists[list].latest), sp.end)
	return r.within(op, fact, list, sp)
}

// factsGoWithIf notes facts of work that hangs on nothing.
func (r *resolver) factsGoWithIf(cond *sheet.Value, p *sheet.Mapping) bool {
	if v := p.Get("done"); v != nil && cond == nil && !p.Said("if") {
		r.m.Add(v.Place, "done tells what became of work with an if, and this has none; leave it out, or change the work itself")
		return false
	}
	for _, name := range names(p.Map("done")) {
		if year, err := strconv.Atoi(name); err != nil || year < 1900 || year > 2200 {
			r.m.Add(p.Get("done").Place, "done: found %q for a harvest year; write it as in {2028: no}", name)
			return false
		}
	}
	return true
}

// factOf is what is known of work in a season's harvest year; nil: nothing.
func factOf(done *sheet.Value, sp *span) *sheet.Value {
	if done == nil {
		return nil
	}
	return done.Map.Get(strconv.Itoa(sp.end.Year()))
}

// ruledCover is ruled for a cover: nil where it was not sown.
func (r *resolver) ruledCover(c *Cover, p *sheet.Mapping, sp *span) *Cover {
	cond := p.Get("if")
	if cond != nil {
		d := sp.dueOf("the sowing of the cover", c.Sow)
		if c.AfterHarvest > 0 && sp.number > 1 {
			d.counted, d.known = "harvest before", sp.cut+1
		}
		c.If = r.condition(cond, d)
	}
	if !r.factsGoWithIf(cond, p) {
		return c
	}
	fact := factOf(p.Get("done"), sp)
	switch {
	case fact == nil:
		return c
	case fact.Key.Kind == sheet.Choice:
		return nil
	}
	on, ok := r.day(fact, sp.open)
	if ok {
		c.If, c.AfterHarvest, c.Sow, c.Latest = nil, 0, on, min(on+14, c.Destroy-1)
		if on < sp.open || on >= c.Destroy {
			r.m.Add(fact.Place, "the cover was sown on %s, which is not between the opening of the season on %s and its destruction on %s", on.Short(),
				sp.open.Short(), c.Destroy.Short())
		}
	}
	return c
}

// earlyHarvest is how much earlier than its median a harvest may come, so that what is
// decided for it is looked for before.
const earlyHarvest = 30

// ruledHarvest is ruled for weed-seed control at harvest.
func (r *resolver) ruledHarvest(c *Course, p *sheet.Mapping, sp *span) {
	cond := p.Get("if")
	if cond != nil && c.HarvestWith == nil && !p.Said("with") {
		r.m.Add(cond.Place, "the harvest has an if, but no weed-seed control that hangs on it; write with: (see rundown library implements)")
		return
	}
	if cond != nil {
		d := sp.dueOf("the control of weed seed at harvest", sp.end-earlyHarvest)
		d.june = true
		c.HarvestIf = r.condition(cond, d)
	}
	if !r.factsGoWithIf(cond, p) {
		return
	}
	if fact := factOf(p.Get("done"), sp); fact != nil {
		if c.HarvestIf = nil; !fact.Yes {
			c.HarvestWith = nil
		}
	}
}

// beforeDeciding notes work that is planned before it is decided what is grown: a mistake in
// a plan; what is usual practice is put off to the day of deciding.
func (r *resolver) beforeDeciding(op *Operation, at sheet.Place, list int, sp *span) bool {
	if op.On >= sp.decide {
		return true
	}
	l := &lists[list]
	if !sp.usual(at) {
		return r.misfit(at, list, sp, "on %s comes before it is decided on %s what is grown; do it later, or decide earlier", op.On.Short(), sp.decide.Short())
	}
	r.note("%s: %s is usually done on %s, before it is decided what is grown; done from %s on", sp.name(), l.what, op.On.Short(), sp.decide.Short())
	op.On = sp.decide
	return true
}

// countedBefore warns of plants that are counted before work that kills them, and decided on
// after it.
func countedBefore(s *Season, number int) []Warning {
	var out []Warning
	course := &s.Courses[0]
	for i := range course.Operations {
		o := &course.Operations[i]
		seen, ok := o.If.plantsSeen(o.due(course.Drill))
		if !ok {
			continue
		}
		for j := range course.Operations {
			k := &course.Operations[j]
			if on := k.due(course.Drill); j != i && (k.Action == SprayOff || k.Action == Cultivate) && on > seen && on <= o.due(course.Drill) {
				const way = "look after it, or decide before it"
				detail := k.With.Name + " on " + on.Short() + " between the count of " + seen.Short() + " and " + o.With.Name + " on " +
					o.due(course.Drill).Short() + " (" + o.Place + ")"
				out = append(out, Warning{Code: SeenBeforeWork, Season: number,
					Lead: "Plants are counted before work that kills them, and decided on after it; " + way + ":", Detail: detail,
					Text: "Plants are counted before work that kills them, and decided on after it: " + detail + "; " + way + "."})
				break
			}
		}
	}
	return out
}

// plantsSeen is the first day on which a condition has plants counted.
func (c *Condition) plantsSeen(due date.Day) (on date.Day, ok bool) {
	if c == nil {
		return 0, false
	}
	for i := range c.Tests {
		t := &c.Tests[i]
		switch {
		case t.What == PlantsSeen && t.Seen != 0:
			return t.Seen, true
		case t.What == PlantsSeen:
			return due - date.Day(t.Before), true
		case t.What == AnyOf:
			for _, x := range t.Any {
				if on, ok := x.plantsSeen(due); ok {
					return on, true
				}
			}
		}
	}
	return 0, false
}

// Observes tells whether a condition looks at something anywhere.
func (c *Condition) Observes(what Observation) bool {
	return c != nil && slices.ContainsFunc(c.Tests, func(t Test) bool {
		return t.What == what || slices.ContainsFunc(t.Any, func(x *Condition) bool { return x.Observes(what) })
	})
}
