package rotations

import (
	"fmt"
	"slices"

	"rundown/params"
	"rundown/params/date"
)

// movesAlong is how many days before the planned drilling work still belongs
// to its seedbed and moves with it.
const movesAlong = 45

// WithDrilling is the calendar with one season's planned crop drilled on
// another day. Cultivations and sprays of the last six weeks before drilling keep
// their distance to it, as far as the season's opening allows; the latest day
// is the planned one, or ten days after the new date where that is later.
func (c *Calendar) WithDrilling(season int, on date.Day) (*Calendar, error) {
	s := c.Seasons[season]
	planned := s.Courses[0].Drill
	switch {
	case planned == nil:
		return nil, fmt.Errorf("%s in %d is not drilled", s.Courses[0].Crop.Name, s.HarvestYear)
	case on < s.Open:
		return nil, fmt.Errorf("%v is before the season of harvest %d opens, %v", on, s.HarvestYear, s.Open)
	case on+80 > s.End:
		return nil, fmt.Errorf("%v is less than 80 days before the harvest of %d, %v", on, s.HarvestYear, s.End)
	case s.Cover != nil && on < s.Cover.Sow:
		return nil, fmt.Errorf("%v is before the cover crop is sown, %v", on, s.Cover.Sow)
	}
	out := *c
	out.Seasons = slices.Clone(c.Seasons)
	s.Courses = slices.Clone(s.Courses)
	course := &s.Courses[0]
	drill := *planned
	shift := on - planned.On
	drill.On, drill.Latest = on, max(planned.Latest, on+10)
	course.Drill = &drill
	course.Operations = slices.Clone(course.Operations)
	for i := range course.Operations {
		o := &course.Operations[i]
		if o.Timing != OnDate || o.On > planned.On || o.On < planned.On-movesAlong {
			continue
		}
		wait := o.Latest - o.On
		o.On = max(o.On+shift, s.Open)
		o.Latest = o.On + wait
	}
	if s.Cover != nil && s.Cover.Destroy > on {
		cover := *s.Cover
		cover.Destroy = on
		s.Cover = &cover
	}
	out.Seasons[season] = s
	return &out, nil
}

// WithInfestation is the calendar with another count of heads at the start, or
// with its seedbank scaled by the same factor against a count of 40.
func (c *Calendar) WithInfestation(headsPerM2 float64) *Calendar {
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
		out.Heads = fixed(c.Heads, headsPerM2)
		return &out
	}
	const medium = 40
	for l, v := range c.Seedbank {
		if v != nil {
			out.Seedbank[l] = fixed(v, v.Central*headsPerM2/medium)
		}
	}
	if c.FreshPerM2 != nil {
		out.FreshPerM2 = fixed(c.FreshPerM2, c.FreshPerM2.Central*headsPerM2/medium)
	}
	return &out
}
