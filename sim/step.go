package sim

import (
	"rundown/params/date"
	"rundown/sim/seedbank"
	"rundown/sim/stand"
)

// closeStep ends a step: the transitions of seed on the quick clock, the seed
// shed and the seedlings that came up since the last step. While seed falls both
// clocks close on the surface, and before a class of seed changes from one
// clock to the other everywhere.
func (w *Worker) closeStep() {
	switch now := w.rates.QuickOn(int(w.m.marks[w.i].day)); {
	case now != w.quick:
		w.closeSlow()
		w.quick = now
	case w.seedSet:
		w.closeSurface()
	default:
		w.closeQuick()
	}
}

func (w *Worker) closeQuick() {
	if w.sum.Days == w.quickAt.Days {
		return
	}
	x := since(&w.sum, &w.quickAt)
	w.quickAt = w.sum
	s := seedbank.Step{Rates: &w.rates, Since: &x, Quick: w.quick}
	fecundity := 1.0
	if w.cover.Sown != 0 {
		u := &w.covers.CoverParams
		s.Keep, fecundity = w.cover.Keeps(u), w.cover.Fecundity(u)
	}
	w.ageResidues()
	w.comeUp(w.bank.CloseQuick(&s, &w.draw, &w.lost), x.Days, fecundity, 0)
	w.settlePlants()
}

// closeSurface ends a step of both clocks on the surface. Seed that falls meets half of
// the step on the whole: what falls in its first half is laid down before the step is
// closed and meets all of it, the rest after.
func (w *Worker) closeSurface() {
	w.shedSeedDue(float64(w.today) - (w.sum.Days-w.quickAt.Days)/2)
	w.closeQuick()
	if w.sum.Days > w.surfaceAt.Days {
		x := since(&w.sum, &w.surfaceAt)
		w.surfaceAt = w.sum
		s := seedbank.Step{Rates: &w.rates, Since: &x, Quick: w.quick}
		w.comeUp(w.bank.CloseSurface(&s, &w.draw, &w.lost), x.Days, 1, 1)
	}
	w.shedSeedDue(float64(w.today))
}

// closeSlow ends a step of both clocks in all layers: that of deeper, dormant
// and unripe seed too.
func (w *Worker) closeSlow() {
	w.closeSurface()
	w.slowDue = false
	if w.sum.Days > w.slowAt.Days {
		x := since(&w.sum, &w.slowAt)
		w.slowAt = w.sum
		s := seedbank.Step{Rates: &w.rates, Since: &x, Quick: w.quick}
		w.comeUp(w.bank.CloseDeeper(&s, &w.draw, &w.lost), x.Days, 1, 2)
	}
}

// settle closes every step and counts the living and the lost: from then on
// the totals of bank and stand are whole seeds and plants.
func (w *Worker) settle() {
	w.closeSlow()
	w.stand.Count(&w.plants, &w.tally)
	w.bank.Settle(w.rates.P.Eaten, &w.draw, &w.lost)
}

// since is the exposure between two days.
func since(now, then *seedbank.Exposure) seedbank.Exposure {
	x := *now
	x.Days -= then.Days
	for l := range x.Warmth {
		x.Warmth[l] -= then.Warmth[l]
		x.Fresh[l] -= then.Fresh[l]
		x.Old[l] -= then.Old[l]
		x.Spring[l] -= then.Spring[l]
	}
	x.Surface -= then.Surface
	x.Back -= then.Back
	x.BackAutumn -= then.BackAutumn
	return x
}

// comeUp turns what emerged in a step of some days into a cohort, less what residual
// herbicides and a dead cover's residue kill on the way. A killed seedling is
// emerged in the seed ledger and killed in the plant ledger.
func (w *Worker) comeUp(up seedbank.Emergence, days, fecundity float64, clock uint8) {
	if up.N == 0 {
		return
	}
	w.tally.Emerged += up.N
	half := int(days / 2)
	w.stand.Add(stand.Cohort{
		Day: w.today, Clock: clock, Up: w.today - date.Day(half), N: up.N, Heat: w.sky.Heat[w.i-half], Cover: fecundity,
		Fresh: up.Fresh,
	}, 1-w.spared*w.coverSpares())
}

// coverSpares is the share of seedlings that a dead cover's residue lets live.
func (w *Worker) coverSpares() float64 {
	if w.cover.Destroyed == 0 {
		return 1
	}
	return 1 - w.cover.ResidueKill(&w.covers.CoverParams, w.today)
}

// ageResidues lets residual herbicides decay over a step of the quick clock; what
// they spare of its seedlings holds for those of the slow clock on its last day too.
func (w *Worker) ageResidues() {
	w.spared = 1
	days, mean := w.soilDays, 0.0
	if days > 0 {
		mean = w.soilHeat / days
	}
	w.soilHeat, w.soilDays = 0, 0
	kept := 0
	for i := range w.nResidues {
		a := &w.residues[i]
		w.spared *= a.Step(days, mean)
		if !a.Spent() {
			if kept != i {
				w.residues[kept] = *a
			}
			kept++
		}
	}
	w.nResidues = kept
}

// settlePlants takes the winter and seedling losses that are due.
func (w *Worker) settlePlants() {
	y := w.today.Year()
	if w.today >= date.Of(y, 7, 1) {
		return
	}
	w.stand.Settle(&w.u.weed.Plant, w.today, march1(y), january15(y))
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
