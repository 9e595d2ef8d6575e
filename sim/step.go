package sim

import (
	"math"

	"rundown/params/date"
	"rundown/sim/herbicide"
	"rundown/sim/seedbank"
	"rundown/sim/stand"
)

// clocks tell which clocks a step closes besides the quick one.
type clocks uint8

const (
	quick   clocks = iota // none
	surface               // the slow clock on the surface
	slow                  // the slow clock in all layers
)

// closeStep ends a step: the transitions of seed on the quick clock, the seed
// shed and the seedlings that came up since the last step. While seed falls both
// clocks close on the surface, and before a class of seed changes from one
// clock to the other everywhere.
func (s spot) closeStep() {
	switch now := s.rates.QuickOn(int(s.m.marks[s.i].day)); {
	case now != s.quick:
		s.close(slow)
		s.quick = now
	case s.seedSet:
		s.close(surface)
	default:
		s.close(quick)
	}
}

// closeSlow ends a step of both clocks in all layers: that of deeper, dormant
// and unripe seed too.
func (s spot) closeSlow() { s.close(slow) }

// close ends a step. Where both clocks close, seed that falls meets half of the step on
// the whole: what falls in its first half is laid down before the step is closed and
// meets all of it, the rest after. Seedlings are taken to be up on one day of the step of
// the quick clock, from which most come, where anything is on it: on the mean of its days, each
// by the warmth that ripe seed met on it.
func (s spot) close(which clocks) {
	days, ago := 0.0, 0
	if which >= surface {
		s.shedSeedDue(float64(s.today) - (s.sum.Days-s.quickAt.Days)/2)
	}
	if a, x := s.step(&s.quickAt); x.Days > 0 {
		if s.cover.Sown != 0 {
			u := &s.u.covers[s.coverAt].CoverParams
			a.Keep, a.Fecundity = s.cover.Keeps(u), s.cover.Fecundity(u)
		}
		s.bank.CloseQuick(&a)
		days = x.Days
		var up herbicide.Up
		ago, up = s.cameUp(days)
		s.ageResidues(up)
	}
	if which >= surface {
		if a, x := s.step(&s.surfaceAt); x.Days > 0 {
			s.bank.CloseSurface(&a)
		}
	}
	if which == slow {
		s.slowDue = false
		if a, x := s.step(&s.slowAt); x.Days > 0 {
			s.bank.CloseDeeper(&a)
			if !s.quick.Any() {
				days = x.Days
				ago = int(days / 2)
			}
		}
	}
	s.comeUp(ago, int(days))
	s.settlePlants()
	if which >= surface {
		s.shedSeedDue(float64(s.today))
	}
}

// cameUp is how many days ago the seedlings of a step of so many days came up, and what a
// residual herbicide must know of it: the middle of the step where there was no warmth for ripe seed.
func (s spot) cameUp(days float64) (int, herbicide.Up) {
	ago, up := int(days/2), herbicide.Up{Passed: 0.5, TempC: math.NaN()}
	if s.coming > 0 {
		since := float64(s.i) - s.comingOn/s.coming
		ago = min(int(since+0.5), max(int(days)-1, 0))
		up = herbicide.Up{Passed: min(max(1-(since+0.5)/days, 0), 1), TempC: s.comingIn / s.coming}
	}
	s.coming, s.comingOn, s.comingIn = 0, 0, 0
	return ago, up
}

// countAll closes every step and counts the living and the lost: from then on
// the totals of bank and stand are whole seeds and plants.
func (s spot) countAll() {
	s.closeSlow()
	s.stand.Count(&s.plants, &s.tally)
	s.bank.Count(s.rates.P.Eaten, &s.draw, &s.lost)
}

// step is the step since a clock was last closed, and closes it.
func (s spot) step(at *seedbank.Exposure) (seedbank.Step, *seedbank.Exposure) {
	x := &s.since
	if x.Since(&s.sum, at); x.Days > 0 {
		*at = s.sum
	}
	return seedbank.Step{Rates: &s.rates, Since: x, Quick: s.quick, Shelter: s.straw.Shelter(), Fecundity: 1}, x
}

// comeUp turns what emerged in the steps just closed into a cohort, up since so many days, less what residual
// herbicides and a dead cover's residue kill on the way. A killed seedling is
// emerged in the seed ledger and killed in the plant ledger.
func (s spot) comeUp(ago, days int) {
	up := s.bank.ComeUp(&s.draw, &s.lost)
	if up.N == 0 {
		return
	}
	s.tally.Emerged += up.N
	s.meetResidues(up.N)
	c := stand.Cohort{
		Day: s.today, Number: s.bank.Flush, Up: s.today - date.Day(ago), N: up.N, Cover: up.Fecundity, Fresh: up.Fresh,
		Heat: s.sky.Heat[s.i-ago], Spread: (s.sky.Heat[s.i] - s.sky.Heat[max(0, s.i-days)]) / math.Sqrt(12),
	}
	if s.u.genes.On {
		s.comeUpByClass(&c, &s.bank.Came)
		return
	}
	s.stand.Add(c, 1-s.spared*s.coverSpares(), s.spared*s.coverSpares()*s.smothers())
}

// smothers is the share of seedlings that a closed sward keeps from growing up.
func (s spot) smothers() float64 {
	if !s.standing {
		return 0
	}
	return s.u.crops[s.cropAt].Sward.Suppression * s.cropCover
}

// coverSpares is the share of seedlings that a dead cover's residue lets live.
func (s spot) coverSpares() float64 {
	if s.cover.Destroyed == 0 {
		return 1
	}
	return 1 - s.cover.ResidueKill(&s.u.covers[s.coverAt].CoverParams, s.today)
}

// ageResidues lets residual herbicides decay over a step of the quick clock; what
// they spare of its seedlings they spare of those of the slow clock too.
func (s spot) ageResidues(up herbicide.Up) {
	s.spared = 1
	days, mean := s.soilDays, 0.0
	if days > 0 {
		mean = s.soilHeat / days
	}
	s.soilHeat, s.soilDays = 0, 0
	if math.IsNaN(up.TempC) {
		up.TempC = mean
	}
	kept := 0
	s.met, s.metBy = s.met[:0], s.metBy[:0]
	for i := range s.residues {
		a := &s.residues[i]
		a.Ask = s.u.genes.On
		a.Live = a.Step(days, mean, up)
		s.spared *= a.Live
		if a.Ask {
			s.meetsInSoil(a)
		}
		if !a.Spent() {
			if kept != i {
				s.residues[kept] = *a
			}
			kept++
		}
	}
	s.residues = s.residues[:kept]
}

// settlePlants takes the winter and seedling losses that are due, from 1 March to 30 June.
func (s spot) settlePlants() {
	const march = 243 // of the seedbank year; in a leap year 29 February
	if s.m.marks[s.i].day < march {
		return
	}
	y := s.today.Year()
	first, due := s.stand.Due(s.today, march1(y))
	if !due {
		return
	}
	if !s.afterCount() || first > s.countOn { // what came up after the count costs the crop nothing
		s.stand.WinterLosses(&s.u.weed.Plant, s.today, march1(y), january15(y))
		return
	}
	before := s.competes() // what dies after the count costs the crop no more
	s.stand.WinterLosses(&s.u.weed.Plant, s.today, march1(y), january15(y))
	s.relieve(before)
}

// countPlants closes a step and counts the plants that live.
func (s spot) countPlants() {
	s.closeStep()
	s.stand.Count(&s.plants, &s.tally)
}

// beforeWork closes every step before an operation that stirs, kills or moves.
func (w *Worker) beforeWork(cultivation bool) {
	for _, s := range w.spots {
		if cultivation {
			s.closeSlow()
		} else {
			s.closeStep()
		}
	}
}
