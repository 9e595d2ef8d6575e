package sim

import (
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim/random"
)

// What decisions hang on is seen as a grower sees it: a count in some quadrats or cores,
// about what is really there. It is seen before it is decided, and whoever looks changes
// nothing. All of one day is one visit.

// sight is something that is looked at for a decision.
type sight struct {
	asker
	what   rotations.Observation
	on     date.Day // 0: before days before the work is due
	before int
}

// look is what was seen of a sight.
type look struct {
	x  float64
	ok bool
}

// sightings are what a run has seen, and what it has decided to wait for.
type sightings struct {
	looks              []look  // by sight
	heads, headsBefore float64 // counted in the season's June, and in that before
	cropBefore         int     // that stood in the season before
	drilledBefore      date.Day
	harvested          date.Day  // the last harvest
	pending            *decision // that has to wait for its day
	visited            date.Day  // when the field was last visited
	quadratsOn         date.Day  // when quadrats were last counted there, and cores taken
	coresOn            date.Day
	owed               float64 // per ha, for visits between two seasons
}

// CoresShow is the share of the viable seed in a core that shows as seedlings (assumed): what
// is seen by cores is less than there is.
const CoresShow = 0.6

// Quantities that are seen, as parts of addresses.
const (
	sawHeads = iota + 1
	sawPlants
	sawSeedlings
)

// observe looks at what decisions hang on and is to be seen today.
func (w *Worker) observe() {
	r := w.m.rules
	if r == nil || w.stage == beforePlan {
		return
	}
	for i := range r.sights {
		if w.sees(&r.sights[i]) {
			w.seen.looks[i] = look{w.lookFor(r.sights[i].what), true}
		}
	}
}

// sees tells whether something is looked at today.
func (w *Worker) sees(s *sight) bool {
	if w.sightOn(s) != w.today {
		return false
	}
	if s.at < 0 {
		return w.season == s.year || w.season == s.year-1
	}
	if w.at != s.at || w.course != s.course || w.undecided || w.stage != growing {
		return false
	}
	c := &w.m.seasons[w.at].courses[w.course]
	return !c.drill || s.late == (w.crop.Drilled != 0) // else it is not done any more, or not yet
}

// sightOn is the day of looking, as far as it is known: what is counted from a drilling or a
// harvest is not before that.
func (w *Worker) sightOn(s *sight) date.Day {
	switch {
	case s.on != 0:
		return s.on
	case s.afterHarvest > 0:
		return w.seen.harvested + date.Day(s.afterHarvest-s.before)
	}
	return w.crop.Drilled + date.Day(s.after-s.before)
}

// sighted is what was seen of a sight; what was not looked at, because the run came to it
// earlier than planned, is looked at now.
func (w *Worker) sighted(i int) float64 {
	if l := &w.seen.looks[i]; l.ok {
		return l.x
	}
	return w.lookFor(w.m.rules.sights[i].what)
}

// lookFor is what is seen of something today.
func (w *Worker) lookFor(what rotations.Observation) float64 {
	c := &w.m.rules.counting
	switch what {
	case rotations.GroundDry:
		return w.lookAtGround(WatchWorkable)
	case rotations.SeedSeen:
		w.visit(&w.seen.coresOn, float64(c.Cores)*c.CostPerCore)
		there := CoresShow * w.look(Watch{Day: w.today, What: WatchTop, DepthCM: c.DepthCM})
		return w.quadrats(there, sawSeedlings, w.today, c.Cores, c.CoreM2)
	}
	w.visit(&w.seen.quadratsOn, float64(c.Quadrats)*c.CostPerQuadrat)
	return w.quadrats(w.look(Watch{Day: w.today, What: WatchPlants}), sawPlants, w.today, c.Quadrats, c.QuadratM2)
}

// countHeads counts the heads of mid-June where something hangs on them.
func (w *Worker) countHeads() {
	r := w.m.rules
	if r == nil || !r.heads[w.season] {
		return
	}
	c := &r.counting
	w.visit(&w.seen.quadratsOn, float64(c.Quadrats)*c.CostPerQuadrat)
	w.seen.heads = w.quadrats(w.values[Heads], sawHeads, w.midJune(), c.Quadrats, c.QuadratM2)
}

// quadrats is a count of so many quadrats, or cores, of a size about a density, per m²: all of
// them together, so that a better look at a field has the luck of a worse one.
func (w *Worker) quadrats(there float64, what uint8, day date.Day, n int, area float64) float64 {
	if w.m.rules.counting.All() {
		return max(there, 0)
	}
	if x, ok := w.wasCounted(what, day); ok {
		return x
	}
	if there <= 0 {
		return 0
	}
	u := w.spots[0].draw.Key.Uniform(random.At(int32(day), random.DrawLook, what, 0, 0, 0, 0))
	looked := float64(n) * area
	return float64(random.NegativeBinomial(u, there*looked, float64(n)*w.u.weed.Plant.PatchinessK)) / looked
}

// Counted is what was really seen of a field. A decision that hangs on a look at the same on
// that day has it in place of a look that is drawn; heads are the same all summer, so that for
// them any day of the year will do.
type Counted struct {
	Day     date.Day
	What    Quantity // WatchPlants, WatchHeads, or WatchTop for cores
	DepthCM float64  // of WatchTop
	PerM2   float64  // all quadrats or cores together
}

// countedAs is what each part of an address is a count of.
var countedAs = map[uint8]Quantity{sawHeads: WatchHeads, sawPlants: WatchPlants, sawSeedlings: WatchTop}

// wasCounted is what was really seen on a day, if anything was: of several counts the last.
func (w *Worker) wasCounted(what uint8, day date.Day) (x float64, ok bool) {
	for i := range w.of.Counted {
		c := &w.of.Counted[i]
		same := c.Day == day && (what != sawSeedlings || c.DepthCM == w.m.rules.counting.DepthCM)
		if what == sawHeads {
			same = c.Day.Year() == day.Year()
		}
		if same && c.What == countedAs[what] {
			x, ok = c.PerM2, true
		}
	}
	return x, ok
}

// visit pays for a visit of the field, and for what is counted there, once a day.
func (w *Worker) visit(on *date.Day, perField float64) {
	c := &w.m.rules.counting
	if c.All() {
		return
	}
	cost := 0.0
	if w.seen.visited != w.today {
		cost, w.seen.visited = c.Cost, w.today
	}
	if *on != w.today {
		*on = w.today
		cost += perField / (w.m.areaM2 / 10000)
	}
	if w.stage == cut {
		w.seen.owed += cost // the books of the season are closed
		return
	}
	w.spend(cost)
	w.values[Looking] += cost
}
