package study

import (
	"slices"
	"strings"
	"time"

	"rundown/params"
	"rundown/params/date"
	"rundown/rotations"
	particles "rundown/sim/update"
)

// Kind is what a crop is, as far as it decides how much seed its year leaves.
type Kind string

// Kinds.
const (
	WinterCrop Kind = "winter"
	SpringCrop Kind = "spring"
	LeyCrop    Kind = "ley"
	FallowLand Kind = "fallow"
)

func kindOf(crop *params.Entry) Kind {
	switch {
	case crop.Text["perennial"] == "yes":
		return LeyCrop
	case crop.Text["season"] == "none":
		return FallowLand
	case crop.Text["season"] == "spring":
		return SpringCrop
	}
	return WinterCrop
}

// kindIn is the kind of what is planned for a season; none where it is chosen among kinds.
func kindIn(c *rotations.Calendar, i int) Kind {
	kind := Kind("")
	for b := range c.Branches(i) {
		s := c.Taken(i, b)
		if s == nil {
			continue
		}
		if k := kindOf(s.Courses[0].Crop); kind != "" && k != kind {
			return ""
		} else {
			kind = k
		}
	}
	return kind
}

// cropsIn are the crops planned for a season, of all branches.
func cropsIn(c *rotations.Calendar, i int) string {
	names := ""
	for b := range c.Branches(i) {
		if s := c.Taken(i, b); s != nil {
			names += s.Courses[0].Crop.Name + " "
		}
	}
	return names
}

// oneCrop is the crop planned for a season; none where it is chosen among several.
func oneCrop(c *rotations.Calendar, i int) string {
	all := strings.Fields(cropsIn(c, i))
	if slices.ContainsFunc(all, func(name string) bool { return name != all[0] }) {
		return ""
	}
	return all[0]
}

// Ends are the two harvests whose seed is set against each other: that before the
// season From and that of the season To. After crops of another kind the same field
// holds other seed, so that To is the last harvest of the kind that stood before the
// start, within the last course of crops, where there is one.
type Ends struct {
	From, To int
	Before   *params.Entry // crop of the harvest before From, as planned
	After    *params.Entry // and of To
	Last     int           // season at which the course ends that To is looked for in
	Unlike   bool          // Before and After are of different kinds
	Chosen   bool          // After is chosen among several, and is that of one way
	Course   int           // seasons after which the crops repeat; 0: they do not
}

// endsOf finds the ends of a plan up to a season. With histories it begins in
// the June of the last year counted, unless nothing is left after that.
func endsOf(c *rotations.Calendar, p *particles.Posterior, last int) Ends {
	e := Ends{Before: c.LastCrop, Last: last, Course: course(c, last)}
	if p != nil {
		counted := date.Day(p.Last).Year()
		for i := range last {
			if c.Seasons[i].HarvestYear == counted && date.Of(counted, time.January, 1) <= p.Last {
				e.From, e.Before = i+1, c.Seasons[i].Courses[0].Crop
			}
		}
	}
	first := e.From
	if e.Course > 0 {
		first = max(first, last+1-e.Course)
	}
	e.To, e.Unlike = last, true
	for i := last; i >= first; i-- {
		if kindIn(c, i) == kindOf(e.Before) {
			e.To, e.Unlike = i, false
			break
		}
	}
	e.After = c.Seasons[e.To].Courses[0].Crop
	e.Chosen = c.Branches(e.To) > 1
	return e
}

// course is the number of seasons after which the crops of a plan repeat, as far
// as they go twice round up to a season; 0 where they do not.
func course(c *rotations.Calendar, last int) int {
	crop := func(i int) string { return cropsIn(c, i) }
	n := last + 1
next:
	for p := 1; 2*p <= n; p++ {
		for i := p; i < n; i++ {
			if crop(i) != crop(i-p) {
				continue next
			}
		}
		return p
	}
	return 0
}
