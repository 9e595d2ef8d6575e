package sim

import (
	"time"

	"rundown/params/date"
	"rundown/sim/seedbank"
	"rundown/sim/stand"
)

// Heads come up over weeks, and so does all that work does to them. They are counted
// once, in mid-June, and seed is drawn on them: a matter of books, on which nothing
// else hangs. Before, work moves what each cohort will bear; after, by the same law,
// the seed that is still on the plants.

// headsLate is the share of a year's departure in shedding by which its heads depart.
// Shedding carries the weather of June and July besides (assumed).
const headsLate = 0.6

// headsOn is the date by which half of this season's heads are out.
func (w *Worker) headsOn() float64 {
	p, year := &w.u.weed.Plant, w.year()
	on := onDate(year, p.HeadsDate) + headsLate*w.normal(year, effectShedding, 0, p.ShedYearSDD)
	return on + w.springDelay()
}

// springDelay is how much later heads come and shed in a crop sown in spring, days.
func (w *Worker) springDelay() float64 {
	if u := &w.u.crops[w.cropIndex()]; u.spring && u.sown {
		return w.u.weed.Plant.ShedSpringCropD
	}
	return 0
}

// ripe is how far this season's heads have come today. What plants leave of their room
// to each other when they die falls evenly from all on 1 May to nothing in mid-June,
// when tillering is long over (assumed).
func (w *Worker) ripe() stand.Ripe {
	may := date.Of(w.year(), time.May, 1)
	if w.today < may-100 {
		return stand.Ripe{Regrows: 1}
	}
	settled := float64(w.today-may) / float64(w.midJune()-may)
	return w.u.weed.Plant.RipeOn(float64(w.today)-w.headsOn(), min(max(settled, 0), 1))
}

func (w *Worker) midJune() date.Day { return date.Of(w.year(), time.June, 15) }

// bearing is what the season means for heads.
func (w *Worker) bearing() stand.Season {
	return stand.SeasonOf(w.year(), w.u.crops[w.cropIndex()].spring, w.headsFactor())
}

// meet lets work meet the stand, and the seed on its plants once it is set. Plants that
// were counted and die cost less yield from now on.
func (w *Worker) meet(how stand.Way, kill stand.Sizes, heads float64) {
	if len(w.stand.Cohorts) == 0 && !w.seedSet {
		return
	}
	counted, before := w.afterCount(), 0.0
	if counted {
		before = w.competes()
	}
	season := w.bearing()
	kept := w.stand.Meet(&w.u.weed.Plant, &stand.Work{How: how, Kill: kill, Heads: heads,
		Today: w.today, Heat: w.sky.Heat[w.i], Season: &season, Ripe: w.ripe()})
	w.kept *= kept
	if counted {
		w.relieve(before)
	}
	if w.seedSet {
		w.bank.CarryOff(1 - kept)
	}
}

// setSeed counts the heads and draws the seed that is set on them, in mid-June or at an
// earlier harvest.
func (w *Worker) setSeed() {
	if !w.active || w.season == len(w.m.seasons) || w.closeOn != 0 || w.seedSet {
		return
	}
	w.countPlants()
	w.formHeads()
	w.values[Heads] = w.perM2(w.heads.Total())
	w.values[PlantsHeading] = w.perM2(w.stand.Plants())
	year := w.today.Year()
	n := w.heads.SetSeed(&w.u.weed.Plant, w.lognormal(year, effectSeed, 0, w.u.weed.Plant.SeedSeasonGSD), &w.plants)
	w.bank.Bear(seedbank.New, n)
	w.seedSet = true
	w.shedSeed += n
	w.startShedding(year, w.springDelay())
}

// formHeads draws the heads of a stand that has been counted.
func (w *Worker) formHeads() {
	season := w.bearing()
	w.heads.Form(&w.stand, &w.u.weed.Plant, &season, w.m.areaM2, &w.plants)
}

// headsOut is the heads per m² that whoever looks today sees: of those that are, or
// before mid-June will be, the share that is out. They are drawn as in mid-June.
func (w *Worker) headsOut() float64 {
	switch {
	case w.seedSet && (w.season == len(w.m.seasons) || !w.active || w.today.Year() != w.year()):
		return w.perM2(w.heads.Total()) // of the crop before the start
	case w.seedSet:
		return w.perM2(w.heads.Total()) * w.ripe().Up
	case !w.active || w.season == len(w.m.seasons) || w.closeOn != 0:
		return 0
	}
	up := w.ripe().Up
	if up == 0 {
		return 0
	}
	w.plants.Day = int32(w.midJune())
	w.formHeads()
	w.plants.Day = int32(w.today)
	return w.perM2(w.heads.Total()) * up
}
