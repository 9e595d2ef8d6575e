package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"rundown/cmd/internal/findings"
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim/study"
)

// day is a flag that takes a date, with its year or as plans write it without.
type day struct {
	day    date.Day
	annual date.Annual // without a year; of the season then
	given  bool
}

func (d *day) String() string {
	switch {
	case !d.given:
		return ""
	case d.annual.Day > 0:
		return d.annual.String()
	}
	return d.day.String()
}

func (d *day) Type() string { return "date" }

func (d *day) Set(s string) error {
	on, err := date.ParseDay(s)
	if err != nil {
		on, err = date.ParseSpoken(s)
	}
	if err == nil {
		*d = day{day: on, given: true}
		return nil
	}
	a, err := date.ParseAnnual(s)
	if err != nil {
		return fmt.Errorf("expected a date like 25 Sep, of the season that is moved, or 2026-09-25")
	}
	*d = day{annual: a, given: true}
	return nil
}

// on is the day; without a year the first on or after a season opens.
func (d *day) on(open date.Day) date.Day {
	if d.annual.Day == 0 {
		return d.day
	}
	on, _ := d.annual.OnOrAfter(open) // 29 Feb of another year is 1 Mar
	return on
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

// moveFlag says whether work moves with the drilling.
type moveFlag string

func (m *moveFlag) String() string { return string(*m) }
func (m *moveFlag) Type() string   { return "what" }
func (m *moveFlag) Set(s string) error {
	if s != "along" && s != "none" {
		return errors.New("expected along or none")
	}
	*m = moveFlag(s)
	return nil
}

// seasons are those to move: the one asked for, or every season of the crop that is
// drilled first, after the last count where there is one.
func (o *drillingOptions) seasons(c *rotations.Calendar, f *flagSet, past *findings.Past) ([]int, error) {
	moves := func(i int, s *rotations.Season) bool {
		drill := s.Courses[0].Drill
		return drill != nil && (o.season == c.Seasons[i].HarvestYear || o.season == 0 && (past == nil || drill.On > past.Posterior.Last))
	}
	for i := range c.Seasons { // what is taken where no condition holds names the crop and its dates
		if !moves(i, &c.Seasons[i]) || o.crop != "" && o.crop != c.Seasons[i].Courses[0].Crop.Name {
			continue
		}
		out, crop := []int{i}, c.Seasons[i].Courses[0].Crop.Name
		for k := range c.Seasons {
			if all := c.Drilling(k, crop); k != i && len(all) > 0 && !slices.ContainsFunc(all, func(s *rotations.Season) bool { return !moves(k, s) }) {
				out = append(out, k)
			}
		}
		return out, nil
	}
	return nil, o.noneMoves(c, f, past, moves)
}

// noneMoves says why no season moves.
func (o *drillingOptions) noneMoves(c *rotations.Calendar, f *flagSet, past *findings.Past, moves func(int, *rotations.Season) bool) error {
	var crops []string
	for i := range c.Seasons {
		for b := range c.Branches(i) {
			s := c.Taken(i, b)
			if s == nil || !moves(i, s) {
				continue
			}
			crop := s.Courses[0].Crop.Name
			if o.crop == "" || o.crop == crop {
				return f.wrong(fmt.Sprintf("the plan drills %s for harvest %d only where a condition holds; dates are those of a last branch, which has no if",
					strings.ReplaceAll(crop, "-", " "), c.Seasons[i].HarvestYear), "write the branch that grows "+crop+" last in its choose")
			}
			if !slices.Contains(crops, crop) {
				crops = append(crops, crop)
			}
		}
	}
	what := "the plan drills nothing"
	if o.crop != "" {
		what = "--crop " + o.crop + ": the plan drills none"
	}
	if o.season != 0 {
		what = fmt.Sprintf("--season %d: %s for harvest %d", o.season, what, o.season)
	} else if past != nil {
		what += fmt.Sprintf(" after the last count, on %v", past.Posterior.Last)
	}
	hint := fmt.Sprintf("its harvests are %d to %d", c.Seasons[0].HarvestYear, c.Seasons[len(c.Seasons)-1].HarvestYear)
	if len(crops) > 0 {
		hint = "it drills " + strings.Join(crops, ", ")
	}
	return f.wrong(what, hint)
}

// dates are those asked for, of the first season moved; the planned one is always
// among them.
func (o *drillingOptions) dates(q *study.DrillingRequest, f *flagSet, past *findings.Past) (dates []date.Day, err error) {
	c, season, planned := q.Calendar, q.Season(), q.PlannedDay()
	from, to := usualRange(q)
	open := c.Seasons[season].Open
	if o.from.given {
		from = o.from.on(open)
	}
	if o.to.given {
		to = o.to.on(open)
	}
	if err := tooEarly(c, season, from, o.from.given, past, f); err != nil {
		return nil, err
	}
	if to < from {
		return nil, f.wrong(before(from, to, o, open))
	}
	step := date.Day(o.every)
	if !o.from.given { // so that the planned date is a step
		if short := (planned - from) % step; short <= step/2 || from+short-step <= c.Seasons[season].Open {
			from += short
		} else {
			from += short - step
		}
	}
	if past != nil && !o.from.given && planned <= past.Posterior.Last {
		return nil, f.wrong(fmt.Sprintf("--posterior: harvest %d is past for these counts: its drilling comes before the last of them, on %s",
			c.Seasons[season].HarvestYear, past.Posterior.Last.Short()), "leave --season out, or name a harvest that is drilled later")
	}
	for d := from; d <= to; d += step {
		if past != nil && !o.from.given && departs(q, d, past) {
			continue // it would have changed what was done before the last count
		}
		dates = append(dates, d)
	}
	if len(dates) < 2 || len(dates) > 60 {
		return nil, f.wrong(fmt.Sprintf("--every %dd gives %d from %v to %v; the number of dates must be from 2 to 60", int(o.every), len(dates),
			from, to), "give --from, --to and --every")
	}
	if at, there := slices.BinarySearch(dates, planned); !there {
		dates = slices.Insert(dates, at, planned)
	}
	return dates, nil
}

// before says that the dates end before they begin, where one end may be the usual one.
func before(from, to date.Day, o *drillingOptions, open date.Day) (what, hint string) {
	switch {
	case !o.to.given:
		return fmt.Sprintf("--from %v is after the last date that is tried for the season, %v", from, to),
			fmt.Sprintf("name the season that is meant with --season, or write a day from %v on, and --to", open)
	case !o.from.given:
		return fmt.Sprintf("--to %v is before the first date that is tried for the season, %v", to, from), "give --from too"
	}
	return fmt.Sprintf("--to %v is before --from %v", to, from), "write the earlier day after --from"
}

// tooEarly says of a first day before the season that is moved, where counts are gone on from, that the
// seasons before are past.
func tooEarly(c *rotations.Calendar, season int, from date.Day, given bool, past *findings.Past, f *flagSet) error {
	s := &c.Seasons[season]
	if past == nil || !given || from >= s.Open || season == 0 || from < c.Start {
		return nil
	}
	_, month, day := from.Date()
	on, _ := date.Annual{Month: month, Day: day}.OnOrAfter(s.Open)
	return f.wrong(fmt.Sprintf("--from %v is of a season that is past for these counts, the last of which is of %s; the first drilling that can still "+
		"move is that for harvest %d", from, past.Posterior.Last.Short(), s.HarvestYear),
		fmt.Sprintf("write --from %v, or a day without a year, which is taken for that season", on))
}

// departs tells whether drilling on a day would change the past.
func departs(q *study.DrillingRequest, d date.Day, past *findings.Past) bool {
	moved, err := q.Moved(q.Calendar, d)
	if err != nil {
		return true
	}
	here, there := moved.Departures(past.Posterior.Last, past.Posterior.Past)
	return len(here)+len(there) > 0
}

// usualRange is what is swept when nothing is asked for: from two weeks before
// the crop's usual drilling to ten days after the latest, the planned date in it,
// as far as every season that is moved allows.
func usualRange(q *study.DrillingRequest) (from, to date.Day) {
	c, planned := q.Calendar, q.PlannedDay()
	drill := c.Seasons[q.Season()].Courses[0].Drill
	from, to = planned-beforeUsual, drill.Latest+afterLatest
	if on, latest, ok := c.UsualDrilling(q.Season()); ok && max(on-planned, planned-on) < tooFar {
		from, to = min(planned, on-beforeUsual), max(drill.Latest, latest)+afterLatest
	}
	for _, i := range q.Seasons {
		for _, s := range c.Drilling(i, c.Seasons[q.Season()].Courses[0].Crop.Name) {
			earliest := s.Open + 1
			if s.Cover != nil {
				earliest = max(earliest, s.Cover.Sow)
				if q.Alone {
					earliest = max(earliest, s.Cover.Destroy)
				}
			}
			shift := s.Courses[0].Drill.On - planned
			from, to = max(from, earliest-shift), min(to, s.End-ripening-shift)
		}
	}
	return min(from, planned), max(to, planned)
}
