package sim

import (
	"rundown/params/date"
	"rundown/rotations"
)

// Decisions of a plan: what is grown next, and which work is done. What they hang on is in
// sight.go; a plan without any has none of this.

// rules is what a model's decisions hang on.
type rules struct {
	counting rotations.Counting
	sights   []sight
	heads    []bool // by year: they are counted in mid-June
}

// decision is what comes behind a season: one season, or the first of several whose
// condition holds, the last having none.
type decision struct {
	next []int // of the model's seasons
	ifs  []*condition
	from date.Day // it is not taken before
	// place is that of the model's places where whoever runs it chooses, from 1; 0: none.
	place int
}

// condition holds when all of its tests do.
type condition struct{ tests []test }

// test is one thing that a condition asks for.
type test struct {
	rotations.Test
	sight int // what is looked at for it; −1: nothing is
	any   []*condition
}

// asker is the work, or the choice, that a condition belongs to.
type asker struct {
	year, at, course    int // at −1: a choice
	late                bool
	after, afterHarvest int
}

// job is the asker for one of its jobs.
func (a asker) job(late bool, after, afterHarvest int) asker {
	a.late, a.after, a.afterHarvest = late, after, afterHarvest
	return a
}

// compileRules makes the seasons of every way through a plan.
func (m *Model) compileRules(r *rotations.Rules) {
	m.rules = &rules{counting: r.Counting, heads: make([]bool, len(r.Years))}
	for i := range r.Ways {
		w := &r.Ways[i]
		s := m.compileSeason(w.Year, &w.Season)
		s.year, s.branch = w.Year, w.Branch
		s.then = m.compileDecision(&w.Then, w.Year+1)
		s.then.place = w.Fork
		m.seasons = append(m.seasons, s)
	}
	m.compilePlaces(r)
	m.opening = m.compileDecision(&r.First, 0)
}

// compileDecision makes what is decided for a year.
func (m *Model) compileDecision(d *rotations.Decision, year int) decision {
	out := decision{next: d.Next, from: d.On, place: d.Fork}
	for _, c := range d.Ifs {
		seen := len(m.rules.sights)
		out.ifs = append(out.ifs, m.compileIf(c, asker{year: year, at: -1}))
		for _, s := range m.rules.sights[seen:] {
			out.from = max(out.from, s.on+1) // what is looked for must have been seen
		}
	}
	return out
}

// compilePlaces makes what may be chosen, by place and entry.
func (m *Model) compilePlaces(r *rotations.Rules) {
	years := make([]int, len(r.Places)) // in which they are
	for i := range r.Ways {
		if p := r.Ways[i].Fork; p > 0 {
			years[p-1] = r.Ways[i].Year + 1
		}
	}
	for i, entries := range r.Places {
		var list []decision
		for _, d := range entries {
			if d == nil {
				list = append(list, decision{})
				continue
			}
			list = append(list, m.compileDecision(d, years[i]))
		}
		m.places = append(m.places, list)
	}
}

// compileIf makes a condition; nil of nil.
func (m *Model) compileIf(c *rotations.Condition, of asker) *condition {
	if c == nil {
		return nil
	}
	out := &condition{}
	for _, x := range c.Tests {
		t := test{Test: x, sight: -1}
		switch x.What {
		case rotations.HeadsSeen:
			year := of.year
			if !x.ThisSeason {
				year--
			}
			m.rules.heads[year] = true
		case rotations.PlantsSeen, rotations.SeedSeen, rotations.GroundDry:
			t.sight = len(m.rules.sights)
			m.rules.sights = append(m.rules.sights, sight{asker: of, what: x.What, on: x.Seen, before: x.Before})
		case rotations.AnyOf:
			for _, a := range x.Any {
				t.any = append(t.any, m.compileIf(a, of))
			}
		}
		out.tests = append(out.tests, t)
	}
	return out
}

// rule puts what a piece of work hangs on into its course and tells its number; 0 for none.
func (c *course) rule(x *condition) int {
	if x == nil {
		return 0
	}
	c.ifs = append(c.ifs, x)
	return len(c.ifs)
}

// nextSeason opens what is grown next, or waits until it is decided.
func (w *Worker) nextSeason(d *decision) {
	if d.place > 0 {
		d = &w.m.places[d.place-1][w.chosen]
	}
	w.openBooks()
	w.seen.harvested = w.today - 1
	if len(d.next) > 1 && w.today < d.from {
		w.at, w.undecided, w.seen.pending = d.next[len(d.next)-1], true, d
		w.clearSeason()
		w.standBare()
		return
	}
	w.at = w.decide(d)
	w.openSeason()
}

// decideIfDue decides what is grown on the day for it.
func (w *Worker) decideIfDue() {
	if d := w.seen.pending; w.today >= d.from {
		w.at, w.undecided, w.seen.pending = w.decide(d), false, nil
		w.openSeason()
	}
}

// standBare is a season in which nothing is decided yet.
func (w *Worker) standBare() {
	w.cropAt, w.harvestOn = w.m.seasons[w.at].courses[0].crop, 0
	w.before.Start(nil, w.today)
	w.after.Start(nil, w.today)
	w.standNothing()
}

// decide is the first season of several whose condition holds, else the last.
func (w *Worker) decide(d *decision) int {
	for i, c := range d.ifs {
		if w.holds(c, true) {
			return d.next[i]
		}
	}
	return d.next[len(d.next)-1]
}

// holds tells whether a condition does, for a choice or for work in the season.
func (w *Worker) holds(c *condition, choice bool) bool {
	for i := range c.tests {
		if !w.passes(&c.tests[i], choice) {
			return false
		}
	}
	return true
}

func (w *Worker) passes(t *test, choice bool) bool {
	switch t.What {
	case rotations.HeadsSeen:
		x := w.seen.headsBefore
		if t.ThisSeason {
			x = w.seen.heads
		}
		return x > t.Above && x < t.Below
	case rotations.DrilledBy:
		on := w.crop.Drilled
		if choice {
			on = w.seen.drilledBefore
		}
		return on != 0 && on <= t.By
	case rotations.CropBefore:
		return w.stoodBefore(t.Crops)
	case rotations.AnyOf:
		for _, c := range t.any {
			if w.holds(c, choice) {
				return true
			}
		}
		return false
	case rotations.KnownAhead:
		return t.Holds
	}
	x := w.sighted(t.sight)
	if t.What == rotations.GroundDry {
		return (x > 0) == t.Holds
	}
	return x > t.Above && x < t.Below
}

func (w *Worker) stoodBefore(names []string) bool {
	stood := w.m.tables.crops[w.seen.cropBefore].Name
	for _, name := range names {
		if name == stood {
			return true
		}
	}
	return false
}

// leaveSeason keeps of a season that is over what later ones may ask for.
func (w *Worker) leaveSeason() {
	w.seen.cropBefore, w.seen.drilledBefore = w.cropIndex(), w.crop.Drilled
	w.seen.headsBefore, w.seen.heads = w.seen.heads, 0
}

// ask decides on the work of the course that has come due.
func (w *Worker) ask(c *course) {
	for k := w.before.Asks(w.today, 0); k > 0; k = w.before.Asks(w.today, 0) {
		w.before.Decide(k, w.holds(c.ifs[k-1], false))
	}
	for k := w.after.Asks(w.today, w.crop.Drilled); k > 0; k = w.after.Asks(w.today, w.crop.Drilled) {
		w.after.Decide(k, w.holds(c.ifs[k-1], false))
	}
}

// controls tells whether weed seed is to be controlled at this harvest.
func (w *Worker) controls(c *course) bool {
	return c.control >= 0 && (c.controlIf == nil || w.holds(c.controlIf, false))
}

// rulesDue tells the days on which something is looked at, asked or decided.
func (w *Worker) rulesDue(by func(date.Day)) {
	if w.undecided {
		by(w.seen.pending.from)
	}
	for i := range w.m.rules.sights {
		by(w.sightOn(&w.m.rules.sights[i]))
	}
	by(w.before.AskDue(0))
	by(w.after.AskDue(w.crop.Drilled))
}
