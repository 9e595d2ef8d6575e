package rotations

import (
	"fmt"

	"rundown/params"
	"rundown/params/date"
)

// Past is what the plan says of a field up to a day, a line each: where it
// starts from, and what is planned to be done by then. Plans with the same Past
// make the same of the same weather and luck until that day. Money is no part of
// it.
func (c *Calendar) Past(until date.Day) []string {
	p := c.Place()
	out := []string{
		fmt.Sprintf("field: %g ha, soil %s, climate %s, weather %s", p.AreaHa, p.Soil, p.Climate, c.weatherBy(until)),
		fmt.Sprintf("before the start: %s, after %s", p.History, p.LastCrop),
		fmt.Sprintf("weed: %s from %v, resistance %s, %g seeds per m² brought in a season", p.Weed, c.Start, p.Resistance, p.ImportPerM2),
	}
	if c.WorkOnItsDay {
		out = append(out, "work waits for nothing")
	}
	if c.HasSeedbank {
		for l, key := range params.Layers {
			out = append(out, fmt.Sprintf("seedbank at the start, %s: %s", key, quantity(c.Seedbank[l])))
		}
		out = append(out, "fresh seed at the start: "+quantity(c.FreshPerM2))
	} else {
		out = append(out, fmt.Sprintf("heads before the start: %s, trend %s", quantity(c.Heads), quantity(c.Trend)))
	}
	for i := range c.Seasons {
		if c.Seasons[i].Open <= until {
			out = append(out, c.Seasons[i].past(until)...)
		}
	}
	return out
}

// harvestAhead is how long before the median harvest of a crop its own may come.
const harvestAhead = 45

// past is what is planned of a season by a day. What is counted from the
// drilling is taken from its planned day; the crop grown otherwise belongs to the
// past once the planned one is given up.
func (s *Season) past(until date.Day) []string {
	var out []string
	add := func(format string, args ...any) {
		out = append(out, fmt.Sprintf("harvest %d: ", s.HarvestYear)+fmt.Sprintf(format, args...))
	}
	add("%s, from %v", s.Courses[0].Crop.Name, s.Open)
	if k := s.Cover; k != nil && k.Sow <= until {
		add("cover %s sown %v, at the latest %v%s", k.Mix.Name, k.Sow, k.Latest, map[bool]string{true: ", counted from the harvest before"}[k.AfterHarvest > 0])
		if k.Destroy <= until {
			add("cover destroyed %v with %s", k.Destroy, name(k.DestroyWith))
		}
	}
	for i := range s.Courses {
		c := &s.Courses[i]
		if i > 0 {
			if before := s.Courses[i-1].Drill; before == nil || before.Latest >= until {
				break
			}
			add("otherwise %s", c.Crop.Name)
		}
		for _, o := range c.Operations {
			if by := o.by(c.Drill); by != 0 && by <= until {
				add("%s %s%s", o.With.Name, o.when(), map[bool]string{true: ", well ploughed"}[o.GoodPlough])
			}
		}
		if d := c.Drill; d != nil && d.On <= until {
			add("%s drilled %v, at the latest %v, with %s, %g seeds per m², %g times the heads of a typical cultivar", c.Crop.Name, d.On, d.Latest,
				name(d.With), d.SeedsPerM2, c.CultivarFactor)
		}
		if s.End-harvestAhead <= until {
			add("%s harvested with %s, straw chopped: %v", c.Crop.Name, name(c.HarvestWith), c.StrawChopped)
		}
	}
	return out
}

// by is the day for which an operation is planned; 0 where nothing is drilled
// that it could be counted from.
func (o *Operation) by(d *Drilling) date.Day {
	switch {
	case o.Timing == OnDate, o.Timing == BeforeDrilling, o.Timing == AfterHarvest:
		return o.On
	case d == nil:
		return 0
	case o.Timing == AfterDrilling:
		return d.On + date.Day(o.Days)
	}
	return d.On
}

func (o *Operation) when() string {
	switch o.Timing {
	case OnDate, BeforeDrilling:
		return fmt.Sprintf("on %v, at the latest %v", o.On, o.Latest)
	case AfterHarvest:
		return fmt.Sprintf("%d days after the harvest before, at the latest %d later", o.Days, o.LatestAfter)
	case AfterDrilling:
		return fmt.Sprintf("%d days after drilling, at the latest %d later", o.Days, o.LatestAfter)
	}
	return "just before drilling"
}

// weatherBy is the weather up to a day: of a record what it holds until then.
func (c *Calendar) weatherBy(until date.Day) string {
	r := c.Record
	if r == nil || c.FitTo != nil { // a fitted climate hangs on the whole record
		return c.weather()
	}
	n := max(0, min(len(r.RainMM), int(until-r.Start)+1))
	beyond := "not needed"
	if n == len(r.RainMM) && r.Start+date.Day(n) <= until {
		beyond = map[bool]string{true: "resampled", false: "generated"}[c.Resample]
	}
	return fmt.Sprintf("a record, %d days of it from %v (sum of these days %.16s), beyond it %s", n, r.Start, sumOfDays(r, n), beyond)
}

// Departures are where the past of this plan up to a day is not the one that
// is given: lines that only one of them has, "" where there are none.
func (c *Calendar) Departures(until date.Day, past []string) (here, there []string) {
	count := map[string]int{}
	mine := c.Past(until)
	for _, line := range past {
		count[line]++
	}
	for _, line := range mine {
		if count[line]--; count[line] < 0 {
			here = append(here, line)
		}
	}
	for _, line := range past {
		if count[line] > 0 {
			count[line]--
			there = append(there, line)
		}
	}
	return here, there
}
