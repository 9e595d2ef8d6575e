package rotations

import (
	"fmt"
	"slices"

	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
)

// movesAlong is how many days before the planned drilling work still belongs
// to its seedbed and moves with it.
const movesAlong = 45

// pastLatest is how long a crop is waited for that is to be drilled after the
// latest day that the plan gives.
const pastLatest = 10

// WithDrilling is the calendar with one season's planned crop drilled on another
// day. Cultivations and sprays of the last six weeks before drilling keep their
// distance to it, as far as the season's opening allows, and a cover goes by then. The
// latest day is the grower's and stays; a date beyond it has ten days of its own.
func (c *Calendar) WithDrilling(season int, on date.Day) (*Calendar, error) {
	return c.withDrilling(season, c.Seasons[season].Place, on, true)
}

// WithDrillings is the calendar with the crop of the first of some seasons drilled so
// many days later, or earlier, in all of them; in a season that is chosen on the way, by
// every branch that grows it. Where the work before is not to move along, it stays
// on its day, but for what the plan counts back from the drilling.
func (c *Calendar) WithDrillings(seasons []int, days date.Day, along bool) (out *Calendar, err error) {
	out = c
	crop := c.Seasons[seasons[0]].Courses[0].Crop.Name
	for _, i := range seasons {
		all := c.Drilling(i, crop)
		if len(all) == 0 {
			return nil, fmt.Errorf("%s in %d is not drilled", c.Seasons[i].Courses[0].Crop.Name, c.Seasons[i].HarvestYear)
		}
		for _, s := range all {
			if out, err = out.withDrilling(i, s.Place, s.Courses[0].Drill.On+days, along); err != nil {
				return nil, err
			}
		}
	}
	return out, nil
}

// Drilling are the seasons of a year that drill a crop as planned: one or none, or each branch
// of a year that is chosen on the way, the one that is taken where no condition holds first.
func (c *Calendar) Drilling(year int, crop string) []*Season {
	var out []*Season
	add := func(s *Season) {
		if s.Courses[0].Drill != nil && s.Courses[0].Crop.Name == crop && !slices.ContainsFunc(out, func(x *Season) bool { return x.Place == s.Place }) {
			out = append(out, s)
		}
	}
	add(&c.Seasons[year])
	if c.Rules != nil {
		for i := range c.Rules.Ways {
			if w := &c.Rules.Ways[i]; w.Year == year {
				add(&w.Season)
			}
		}
	}
	return out
}

// withDrilling moves one branch of a year, by the place where it stands; of a year that is not
// chosen the only one.
func (c *Calendar) withDrilling(season int, branch string, on date.Day, along bool) (out *Calendar, err error) {
	moved := *c
	out = &moved
	if c.Rules != nil {
		if out.Rules, err = c.Rules.withDrilling(season, branch, on, along); err != nil {
			return nil, err
		}
	}
	if c.Seasons[season].Place != branch {
		return out, nil
	}
	s, err := c.Seasons[season].drilled(on, along)
	if err != nil {
		return nil, err
	}
	out.Seasons = slices.Clone(c.Seasons)
	out.Seasons[season] = s
	out.Warnings = slices.DeleteFunc(slices.Clone(c.Warnings), func(w Warning) bool { return w.Code == CoverSprayedOff && w.Season == season+1 })
	out.Warnings = append(out.Warnings, coverSprayed(&s, season+1)...)
	return out, nil
}

// withDrilling are the rules with one branch of a year drilled on another day, wherever it
// stands.
func (r *Rules) withDrilling(year int, branch string, on date.Day, along bool) (*Rules, error) {
	out := *r
	out.Ways = slices.Clone(r.Ways)
	for i := range out.Ways {
		w := &out.Ways[i]
		if w.Year != year || w.Place != branch {
			continue
		}
		var err error
		if w.Season, err = w.Season.drilled(on, along); err != nil {
			return nil, err
		}
	}
	return &out, nil
}

// drilled is a season with its planned crop drilled on another day.
func (x *Season) drilled(on date.Day, along bool) (Season, error) {
	s := *x
	if err := s.takes(on, along); err != nil {
		return s, err
	}
	planned := s.Courses[0].Drill
	s.Courses = slices.Clone(s.Courses)
	course := &s.Courses[0]
	drill := *planned
	shift := on - planned.On
	if drill.On = on; on > planned.Latest {
		drill.Latest = on + pastLatest
	}
	course.Drill = &drill
	course.Operations = slices.Clone(course.Operations)
	for i := range course.Operations {
		o := &course.Operations[i]
		was := o.due(planned)
		with := o.goesWithDrill() && o.Latest == planned.Latest
		if o.movesWith(planned, along) {
			wait := o.Latest - o.On
			o.On = max(o.On+shift, s.Open)
			o.Latest = o.On + wait
		}
		if with {
			o.Latest = drill.Latest
		}
		o.countBack(on)
		o.If = o.If.later(o.due(&drill) - was)
	}
	byDay(course.Operations, &drill)
	if s.Cover != nil && s.Cover.Destroy > on {
		cover := *s.Cover
		cover.Destroy = on
		s.Cover = &cover
	}
	return s, nil
}

// takes says why a season's planned crop cannot be drilled on a day; nil where it can.
func (s *Season) takes(on date.Day, along bool) error {
	switch {
	case s.Courses[0].Drill == nil:
		return fmt.Errorf("%s in %d is not drilled", s.Courses[0].Crop.Name, s.HarvestYear)
	case on < s.Open:
		return fmt.Errorf("%v is before the season of harvest %d opens, %v", on, s.HarvestYear, s.Open)
	case on+80 > s.End:
		return fmt.Errorf("%v is less than 80 days before the harvest of %d, %v", on, s.HarvestYear, s.End)
	case s.Cover != nil && on < s.Cover.Sow:
		return fmt.Errorf("%v is before the cover crop is sown, %v", on, s.Cover.Sow)
	case s.Cover != nil && on < s.Cover.Destroy && !along:
		return fmt.Errorf("%v is before the cover crop is destroyed, %v, and its destruction is not to move", on, s.Cover.Destroy)
	}
	return nil
}

// movesWith tells whether an operation moves with a drilling: what is counted back from it
// always does, as it would in a plan with another date; what has a date of its own does as
// part of the seedbed, where that is to move along.
func (o *Operation) movesWith(d *Drilling, along bool) bool {
	switch o.Timing {
	case BeforeDrilling:
		return true
	case OnDate:
		return along && o.On <= d.On && o.On >= d.On-movesAlong
	}
	return false
}

// countBack counts work that was counted back from another day of drilling back from
// this one. Work that is not before it any more has a date of its own.
func (o *Operation) countBack(on date.Day) {
	if o.Timing != BeforeDrilling {
		return
	}
	if o.Days = int(on - o.On); o.Days <= 0 {
		o.Timing, o.Days = OnDate, 0
	}
}

// MovesAlong is the work that keeps its distance to the drilling of a season's
// planned crop when that is moved, in order, as planned; along: with the seedbed's work.
func (c *Calendar) MovesAlong(season int, along bool) []Operation {
	var out []Operation
	course := &c.Seasons[season].Courses[0]
	for _, o := range course.Operations {
		if course.Drill != nil && o.movesWith(course.Drill, along) {
			out = append(out, o)
		}
	}
	return out
}

// UsualDrilling is the day and the latest day that the library's usual practice
// has for a season's planned crop; ok is false where it has none.
func (c *Calendar) UsualDrilling(season int) (on, latest date.Day, ok bool) {
	s := &c.Seasons[season]
	n, ok := s.Courses[0].Crop.Usual.(*sheet.Node)
	if !ok || n == nil {
		return 0, 0, false
	}
	drill := sheet.ReadAt(n, seasonTable(false), "usual", &sheet.Mistakes{}).Map("drill")
	v, l := drill.Get("date"), drill.Get("latest")
	if v == nil || l == nil || v.Date.Full || l.Date.Full {
		return 0, 0, false
	}
	on, _ = v.Date.Annual.OnOrAfter(s.Open)
	latest, _ = l.Date.Annual.OnOrAfter(on)
	return on, latest, true
}

// WithInfestation is the calendar with another infestation at the start: that
// many heads per m² where the plan starts from counted heads, else its seedbank
// so many times over.
func (c *Calendar) WithInfestation(x float64) *Calendar {
	out := *c
	fixed := func(v *params.Value, x float64) *params.Value {
		if v == nil {
			return nil
		}
		w := *v
		w.Central, w.Spread = x, params.Spread{}
		return &w
	}
	if !c.HasSeedbank {
		out.Heads = fixed(c.Heads, x)
		return &out
	}
	for l, v := range c.Seedbank {
		if v != nil {
			out.Seedbank[l] = fixed(v, v.Central*x)
		}
	}
	if c.FreshPerM2 != nil {
		out.FreshPerM2 = fixed(c.FreshPerM2, c.FreshPerM2.Central*x)
	}
	return &out
}
