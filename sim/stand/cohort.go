// Package stand models the plants of one weed: cohorts by date of emergence,
// their survival, self-thinning and control, their heads and seed by cohort and
// crop, and how the seed is shed against the harvest date.
//
// Heads follow a rectangular hyperbola in the stand's fecundity-weighted
// density; crowding lowers seed per head. Counts are whole plants and seeds.
package stand

import (
	"math"

	"rundown/params/date"
	"rundown/sim/random"
)

// Cohort is what emerged in one step and is still alive.
type Cohort struct {
	Day     date.Day // the day the step closed: its name
	Up      date.Day // the middle of the step, which stands for the day of emergence
	N       int64    // plants alive
	Heat    float64  // the timeline's thermal sum at emergence, °C d
	Cover   float64  // factor on fecundity from the cover it emerged into, 1 in the open
	Fresh   float64  // share that came from fresh seed
	Settled bool     // winter and seedling survival has been drawn
}

// Stand is the living plants of one zone, oldest cohort first.
type Stand struct {
	Cohorts []Cohort
}

// Tally counts, in whole plants, what became of plants.
type Tally struct {
	Emerged int64
	Killed  int64 // by sprays, residues, cultivation and in-crop work
	Died    int64 // winter, seedling and thinning losses, and plants gone at harvest
}

// Chance draws whole-plant counts; every draw has an address: the day, what,
// and the day its cohort emerged.
type Chance struct {
	Key  random.Key
	Day  int32
	Zone uint8
}

// Binomial draws how many of n plants of a cohort meet a fate of probability p.
func (c *Chance) Binomial(what uint8, emerged date.Day, class uint8, n int64, p float64) int64 {
	if n <= 0 || p <= 0 {
		return 0
	}
	if p >= 1 {
		return n
	}
	at := random.AtCohort(c.Day, what, int32(emerged), class, c.Zone)
	return random.Binomial(c.Key.Uniform(at), n, p)
}

// Add puts a new cohort at the end of the stand; what emerged on one day is
// one cohort.
func (s *Stand) Add(c Cohort) {
	if c.N <= 0 {
		return
	}
	if k := len(s.Cohorts) - 1; k >= 0 && s.Cohorts[k].Day == c.Day {
		last := &s.Cohorts[k]
		share := float64(c.N) / float64(c.N+last.N)
		last.Up += date.Day(math.Round(share * float64(c.Up-last.Up)))
		last.Fresh += share * (c.Fresh - last.Fresh)
		last.Cover += share * (c.Cover - last.Cover)
		last.N += c.N
		return
	}
	s.Cohorts = append(s.Cohorts, c)
}

// Plants is the number of plants alive.
func (s *Stand) Plants() int64 {
	var n int64
	for i := range s.Cohorts {
		n += s.Cohorts[i].N
	}
	return n
}

// sweep drops empty cohorts.
func (s *Stand) sweep() {
	kept := s.Cohorts[:0]
	for _, c := range s.Cohorts {
		if c.N > 0 {
			kept = append(kept, c)
		}
	}
	s.Cohorts = kept
}

// Settle draws winter and seedling survival of the cohorts that are due: on
// 1 March of all that emerged before, later of those that are 30 days old.
// springFrom is the 15 January after which seedlings count as spring plants.
func (s *Stand) Settle(p *Params, today, march1, springFrom date.Day, c *Chance, t *Tally) {
	for i := range s.Cohorts {
		k := &s.Cohorts[i]
		if k.Settled || (today < k.Day+30 && !(today >= march1 && k.Day <= march1)) {
			continue
		}
		if today < march1 {
			continue // autumn plants wait for the end of the winter
		}
		k.Settled = true
		survive := p.AutumnSurvival
		if k.Up > springFrom {
			survive = p.SpringSurvival
		}
		dead := c.Binomial(random.DrawSurvive, k.Day, 0, k.N, 1-survive)
		k.N -= dead
		t.Died += dead
	}
	s.sweep()
}

// Thin is the self-thinning of the whole stand, shared among cohorts in
// proportion: N plants per m² become N/(1 + N/Nmax).
func (s *Stand) Thin(p *Params, areaM2 float64, c *Chance, t *Tally) {
	n := float64(s.Plants()) / areaM2
	gone := 1 - 1/(1+n/p.MaxPlantsPerM2)
	for i := range s.Cohorts {
		k := &s.Cohorts[i]
		dead := c.Binomial(random.DrawThin, k.Day, 0, k.N, gone)
		k.N -= dead
		t.Died += dead
	}
	s.sweep()
}

// Sizes are the shares killed of plants below one leaf, from two leaves to six
// tillers, and beyond; between one and two leaves the share is interpolated.
type Sizes struct{ Small, Main, Large float64 }

// Kill applies a spray or a pass to every cohort by its size. what is the draw
// and class the ordinal of the job that day.
func (s *Stand) Kill(p *Params, heat float64, k Sizes, what, class uint8, c *Chance, t *Tally) {
	for i := range s.Cohorts {
		h := &s.Cohorts[i]
		dead := c.Binomial(what, h.Day, class, h.N, k.at((heat-h.Heat)/p.LeafCd, (heat-h.Heat)/p.TillersSixCd))
		h.N -= dead
		t.Killed += dead
	}
	s.sweep()
}

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

// EndBefore ends the cohorts that emerged before a day, at harvest, and returns
// how many plants that was.
func (s *Stand) EndBefore(day date.Day) int64 {
	var n int64
	for i := range s.Cohorts {
		if s.Cohorts[i].Day < day {
			n += s.Cohorts[i].N
			s.Cohorts[i].N = 0
		}
	}
	s.sweep()
	return n
}

// FreshShare is the share of plants that came from fresh seed; NaN without plants.
func (s *Stand) FreshShare() float64 {
	var fresh, all float64
	for i := range s.Cohorts {
		fresh += float64(s.Cohorts[i].N) * s.Cohorts[i].Fresh
		all += float64(s.Cohorts[i].N)
	}
	return fresh / all
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
