// Package stand models the plants of one weed: cohorts by date of emergence,
// their survival, self-thinning and control, their heads and seed by cohort and
// crop, and how the seed is shed against the harvest date.
//
// Heads follow a rectangular hyperbola in the stand's fecundity-weighted
// density; crowding lowers seed per head. Counts are whole plants and seeds.
//
// The seedlings of a cohort share one history, so one law: a cohort carries the
// chance that each of them still lives, and draws how many do when they are counted.
package stand

import (
	"rundown/params/date"
	"rundown/sim/biotype"
	"rundown/sim/random"
)

// Cohort is what emerged in the steps that closed on one day and has not been found dead.
type Cohort struct {
	Day    date.Day // the day the step closed, which with its number is its name
	Number uint8    // among those of the day
	Up     date.Day // the middle of the step, which stands for the day of emergence
	N      int64    // plants that lived when last counted
	Heat   float64  // the timeline's thermal sum at emergence, °C d
	Spread float64  // of that sum between its seedlings, as a standard deviation, °C d
	Cover  float64  // factor on fecundity from the cover it emerged into, 1 in the open
	Fresh  float64  // share that came from fresh seed
	// Shares of N, which add up to 1.
	alive, killed, died float64
	// Of what a plant of the cohort bears that nothing has touched: what its living
	// plants bear, and the room that they take. 1 but for work.
	bears, room float64
}

// Stand is the plants of one zone, oldest cohort first.
type Stand struct {
	Cohorts []Cohort
	settled int                        // so many of the first are settled
	day     int32                      // on which it was last counted
	again   uint8                      // how often it had been on that day before
	dead    [biotype.Classes][2]fallen // killed plants whose seed was set, by class, up by 15 January and after
	taken   float64                    // room that dead plants go on taking, in early plants' worth
	// Kin is what goes with every cohort; nil where nothing evolves. Then the plants of one day
	// that differ in class are cohorts of their own, one behind the other.
	Kin    []Kin
	Traits []Traits // by the places that Kin names
	fallen Traits   // of killed plants whose seed was set
	// Scratch: what cohorts that share traits have met, traits that are not kept, and a factor on heads.
	now   shared
	was   Traits
	costs float64
}

// alike tells whether plants are of one age and size, as those are that differ in class alone.
func (k *Cohort) alike(o *Cohort) bool { return k.Up == o.Up && k.Spread == o.Spread }

// Tally counts, in whole plants, what became of plants.
type Tally struct {
	Emerged int64
	Killed  int64          // by sprays, residues, cultivation and in-crop work
	Died    int64          // winter, seedling and thinning losses, and plants gone at harvest
	By      biotype.Counts // carriers of those lost, by class
}

// Chance draws whole-plant counts; every draw has an address: the day, what,
// and the day its cohort emerged.
type Chance struct {
	Key  random.Key
	Day  int32
	Zone uint8
	Made int // draws made, for benchmarks
	// ByClass is the luck of every class, where something evolves.
	ByClass biotype.Luck
}

// luck is that of a class.
func (c *Chance) luck(class uint8) random.Key {
	if class == 0 {
		return c.Key
	}
	return c.ByClass[class]
}

// binomial draws how many of n plants of a cohort and class meet a fate of probability p.
func (c *Chance) binomial(what uint8, k *Cohort, again, class uint8, n int64, p float64) int64 {
	if n <= 0 || p <= 0 {
		return 0
	}
	if p >= 1 {
		return n
	}
	c.Made++
	at := random.AtCohort(c.Day, what, int32(k.Day), k.Number&15|again<<4, c.Zone)
	u := c.luck(class).Uniform(at)
	if random.None(u, n, p) {
		return 0
	}
	return random.Binomial(u, n, p)
}

// Add puts a new cohort at the end of the stand, of which a share was killed, and a
// share smothered, as it emerged.
func (s *Stand) Add(c Cohort, killed, smothered float64) {
	if c.N <= 0 {
		return
	}
	c.alive, c.killed, c.died = 1-killed-smothered, killed, smothered
	c.bears, c.room = 1, 1
	s.Cohorts = append(s.Cohorts, c)
}

// Count counts the living, the killed and the dead of every cohort, and books
// those lost: from then on Plants is whole plants. Empty cohorts are dropped. Of the lost it matters only
// how many of all were killed.
func (s *Stand) Count(c *Chance, t *Tally) {
	if s.again++; s.day != c.Day {
		s.day, s.again = c.Day, 0
	}
	var gone random.Several
	empty := false
	for i := range s.Cohorts {
		k := &s.Cohorts[i]
		lost := k.killed + k.died
		if lost <= 0 {
			continue
		}
		class := s.classOf(i)
		n := c.binomial(random.DrawPlants, k, s.again, class, k.N, k.alive/(k.alive+lost))
		out, killed, died := k.N-n, k.killed, k.died
		k.N, k.alive, k.killed, k.died = n, 1, 0, 0
		empty = empty || n == 0
		if class > 0 {
			t.By[class] += out
		}
		switch {
		case killed <= 0:
			t.Died += out
		case died <= 0:
			t.Killed += out
		case out > 0:
			gone.Add(out, killed/lost)
			k.killed, k.died = killed/lost, float64(out) // until all are known
		}
	}
	if gone.Trials() > 0 {
		killed := s.killedOf(&gone, c)
		t.Killed += killed
		t.Died += gone.Trials() - killed
	}
	if empty {
		s.drop()
	}
}

// killedOf draws how many of the lost were killed: in one draw where they are many, else by cohort.
func (s *Stand) killedOf(gone *random.Several, c *Chance) (killed int64) {
	many := gone.Many()
	if many {
		c.Made++
		killed = gone.Draw(c.Key.Uniform(random.At(c.Day, random.DrawKilledAll, 0, 0, s.again, 0, c.Zone)))
	}
	for i := range s.Cohorts {
		k := &s.Cohorts[i]
		if k.died > 0 && !many {
			killed += c.binomial(random.DrawKilled, k, s.again, s.classOf(i), int64(k.died), k.killed)
		}
		k.killed, k.died = 0, 0
	}
	return killed
}

// drop drops empty cohorts, and what goes with them.
func (s *Stand) drop() {
	kept, settled := 0, 0
	for i := range s.Cohorts {
		if s.Cohorts[i].N <= 0 {
			continue
		}
		if kept != i {
			s.Cohorts[kept] = s.Cohorts[i]
			if s.Kin != nil {
				s.Kin[kept] = s.Kin[i]
			}
		}
		if kept++; i < s.settled {
			settled = kept
		}
	}
	s.settled, s.Cohorts = settled, s.Cohorts[:kept]
	if s.Kin != nil {
		s.Kin = s.Kin[:kept]
		s.tidy()
	}
}

// Plants is the number of plants alive, when last counted.
func (s *Stand) Plants() int64 {
	var n int64
	for i := range s.Cohorts {
		n += s.Cohorts[i].N
	}
	return n
}

// Expected is the number of plants to be expected alive.
func (s *Stand) Expected() float64 {
	n := 0.0
	for i := range s.Cohorts {
		n += float64(s.Cohorts[i].N) * s.Cohorts[i].alive
	}
	return n
}

// WinterLosses lets winter and seedling losses take the cohorts that are due: on
// 1 March all that emerged before, later those that are 30 days old.
// springFrom is the 15 January after which seedlings count as spring plants.
func (s *Stand) WinterLosses(p *Params, today, march1, springFrom date.Day) {
	for ; ; s.settled++ {
		if _, due := s.Due(today, march1); !due {
			return
		}
		k := &s.Cohorts[s.settled]
		survive := p.AutumnSurvival
		if k.Up > springFrom {
			survive = p.SpringSurvival
		}
		k.die(1 - survive)
	}
}

// Due tells whether winter and seedling losses are due for a cohort, and the first such cohort's day.
func (s *Stand) Due(today, march1 date.Day) (first date.Day, due bool) {
	if today < march1 || s.settled >= len(s.Cohorts) {
		return 0, false
	}
	day := s.Cohorts[s.settled].Day
	return day, today >= day+30 || day <= march1
}

func (k *Cohort) die(share float64) {
	dead := k.alive * share
	k.alive -= dead
	k.died += dead
}

// Thin is the self-thinning of the whole stand, which must have been counted,
// shared among cohorts in proportion: N plants per m² become N/(1 + N/Nmax).
func (s *Stand) Thin(p *Params, areaM2 float64) {
	n := float64(s.Plants()) / areaM2
	gone := 1 - 1/(1+n/p.MaxPlantsPerM2)
	for i := range s.Cohorts {
		s.Cohorts[i].die(gone)
	}
}

// Sizes are the shares killed of plants below one leaf, from two leaves to six
// tillers, and beyond; between one and two leaves the share is interpolated.
type Sizes struct{ Small, Main, Large float64 }

// at is the share killed of a plant with so many leaves; size is 1 at six tillers.
func (k Sizes) at(leaves, size float64) float64 {
	switch {
	case leaves < 1:
		return k.Small
	case leaves < 2:
		return k.Small + (k.Main-k.Small)*(leaves-1)
	case size <= 1:
		return k.Main
	}
	return k.Large
}

// Of is the share killed of a plant that has lived through so much warmth since it came up, °C d.
func (k Sizes) Of(p *Params, heat float64) float64 { return k.at(heat/p.LeafCd, heat/p.TillersSixCd) }

// EndBefore ends the cohorts that emerged before a day, at harvest, and what dead
// plants bore.
func (s *Stand) EndBefore(day date.Day) {
	s.dead, s.taken = [biotype.Classes][2]fallen{}, 0
	for i := range s.Cohorts {
		if k := &s.Cohorts[i]; k.Day < day {
			k.die(1)
		}
	}
}

// Fresh is how many plants came from fresh seed, to be expected of those last counted.
func (s *Stand) Fresh() float64 {
	n := 0.0
	for i := range s.Cohorts {
		n += float64(s.Cohorts[i].N) * s.Cohorts[i].Fresh
	}
	return n
}

// Regrowth is how far torn-out seedlings live on: 0 as in dry soil, 1 as in wet
// soil. topRel is the topsoil's water over its field capacity.
func (p *Params) Regrowth(topRel float64) float64 {
	if p.RegrowthMoist <= p.RegrowthDry {
		if topRel > p.RegrowthDry {
			return 1
		}
		return 0
	}
	return min(max((topRel-p.RegrowthDry)/(p.RegrowthMoist-p.RegrowthDry), 0), 1)
}
