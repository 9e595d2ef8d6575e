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
func (w *Worker) closeStep() {
	switch now := w.rates.QuickOn(int(w.m.marks[w.i].day)); {
	case now != w.quick:
		w.close(slow)
		w.quick = now
	case w.seedSet:
		w.close(surface)
	default:
		w.close(quick)
	}
}

// closeSlow ends a step of both clocks in all layers: that of deeper, dormant
// and unripe seed too.
func (w *Worker) closeSlow() { w.close(slow) }

// close ends a step. Where both clocks close, seed that falls meets half of the step on
// the whole: what falls in its first half is laid down before the step is closed and
// meets all of it, the rest after. Seedlings are taken to be up on one day of the step of
// the quick clock, from which most come, where anything is on it: on the mean of its days, each
// by the warmth that ripe seed met on it.
func (w *Worker) close(which clocks) {
	days, ago := 0.0, 0
	if which >= surface {
		w.shedSeedDue(float64(w.today) - (w.sum.Days-w.quickAt.Days)/2)
	}
	if s, x := w.step(&w.quickAt); x.Days > 0 {
		if w.cover.Sown != 0 {
			u := &w.covers.CoverParams
			s.Keep, s.Fecundity = w.cover.Keeps(u), w.cover.Fecundity(u)
		}
		w.bank.CloseQuick(&s)
		days = x.Days
		var up herbicide.Up
		ago, up = w.cameUp(days)
		w.ageResidues(up)
	}
	if which >= surface {
		if s, x := w.step(&w.surfaceAt); x.Days > 0 {
			w.bank.CloseSurface(&s)
		}
	}
	if which == slow {
		w.slowDue = false
		if s, x := w.step(&w.slowAt); x.Days > 0 {
			w.bank.CloseDeeper(&s)
			if !w.quick.Any() {
				days = x.Days
				ago = int(days / 2)
			}
		}
	}
	w.comeUp(ago, int(days))
	w.settlePlants()
	if which >= surface {
		w.shedSeedDue(float64(w.today))
	}
}

// cameUp is how many days ago the seedlings of a step of so many days came up, and what a
// residual herbicide must know of it: the middle of the step where there was no warmth for ripe seed.
func (w *Worker) cameUp(days float64) (int, herbicide.Up) {
	ago, up := int(days/2), herbicide.Up{Passed: 0.5, TempC: math.NaN()}
	if w.coming > 0 {
		since := float64(w.i) - w.comingOn/w.coming
		ago = min(int(since+0.5), max(int(days)-1, 0))
		up = herbicide.Up{Passed: min(max(1-(since+0.5)/days, 0), 1), TempC: w.comingIn / w.coming}
	}
	w.coming, w.comingOn, w.comingIn = 0, 0, 0
	return ago, up
}

// settle closes every step and counts the living and the lost: from then on
// the totals of bank and stand are whole seeds and plants.
func (w *Worker) settle() {
	w.closeSlow()
	w.stand.Count(&w.plants, &w.tally)
	w.bank.Settle(w.rates.P.Eaten, &w.draw, &w.lost)
}

// step is the step since a clock was last closed, and closes it.
func (w *Worker) step(at *seedbank.Exposure) (seedbank.Step, *seedbank.Exposure) {
	x := &w.since
	if x.Since(&w.sum, at); x.Days > 0 {
		*at = w.sum
	}
	return seedbank.Step{Rates: &w.rates, Since: x, Quick: w.quick, Shelter: w.straw.Shelter(), Fecundity: 1}, x
}

// comeUp turns what emerged in the steps just closed into a cohort, up since so many days, less what residual
// herbicides and a dead cover's residue kill on the way. A killed seedling is
// emerged in the seed ledger and killed in the plant ledger.
func (w *Worker) comeUp(ago, days int) {
	up := w.bank.ComeUp(&w.draw, &w.lost)
	if up.N == 0 {
		return
	}
	w.tally.Emerged += up.N
	w.stand.Add(stand.Cohort{
		Day: w.today, Up: w.today - date.Day(ago), N: up.N, Heat: w.sky.Heat[w.i-ago], Spread: (w.sky.Heat[w.i] - w.sky.Heat[max(0, w.i-days)]) / math.Sqrt(12), Cover: up.Fecundity, Fresh: up.Fresh,
	}, 1-w.spared*w.coverSpares(), w.spared*w.coverSpares()*w.smothers())
}

// smothers is the share of seedlings that a closed sward keeps from growing up.
func (w *Worker) smothers() float64 {
	if !w.standing {
		return 0
	}
	return w.crops.Sward.Suppression * w.cropCover
}

// coverSpares is the share of seedlings that a dead cover's residue lets live.
func (w *Worker) coverSpares() float64 {
	if w.cover.Destroyed == 0 {
		return 1
	}
	return 1 - w.cover.ResidueKill(&w.covers.CoverParams, w.today)
}

// ageResidues lets residual herbicides decay over a step of the quick clock; what
// they spare of its seedlings they spare of those of the slow clock too.
func (w *Worker) ageResidues(up herbicide.Up) {
	w.spared = 1
	days, mean := w.soilDays, 0.0
	if days > 0 {
		mean = w.soilHeat / days
	}
	w.soilHeat, w.soilDays = 0, 0
	if math.IsNaN(up.TempC) {
		up.TempC = mean
	}
	kept := 0
	for i := range w.residues {
		a := &w.residues[i]
		w.spared *= a.Step(days, mean, up)
		if !a.Spent() {
			if kept != i {
				w.residues[kept] = *a
			}
			kept++
		}
	}
	w.residues = w.residues[:kept]
}

// settlePlants takes the winter and seedling losses that are due, from 1 March to 30 June.
func (w *Worker) settlePlants() {
	const march = 243 // of the seedbank year; in a leap year 29 February
	if w.m.marks[w.i].day < march {
		return
	}
	y := w.today.Year()
	first, due := w.stand.Due(w.today, march1(y))
	if !due {
		return
	}
	if !w.afterCount() || first > w.countOn { // what came up after the count costs the crop nothing
		w.stand.Settle(&w.u.weed.Plant, w.today, march1(y), january15(y))
		return
	}
	before := w.competes() // what dies after the count costs the crop no more
	w.stand.Settle(&w.u.weed.Plant, w.today, march1(y), january15(y))
	w.relieve(before)
}

// countPlants closes a step and counts the plants that live.
func (w *Worker) countPlants() {
	w.closeStep()
	w.stand.Count(&w.plants, &w.tally)
}

// beforeWork closes every step before an operation that stirs, kills or moves.
func (w *Worker) beforeWork(cultivation bool) {
	if cultivation {
		w.closeSlow()
		return
	}
	w.closeStep()
}
