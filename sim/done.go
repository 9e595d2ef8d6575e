package sim

import (
	"slices"

	"rundown/rotations"
	"rundown/sim/fieldwork"
	"rundown/sim/stand"
)

// Work is a piece of work of a calendar: where in it it stands, and what it acts on. Every
// piece has one place in the list that a model makes of them, whenever it is done.
type Work struct {
	Season, Course int
	At             int // the season of the calendar that it belongs to (rotations.Calendar.SeasonAt)
	Is             WorkKind
	Index          int // of an Operation: in its course's Operations
	On             Object
}

// WorkKind says what a piece of work is.
type WorkKind uint8

// Kinds of work.
const (
	Operation WorkKind = iota
	Drilled
	CoverSown
	CoverDestroyed
	SeedControlled // weed seed, at harvest
)

// Object says what the share killed by a piece of work is of.
type Object uint8

// Objects.
const (
	Nothing  Object = iota // it kills nothing
	Standing               // plants that stood
	ComingUp               // those that came up while a residual lasted, up to harvest
	Both                   // the two together
	OnHeads                // what the stand would have borne, or its seed: heads are cut, plants live
)

// Fate is what became of a piece of work in one run.
type Fate = fieldwork.Fate

// Reason says why a piece of work was not done.
type Reason = fieldwork.Reason

// Reasons. Those that made the pass are Made and NoObject.
const (
	NotCalled = fieldwork.NotCalled
	Made      = fieldwork.Made
	BadGround = fieldwork.BadGround
	NoCrop    = fieldwork.NoCrop
	LatestDay = fieldwork.LatestDay
	NoObject  = fieldwork.NoObject
	NotAsked  = fieldwork.NotAsked
	Reasons   = fieldwork.Reasons
)

// Work is every piece of work of the model's calendar. It must not be changed.
func (m *Model) Work() []Work { return m.work }

// NewFates makes room in a record for what became of the work.
func (m *Model) NewFates() []Fate { return make([]Fate, len(m.work)) }

// list puts a piece of work on the list and tells its place.
func (m *Model) list(is WorkKind, at int, on Object) int {
	m.work = append(m.work, Work{Is: is, Index: at, On: on})
	return len(m.work) - 1
}

// actsOn is what an operation acts on.
func (m *Model) actsOn(o *rotations.Operation) Object {
	switch {
	case o.Action == rotations.InCrop:
		if how := stand.Ways[o.With.Text["works"]]; how == stand.Cut || how == stand.Top {
			return OnHeads
		}
	case o.With.Text["role"] == "programme":
		residual := func(name string) bool {
			a := m.calendar.Library.Find("herbicides", name)
			return a != nil && a.Text["role"] == "residual"
		}
		actives := o.With.Lists["actives"]
		contact := func(name string) bool { return !residual(name) }
		switch {
		case !slices.ContainsFunc(actives, residual):
			return Standing
		case slices.ContainsFunc(actives, contact):
			return Both
		}
		return ComingUp
	}
	return Standing
}

// call writes down that a course is taken: until more is known of its work, the crop that it
// belongs to is not there.
func (w *Worker) call(at int) {
	if w.fates == nil {
		return
	}
	c := &w.m.seasons[w.at].courses[at]
	if c.drill {
		w.fates[c.drilling].Why = NoCrop
	}
	w.before.Call(c.before)
	w.before.Call(c.after)
	if c.control >= 0 {
		f := &w.fates[c.controlling]
		if f.Why = NoCrop; c.controlIf != nil {
			f.Why = NotAsked
		}
	}
}

// meets is how many plants a piece of work meets, where somebody asks. Steps must be closed.
func (w *Worker) meets() float64 {
	if w.fates == nil {
		return 0
	}
	for _, s := range w.spots {
		s.kept = 1
	}
	return w.expected()
}

// expected is how many plants are to be expected alive.
func (w *Worker) expected() (n float64) {
	for _, s := range w.spots {
		n += s.stand.Expected()
	}
	return n
}

// made writes down, where somebody asks, that a piece of work was done and what it
// killed of the plants that it met.
func (w *Worker) made(id int, met float64) {
	if w.fates == nil {
		return
	}
	f := &w.fates[id]
	*f = Fate{Day: w.today, Why: Made, Times: f.Times + 1}
	switch w.m.work[id].On {
	case Standing, Both:
		f.Met, f.Killed = met, met-w.expected()
	case OnHeads:
		if met >= 1 {
			f.Met = 1
			for _, s := range w.spots {
				f.Killed += s.share * (1 - s.kept) / float64(len(s.populations))
			}
		}
	}
}

// meetResidues tells residual programmes of this season how many seedlings came up, of which
// each killed its share.
func (s spot) meetResidues(n int64) {
	if s.fates == nil || s.season == s.m.years {
		return
	}
	first := s.m.seasons[s.at].work
	for i := range s.residues {
		if a := &s.residues[i]; a.By >= first {
			f := &s.fates[a.By]
			f.Met += float64(n)
			if s.u.genes.On {
				f.Killed += float64(n) * s.killedInSoil(a.By, n)
			} else {
				f.Killed += float64(n) * (1 - a.Live)
			}
		}
	}
}
