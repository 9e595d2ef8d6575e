package study

import (
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
)

// Seasons that are chosen on the way, and work in them. Runs took a branch for what was seen,
// so that what branches differ by is not what they do.

// chosen summarises a season of which runs chose the branch.
func chosen(c *rotations.Calendar, o *ensemble.Outcome, i int) Season {
	runs := make([][]int, c.Branches(i))
	for k, b := range o.Column(sim.Branch, i) {
		runs[int(b)] = append(runs[int(b)], k)
	}
	most := 0
	var parts []Season
	for b, of := range runs {
		season := c.Taken(i, b)
		if season == nil { // what is known ahead rules it out
			continue
		}
		part := Season{Season: season, Crop: season.Courses[0].Crop.Name}
		if len(of) > 0 {
			part = summarise(season, o, i, of)
			part.Work = workOf(o, season, i, b)
		}
		part.Branch, part.If, part.Taken = b, c.Rules.Years[i].Branches[b].If, float64(len(of))/float64(o.Replicates)
		if parts = append(parts, part); part.Taken > parts[most].Taken {
			most = len(parts) - 1
		}
	}
	if len(parts) == 1 {
		s := parts[0]
		s.If = ""
		return s
	}
	s := summariseAll(c, o, i, parts[most].Season)
	s.Parts = parts
	s.Grown = nil
	for _, p := range append([]Season{parts[most]}, parts...) {
		for _, g := range p.Grown {
			if indexOf(s.Grown, g.Name) < 0 {
				s.Grown = append(s.Grown, Grown{Name: g.Name})
			}
		}
	}
	for _, p := range parts {
		for _, g := range p.Grown {
			s.Grown[indexOf(s.Grown, g.Name)].Share += g.Share * p.Taken
		}
		s.Work = append(s.Work, p.Work...)
	}
	return s
}

// summariseAll summarises a season over all runs, whichever branch they took. What was
// drilled is of the runs that drilled the crop of their branch.
func summariseAll(c *rotations.Calendar, o *ensemble.Outcome, i int, planned *rotations.Season) Season {
	s := Season{Season: planned, Crop: planned.Courses[0].Crop.Name, Taken: 1}
	for m := range sim.MetricCount {
		column := o.Column(m, i)
		s.Bands[m] = band(column)
		if sim.Metrics[m].Ledger {
			s.Ledger[m] = mean(column)
		}
	}
	s.Extinct = mean(o.Column(sim.Extinct, i))
	if b := s.Bands[sim.TooMany]; b.N > 0 {
		s.TooMany = b.Mean
	}
	if planned.Courses[0].Drill != nil {
		s.Drilled = drilled(o.Column(sim.Course, i), o.Column(sim.DrilledOn, i))
	}
	return s
}

// Units are the seasons that something can be said of for themselves: the branches of what is
// chosen, where any run took them, else the season.
func (s *Season) Units() []*Season {
	if s.Parts == nil {
		return []*Season{s}
	}
	var out []*Season
	for i := range s.Parts {
		if s.Parts[i].Taken > 0 {
			out = append(out, &s.Parts[i])
		}
	}
	return out
}

// some are the values of some runs; of nil those of all.
func some(column []float64, runs []int) []float64 {
	if runs == nil {
		return column
	}
	out := make([]float64, len(runs))
	for i, k := range runs {
		out[i] = column[k]
	}
	return out
}

// branchOf is the branch of a season of a model of a calendar.
func branchOf(c *rotations.Calendar, at int) int {
	if c.Rules == nil {
		return 0
	}
	return c.Rules.Ways[at].Branch
}

// alikeWork is one piece of work of a branch, whatever stands before it.
type alikeWork struct {
	sim.Work
	ids []int
}

// addAlike adds a piece of work to that which is the same behind another season.
func addAlike(c *rotations.Calendar, sorts []*alikeWork, id int, w sim.Work) []*alikeWork {
	for _, s := range sorts {
		if s.At != w.At && s.Is == w.Is && s.Course == w.Course && s.Index == w.Index && sameWork(c, &s.Work, &w) {
			s.ids = append(s.ids, id)
			return sorts
		}
	}
	return append(sorts, &alikeWork{w, []int{id}})
}

func sameWork(c *rotations.Calendar, a, b *sim.Work) bool {
	if a.Is != sim.Operation {
		return true
	}
	x, y := &c.SeasonAt(a.At).Courses[a.Course].Operations[a.Index], &c.SeasonAt(b.At).Courses[b.Course].Operations[b.Index]
	on := func(d date.Day) (m, day int) { _, month, n := d.Date(); return int(month), n }
	if x.With != y.With || x.Timing != y.Timing || x.Days != y.Days {
		return false
	}
	xm, xd := on(x.On)
	ym, yd := on(y.On)
	return x.Timing == rotations.AfterHarvest || x.Timing == rotations.AfterDrilling || xm == ym && xd == yd
}

// doneOf is what became of a piece of work in a run, in whichever of its places it stood.
func doneOf(o *ensemble.Outcome, ids []int, k int) ensemble.Done {
	for _, id := range ids {
		if d := o.Done(id, k); d.Why != sim.NotCalled {
			return d
		}
	}
	return o.Done(ids[0], k)
}

// neverTaken tells of a branch that no run took.
func neverTaken(i int, s *Season) *Warning {
	for k := range s.Parts {
		if s.Parts[k].Taken == 0 {
			return &Warning{Code: NeverTaken, Season: i + 1, Of: &s.Parts[k]}
		}
	}
	return nil
}
