package stand

import "rundown/params/date"

// Way is how a piece of work takes plants and heads.
type Way uint8

// Ways of work.
const (
	Loosen Way = iota // kills plants and leaves them lying: a selective spray, a hoe, a pass of tillage
	Bare              // kills all that is green: what outlives it starts afresh
	Patch             // kills crop and weed together in patches
	Cut               // takes what stands above the cut off the field
	Top               // the same, and leaves it lying
	Pull              // takes plants whose heads are out off the field
)

// Ways names the ways that an implement in the crop may work.
var Ways = map[string]Way{"hoe": Loosen, "spray": Patch, "cut": Cut, "top": Top, "pull": Pull}

// Work is a piece of work as the stand meets it.
type Work struct {
	How    Way
	Kill   Sizes   // share of plants killed
	Heads  float64 // Patch, Cut, Top, Pull: share of heads taken, or of plants pulled, once they are up
	Today  date.Day
	Heat   float64 // the timeline's thermal sum, °C d
	Season *Season
	Ripe   Ripe
	Toll   *Toll // of a herbicide, where something evolves
}

// Meet lets work meet every cohort and returns what is left of what the stand would
// have borne. One law serves the whole year: before heads are counted it moves what
// cohorts will bear, after that the caller takes as much of the seed on the plants.
func (s *Stand) Meet(p *Params, w *Work) float64 {
	r := &w.Ripe
	var before, after float64
	for c := range s.classes() {
		for g := range s.dead[c] {
			d := &s.dead[c][g]
			before += d.bears
			d.bears *= w.keepOfDead()
			after += d.bears
		}
	}
	leaf, tillers := 1/p.LeafCd, 1/p.TillersSixCd
	s.now.at, s.now.left, s.now.fallen = -1, 0, after // which the dead bear
	if w.Toll != nil {
		s.now.kills, s.now.selects = w.Toll.differs()
	}
	var fecundity, kill float64
	for i := range s.Cohorts {
		k := &s.Cohorts[i]
		if i == 0 || !k.alike(&s.Cohorts[i-1]) {
			fecundity, kill = p.fecundity(k.Up, w.Season), w.killOf(k, leaf, tillers)
		}
		weight := float64(k.N) * k.alive * k.Cover * fecundity
		own, killed := weight*k.bears, kill
		if s.Kin != nil {
			killed = s.toll(i, w, kill)
		}
		living, dead := w.keep(p, k.Up, killed)
		if gone := weight * k.room * killed; w.How == Patch {
			s.taken += gone // patches are killed whole, so the rest are not relieved
		} else {
			s.taken += gone * r.Room
			k.room *= 1 - (1-r.Room)*(1-min(living, 1))
		}
		if left := own * dead; left > 0 {
			if s.Kin != nil {
				s.falls(i, w.Season.Genes, left)
			}
			d := &s.dead[s.classOf(i)][late(k.Up, w.Season)]
			d.bears += left
			d.plants += float64(k.N) * k.alive * killed
		}
		before, after = before+own, after+own*((1-killed)*living+dead)
		k.bears *= living
		gone := k.alive * killed
		k.alive -= gone
		k.killed += gone
	}
	if s.now.left > 0 {
		s.fell(w.Season.Genes)
	}
	if before <= 0 {
		return 1
	}
	return min(after/before, 1)
}

// killOf is the share that work kills of plants that inherit nothing, as a leaf and six tillers
// go by warmth (1/°C d).
func (w *Work) killOf(k *Cohort, leaf, tillers float64) float64 {
	size := w.Heat - k.Heat
	older, younger := size+k.Spread, size-k.Spread // seedlings of one step differ in size
	killed := (w.Kill.at(older*leaf, older*tillers) + w.Kill.at(younger*leaf, younger*tillers)) / 2
	if w.How == Pull {
		killed = 1 - (1-killed)*(1-w.Heads*w.Ripe.Up)
	}
	return killed
}

// keep is what work leaves of what a cohort bears: on a plant that lives, of its own,
// and on those killed, of the whole cohort's.
func (w *Work) keep(p *Params, up date.Day, killed float64) (living, dead float64) {
	r := &w.Ripe
	switch w.How {
	case Bare:
		return r.Set + (1-r.Set)*r.Regrows*p.afresh(up, w), killed * r.Set
	case Patch:
		if killed >= 1 {
			return 1, 1 - w.Heads*(1-r.Set)
		}
		return (1 - w.Heads) / (1 - killed), w.Heads * r.Set
	case Cut:
		g := 1 - w.Heads*r.Tall*(1-p.RegrowthAfterCut*r.Regrows)
		return g, killed * r.Set * (1 - w.Heads*r.Tall)
	case Top:
		return 1 - w.Heads*r.Tall*(1-p.RegrowthAfterCut*r.Regrows)*(1-r.Set), killed * r.Set
	case Pull:
		return 1, 0
	}
	return 1, killed * r.Set
}

// keepOfDead is what work leaves of the seed set on plants that are dead.
func (w *Work) keepOfDead() float64 {
	switch w.How {
	case Cut:
		return 1 - w.Heads*w.Ripe.Tall
	case Pull:
		return 1 - w.Heads*w.Ripe.Up
	}
	return 1
}

// afresh is the fecundity of a plant that comes up today over that of one up on a day.
func (p *Params) afresh(up date.Day, w *Work) float64 {
	own := p.fecundity(up, w.Season)
	if own <= 0 {
		return 1
	}
	return min(p.fecundity(w.Today, w.Season)/own, 1)
}

// fallen is what plants that were killed still bear, in early plants' worth of heads.
type fallen struct{ bears, plants float64 }

// late is the group of a plant: 0 up by 15 January, 1 after it.
func late(up date.Day, s *Season) int {
	if up > s.January15 {
		return 1
	}
	return 0
}
