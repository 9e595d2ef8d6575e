package main

import (
	"fmt"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/params/date"
	"rundown/rotations"
)

// day is a flag that takes a full date.
type day struct {
	date.Day
	given bool
}

func (d *day) String() string {
	if !d.given {
		return ""
	}
	return d.Day.String()
}

func (d *day) Type() string { return "date" }

func (d *day) Set(s string) (err error) {
	d.Day, err = date.ParseDay(s)
	d.given = err == nil
	return err
}

// days is a flag that takes a number of days, as 5d.
type days int

func (d *days) String() string { return fmt.Sprintf("%dd", int(*d)) }

func (d *days) Type() string { return "days" }

func (d *days) Set(s string) error {
	n := 0
	if err := (whole{&n, 1, 60}).Set(strings.TrimSuffix(s, "d")); err != nil {
		return fmt.Errorf("expected a number of days from 1d to 60d")
	}
	*d = days(n)
	return nil
}

const (
	beforeUsual = 15  // days that the sweep begins before the crop's usual drilling
	afterLatest = 10  // days that it goes on after the latest
	tooFar      = 90  // a usual day further from the planned one is of another season
	ripening    = 100 // days before the harvest by which the crop must be in
)

// sweep is the season and the dates asked for.
func (o *drillingOptions) sweep(c *rotations.Calendar, f *flagSet, past *report.Past) (season int, dates []date.Day, err error) {
	season = -1
	for i := range c.Seasons {
		if s := &c.Seasons[i]; s.Courses[0].Drill != nil && (o.season == 0 && (past == nil || s.Courses[0].Drill.On > past.Posterior.Last) || o.season == s.HarvestYear) {
			season = i
			break
		}
	}
	if season < 0 {
		what := "the plan drills nothing"
		if o.season != 0 {
			what = fmt.Sprintf("the plan drills nothing for harvest %d", o.season)
		} else if past != nil {
			what = fmt.Sprintf("the plan drills nothing after the last count, on %v", past.Posterior.Last)
		}
		return 0, nil, f.wrong(what, fmt.Sprintf("its harvests are %d to %d", c.Seasons[0].HarvestYear, c.Seasons[len(c.Seasons)-1].HarvestYear))
	}
	from, to := usualRange(c, season)
	if o.from.given {
		from = o.from.Day
	}
	if o.to.given {
		to = o.to.Day
	}
	if to < from {
		return 0, nil, f.wrong(fmt.Sprintf("--to %v is before --from %v", to, from), "")
	}
	step := date.Day(o.every)
	if planned := c.Seasons[season].Courses[0].Drill.On; !o.from.given { // so that the planned date is one of them
		if short := (planned - from) % step; short <= step/2 || from+short-step <= c.Seasons[season].Open {
			from += short
		} else {
			from += short - step
		}
	}
	for d := from; d <= to; d += step {
		if past != nil && !o.from.given && departs(c, season, d, past) {
			continue // it would have changed what was done before the last count
		}
		dates = append(dates, d)
	}
	if len(dates) < 2 || len(dates) > 60 {
		return 0, nil, f.wrong(fmt.Sprintf("from %v to %v every %d days gives %d; the number of dates must be from 2 to 60", from, to, int(o.every), len(dates)), "give --from, --to and --every")
	}
	return season, dates, nil
}

// departs tells whether drilling on a day would change the past.
func departs(c *rotations.Calendar, season int, d date.Day, past *report.Past) bool {
	moved, err := c.WithDrilling(season, d)
	if err != nil {
		return true
	}
	here, there := moved.Departures(past.Posterior.Last, past.Posterior.Past)
	return len(here)+len(there) > 0
}

// usualRange is what is swept when nothing is asked for: from two weeks before
// the crop's usual drilling to ten days after the latest, the planned date in it,
// as far as the season allows.
func usualRange(c *rotations.Calendar, season int) (from, to date.Day) {
	s := &c.Seasons[season]
	drill := s.Courses[0].Drill
	from, to = drill.On-beforeUsual, drill.Latest+afterLatest
	if on, latest, ok := c.UsualDrilling(season); ok && max(on-drill.On, drill.On-on) < tooFar {
		from, to = min(drill.On, on-beforeUsual), max(drill.Latest, latest)+afterLatest
	}
	earliest := s.Open + 1
	if s.Cover != nil {
		earliest = max(earliest, s.Cover.Sow)
	}
	return min(max(from, earliest), drill.On), max(min(to, s.End-ripening), drill.On)
}
