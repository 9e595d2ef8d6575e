package sim

import (
	"math"
	"time"

	"rundown/params/date"
	"rundown/sim/random"
	"rundown/sim/seedbank"
	"rundown/sim/stand"
)

// shedding is the curve of one year's shedding: normal in the date.
type shedding struct{ mean, sd float64 }

// share is what has been shed by the end of a day (fractions are of the next), 0..1.
func (s *shedding) share(day float64) float64 {
	return 0.5 * math.Erfc((s.mean-day-0.5)/(s.sd*math.Sqrt2))
}

// onDate is the day of a year that a date of a common year (1–365) names, from 1
// March on, fractions kept.
func onDate(year int, yearDay float64) float64 {
	return float64(date.Of(year, time.July, 1)) + yearDay - 182
}

// phenology is what the date brings to plants and seed.
func (w *Worker) phenology() {
	bits := w.m.marks[w.i].bits
	if bits&(april1|heading|june15|june30) == 0 && w.today != w.countOn {
		return
	}
	if bits&april1 != 0 && w.counted(w.today) {
		w.countOn = w.today
	}
	if w.today == w.countOn {
		w.count()
	}
	switch {
	case bits&heading != 0:
		w.closeStep() // what comes up from now on heads less
	case bits&june15 != 0:
		w.setSeed()
	case bits&june30 != 0:
		w.turnYear()
	}
}

// turnYear ends the seedbank year, when 30 June is over.
func (w *Worker) turnYear() {
	w.closeSlow()
	june := w.bank.Turn(&w.rates, &w.draw, &w.lost)
	if w.active && w.season < len(w.m.seasons) {
		w.values[SeedbankJune] = w.perM2(june)
		w.june, w.turned = june, true
	}
	w.quick = w.rates.QuickOn(0)
	w.up = w.rates.Delay(w.fresh)
}

// counted tells whether 1 April is the day on which this season's plants are
// counted: in crops drilled before 1 January, and where nothing is to be drilled.
func (w *Worker) counted(today date.Day) bool {
	if !w.active || w.season == len(w.m.seasons) || today.Year() != w.year() || w.countOn != 0 {
		return false
	}
	c := &w.m.seasons[w.season].courses[w.course]
	return !c.drill || w.crop.Drilled != 0
}

// count thins the stand, counts it and weighs what the crop must bear.
func (w *Worker) count() {
	w.countPlants()
	w.stand.Thin(&w.u.weed.Plant, w.m.areaM2)
	w.stand.Count(&w.plants, &w.tally)
	w.values[Plants] = w.perM2(w.stand.Plants())
	w.competing = w.competes()
}

// competes is the density of the counted plants that the yield loss counts, in a
// stand of the crop as thick as this one.
func (w *Worker) competes() float64 {
	u := &w.u.crops[w.cropIndex()]
	s := stand.SeasonOf(w.year(), u.spring, 1)
	return w.stand.Competing(&w.u.weed.Plant, &s, w.countOn, w.m.areaM2) * w.headsFactor() / u.Heads
}

// headsFactor is the factor of the crop that stands on the weed's heads, by crop,
// its density and cultivar.
func (w *Worker) headsFactor() float64 {
	u, cultivar := &w.u.crops[w.cropIndex()], w.m.seasons[w.season].courses[w.course].cultivar
	if u.sown && w.crop.Drilled != 0 {
		return u.HeadsFactor(w.crop.PlantsM2, cultivar, w.u.crops[w.m.fallow].Heads)
	}
	return u.Heads * cultivar
}

// relieve takes off the yield loss what plants that were killed after the count
// will no longer cost: they compete from the count to a date of the weed's, and as
// much on every day (assumed). before is what competed before they were killed.
func (w *Worker) relieve(before float64) {
	end := onDate(w.year(), w.u.weed.Plant.CompetesTo)
	if left := end - float64(w.today); left > 0 && before > 0 {
		w.competing -= (before - w.competes()) * left / (end - float64(w.countOn))
	}
}

// afterCount tells whether the season's plants have been counted, so that what dies
// from now on is to be taken off the loss.
func (w *Worker) afterCount() bool {
	return w.active && w.season < len(w.m.seasons) && w.countOn != 0 && w.today > w.countOn && w.closeOn == 0
}

// startShedding sets the year's shedding curve and the dormancy of its rain.
func (w *Worker) startShedding(year int, late float64) {
	p := &w.u.weed.Plant
	w.shed = shedding{mean: onDate(year, p.ShedDate) + late + w.normal(year, effectShedding, 0, p.ShedYearSDD), sd: p.ShedSDD}
	w.fresh = w.nonDormant(year)
}

// nonDormant is the non-dormant share of a year's rain: warm ripening makes
// less dormancy (Swain et al. 2006), the rest is the year's and the site's.
func (w *Worker) nonDormant(year int) float64 {
	p := &w.u.weed.Seed
	warm := 0.0
	if t := w.sky.Ripe[year-w.m.first.Year()]; !math.IsNaN(t) {
		warm = t - w.m.ripeMean
	}
	half := p.NonDormantSiteSD * math.Sqrt(0.5)
	x := math.Log(p.NonDormant/(1-p.NonDormant)) + p.NonDormantPerDegree*warm +
		w.normal(year, effectDormancyYear, 0, p.NonDormantYearSD) +
		w.normal(year, effectDormancySite, 0, half) + half*w.u.weed.Site.Dormancy
	return 1 / (1 + math.Exp(-x))
}

// shedSeedDue lets the seed fall that is due by the end of a day.
func (w *Worker) shedSeedDue(day float64) {
	if w.seedSet {
		w.bank.Fall(&w.rates, w.heads.Drop(w.shed.share(day)), w.fresh)
	}
}

// reap passes what is unshed through the combine: a share of it does not
// return, the rest falls.
func (w *Worker) reap(lost float64) {
	if w.seedSet {
		w.bank.CarryOff(lost)
		w.bank.Fall(&w.rates, 1, w.fresh)
	}
	w.heads = stand.Heads{}
	w.seedSet = false
}

// harvest cuts the crop: unshed seed passes the combine, this year's plants
// die, and what the season earned is reckoned.
func (w *Worker) harvest() {
	w.closeStep()
	u := &w.u.crops[w.cropIndex()]
	c := &w.m.seasons[w.season].courses[w.course]
	lost := 0.0
	if u.sown {
		lost = w.u.weed.Plant.WithGrain
		if c.control >= 0 {
			k := &w.u.implements[c.control]
			lost += (1 - lost) * k.Control.Capture * k.Control.Kill
			w.spend(k.Money.CostPerHa)
		}
	}
	if m := w.today - date.Of(w.year(), time.May, 1); m >= 0 {
		w.setSeed() // where it is not yet
	}
	w.reap(1 - (1-lost)*w.ripe().Set) // what is cut green does not ripen
	w.stand.EndBefore(w.midJune())
	w.bringIn()
	w.reckon()
	if !w.staysOn() {
		w.standing = false
		if u.sown {
			w.straw.Lay(&u.Params, c.straw)
		}
	}
	w.before.End(w.today, 0)
	w.after.End(w.today, w.crop.Drilled)
	w.closeOn = w.today + 1
}

// bringIn lays seed from outside on the field, once a season.
func (w *Worker) bringIn() {
	n := w.draw.Poisson(random.DrawImport, seedbank.Surface, 0, w.m.calendar.ImportPerM2*w.m.areaM2)
	if n > 0 {
		if w.fresh == 0 {
			w.fresh = w.nonDormant(w.today.Year())
		}
		w.brought += n
		age := seedbank.Fresh
		if _, m, _ := w.today.Date(); m < time.July {
			age = seedbank.New
		}
		w.bank.Lay(&w.rates, uint8(age), seedbank.Brought, n, w.fresh)
	}
}
