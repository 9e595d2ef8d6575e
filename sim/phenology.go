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
		for _, s := range w.spots {
			s.closeStep() // what comes up from now on heads less
		}
	case bits&june15 != 0:
		w.setSeed()
	case bits&june30 != 0:
		w.turnYear()
	}
}

// turnYear ends the seedbank year, when 30 June is over.
func (w *Worker) turnYear() {
	var june int64
	for _, s := range w.spots {
		june += s.turnYear()
	}
	for i := range w.patches {
		w.patches[i].tilled = seedbank.Tilled{}
	}
	if w.inSeason() {
		w.values[SeedbankJune] = w.perM2(june)
	}
}

// turnYear returns the seed in the soil on 30 June.
func (s spot) turnYear() int64 {
	s.closeSlow()
	june := s.bank.Turn(&s.rates, &s.draw, &s.lost)
	if s.inSeason() {
		s.june, s.turned = june, true
	}
	s.quick = s.rates.QuickOn(0)
	s.up = s.rates.Delay(s.fresh)
	return june
}

// inSeason tells whether a season of the plan has been opened and is not closed.
func (w *Worker) inSeason() bool { return w.stage == growing || w.stage == cut }

// counted tells whether 1 April is the day on which this season's plants are
// counted: in crops drilled before 1 January, and where nothing is to be drilled.
func (w *Worker) counted(today date.Day) bool {
	if !w.inSeason() || today.Year() != w.year() || w.countOn != 0 {
		return false
	}
	c := &w.m.seasons[w.at].courses[w.course]
	return !c.drill || w.crop.Drilled != 0
}

// count thins the stand, counts it and weighs what the crop must bear.
func (w *Worker) count() {
	var plants int64
	for _, s := range w.spots {
		s.countPlants()
		s.stand.Thin(&s.u.weed.Plant, s.areaM2)
		s.stand.Count(&s.plants, &s.tally)
		plants += s.stand.Plants()
		s.competing = s.competes()
	}
	w.values[Plants] = w.perM2(plants)
}

// competes is the density of the counted plants that the yield loss counts, in a
// stand of the crop as thick as this one.
func (s spot) competes() float64 {
	season := s.bearing()
	return s.stand.Competing(&s.u.weed.Plant, season, s.countOn, s.areaM2) * season.Factor / s.u.crops[s.cropIndex()].Heads
}

// headsFactor is the factor of the crop that stands on the weed's heads, by crop,
// its density and cultivar.
func (w *Worker) headsFactor() float64 {
	u, cultivar := &w.u.crops[w.cropIndex()], w.m.seasons[w.at].courses[w.course].cultivar
	if u.sown && w.crop.Drilled != 0 {
		return u.HeadsFactor(w.crop.PlantsM2, cultivar, w.u.crops[w.m.fallow].Heads)
	}
	return u.Heads * cultivar
}

// relieve takes off the yield loss what plants that were killed after the count
// will no longer cost: they compete from the count to a date of the weed's, and as
// much on every day (assumed). before is what competed before they were killed.
func (s spot) relieve(before float64) {
	end := onDate(s.year(), s.u.weed.Plant.CompetesTo)
	if left := end - float64(s.today); left > 0 && before > 0 {
		s.competing -= (before - s.competes()) * left / (end - float64(s.countOn))
	}
}

// afterCount tells whether the season's plants have been counted, so that what dies
// from now on is to be taken off the loss.
func (w *Worker) afterCount() bool {
	return w.stage == growing && w.countOn != 0 && w.today > w.countOn
}

// startShedding sets the year's shedding curve and the dormancy of its rain.
func (s spot) startShedding(year int, late float64) {
	p := &s.u.weed.Plant
	s.shed = shedding{mean: onDate(year, p.ShedDate) + late + s.years.normal(year, effectShedding, 0, p.ShedYearSDD), sd: p.ShedSDD}
	s.fresh = s.nonDormant(year)
}

// nonDormant is the non-dormant share of a year's rain: warm ripening makes
// less dormancy (Swain et al. 2006), the rest is the year's and the site's.
func (s spot) nonDormant(year int) float64 {
	p := &s.u.weed.Seed
	warm := 0.0
	if t := s.sky.Ripe[year-s.m.first.Year()]; !math.IsNaN(t) {
		warm = t - s.m.ripeMean
	}
	half := p.NonDormantSiteSD * math.Sqrt(0.5)
	x := math.Log(p.NonDormant/(1-p.NonDormant)) + p.NonDormantPerDegree*warm +
		s.years.normal(year, effectDormancyYear, 0, p.NonDormantYearSD) +
		s.site.normal(year, effectDormancySite, 0, half) + half*s.u.weed.Site.Dormancy
	return 1 / (1 + math.Exp(-x))
}

// shedSeedDue lets the seed fall that is due by the end of a day.
func (s spot) shedSeedDue(day float64) {
	if s.seedSet {
		s.bank.Fall(&s.rates, s.heads.Drop(s.shed.share(day)), s.fresh)
	}
}

// reap passes what is unshed through the combine: a share of it does not
// return, the rest falls.
func (s spot) reap(lost float64) {
	if s.seedSet {
		s.bank.CarryOff(lost)
		s.bank.Fall(&s.rates, 1, s.fresh)
	}
	s.heads = stand.Heads{}
	s.seedSet = false
}

// harvest cuts the crop: unshed seed passes the combine, this year's plants
// die, and what the season earned is reckoned.
func (w *Worker) harvest() {
	for _, s := range w.spots {
		s.closeStep()
	}
	u := &w.u.crops[w.cropIndex()]
	c := &w.m.seasons[w.at].courses[w.course]
	lost := 0.0
	if u.sown {
		lost = w.u.weed.Plant.WithGrain
		if w.controls(c) {
			k := &w.u.implements[c.control]
			lost += (1 - lost) * k.Control.Capture * k.Control.Kill
			w.spend(k.Money.CostPerHa)
			w.made(c.controlling, 0)
		}
	}
	if m := w.today - date.Of(w.year(), time.May, 1); m >= 0 {
		w.setSeed() // where it is not yet
	}
	for _, s := range w.spots {
		s.reap(1 - (1-lost)*s.ripe().Set) // what is cut green does not ripen
		s.stand.EndBefore(w.midJune())
		s.bringIn()
	}
	w.closeAccount()
	if !w.staysOn() {
		w.standing = false
		for i := range w.patches {
			if u.sown {
				w.patches[i].straw.Lay(&u.Params, c.straw)
			}
		}
	}
	w.before.End(w.today, 0)
	w.after.End(w.today, w.crop.Drilled)
	w.stage = cut
}

// bringIn lays seed from outside on the field, once a season.
func (s spot) bringIn() {
	n := s.draw.Poisson(random.DrawImport, seedbank.Surface, 0, s.m.calendar.ImportPerM2*s.areaM2)
	if n > 0 {
		if s.fresh == 0 {
			s.fresh = s.nonDormant(s.today.Year())
		}
		s.brought += n
		age := seedbank.Fresh
		if _, m, _ := s.today.Date(); m < time.July {
			age = seedbank.New
		}
		i := s.bank.Lay(&s.rates, uint8(age), seedbank.Brought, n, s.fresh)
		if s.u.genes.On {
			s.bank.Kin[i] = s.startKin(n, seedbank.Surface, seedbank.Ages, &s.u.genes.start.outside)
			s.book.brought.Add(&s.bank.Kin[i].By)
		}
	}
}
