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
func (s spot) headsOn() float64 {
	p, year := &s.u.weed.Plant, s.year()
	on := onDate(year, p.HeadsDate) + headsLate*s.years.normal(year, effectShedding, 0, p.ShedYearSDD)
	return on + s.springDelay()
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
func (s spot) ripe() stand.Ripe {
	may := date.Of(s.year(), time.May, 1)
	if s.today < may-100 {
		return stand.Ripe{Regrows: 1}
	}
	settled := float64(s.today-may) / float64(s.midJune()-may)
	return s.u.weed.Plant.RipeOn(float64(s.today)-s.headsOn(), min(max(settled, 0), 1))
}

func (w *Worker) midJune() date.Day { return date.Of(w.year(), time.June, 15) }

// bearing is what a season means for heads, and what it was worked out for.
type bearing struct {
	stand.Season
	at, course int
	drilled    date.Day
	known      bool
}

// bearing is what the season means for heads, with the crop as it stands.
func (w *Worker) bearing() *stand.Season {
	b := &w.bears
	if !b.known || b.at != w.at || b.course != w.course || b.drilled != w.crop.Drilled {
		b.known, b.at, b.course, b.drilled = true, w.at, w.course, w.crop.Drilled
		b.Set(w.year(), w.u.crops[w.cropIndex()].spring, w.headsFactor())
		if w.u.genes.On {
			b.Genes = &w.u.genes.Genes
		}
	}
	return &b.Season
}

// meet lets work meet the stand, and the seed on its plants once it is set. Plants that
// were counted and die cost less yield from now on.
func (w *Worker) meet(how stand.Way, kill stand.Sizes, heads float64) {
	for _, s := range w.spots {
		s.meet(how, kill, heads)
	}
}

func (s spot) meet(how stand.Way, kill stand.Sizes, heads float64) { s.meetToll(how, kill, heads, nil) }

// meetToll is meet of a herbicide that plants bear by what they inherit; toll is nil where nothing evolves.
func (s spot) meetToll(how stand.Way, kill stand.Sizes, heads float64, toll *stand.Toll) {
	if len(s.stand.Cohorts) == 0 && !s.seedSet {
		return
	}
	counted, before := s.afterCount(), 0.0
	if counted {
		before = s.competes()
	}
	kept := s.stand.Meet(&s.u.weed.Plant, &stand.Work{How: how, Kill: kill, Heads: heads,
		Today: s.today, Heat: s.sky.Heat[s.i], Season: s.bearing(), Ripe: s.ripe(), Toll: toll})
	s.kept *= kept
	if counted {
		s.relieve(before)
	}
	if s.seedSet {
		s.bank.CarryOff(1 - kept)
	}
}

// setSeed counts the heads and draws the seed that is set on them, in mid-June or at an
// earlier harvest.
func (w *Worker) setSeed() {
	if w.stage != growing || w.spots[0].seedSet { // all at once
		return
	}
	var heads, plants int64
	for _, s := range w.spots {
		s.countPlants()
		s.formHeads()
	}
	for _, s := range w.spots {
		s.setSeed()
		heads += s.heads.Total()
		plants += s.stand.Plants()
	}
	w.values[Heads], w.values[PlantsHeading] = w.perM2(heads), w.perM2(plants)
	w.countHeads()
}

func (s spot) setSeed() {
	year := s.today.Year()
	season := s.years.lognormal(year, effectSeed, 0, s.u.weed.Plant.SeedSeasonGSD)
	n := s.heads.SetSeed(&s.u.weed.Plant, season, &s.plants)
	if s.u.genes.On {
		all, kin := s.bearKin(n, season)
		n = all
		s.bank.Kin[s.bank.Bear(seedbank.New, n)] = kin
	} else {
		s.bank.Bear(seedbank.New, n)
	}
	s.seedSet = true
	s.shedSeed += n
	s.startShedding(year, s.springDelay())
}

// formHeads draws the heads of a stand that has been counted.
func (s spot) formHeads() {
	s.heads.Form(&s.stand, &s.u.weed.Plant, s.bearing(), s.areaM2, &s.plants)
	if s.u.genes.On {
		s.pollinate()
	}
}

// headsOut is the heads per m² that whoever looks today sees: of those that are, or
// before mid-June will be, the share that is out. They are drawn as in mid-June.
func (s spot) headsOut() float64 {
	switch {
	case s.seedSet && (!s.inSeason() || s.today.Year() != s.year()):
		return s.perM2(s.heads.Total()) // of the crop before the start
	case s.seedSet:
		return s.perM2(s.heads.Total()) * s.ripe().Up
	case s.stage != growing:
		return 0
	}
	up := s.ripe().Up
	if up == 0 {
		return 0
	}
	s.plants.Day = int32(s.midJune())
	s.formHeads()
	s.plants.Day = int32(s.today)
	return s.perM2(s.heads.Total()) * up
}
