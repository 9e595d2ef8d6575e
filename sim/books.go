package sim

import (
	"math"

	"rundown/params/date"
	"rundown/sim/crop"
	"rundown/sim/margin"
	"rundown/sim/random"
	"rundown/sim/seedbank"
	"rundown/sim/stand"
)

// perM2 is a count of the field per m².
func (w *Worker) perM2(n int64) float64 { return float64(n) / w.m.areaM2 }

// openBooks starts the ledgers and the account of a season.
func (w *Worker) openBooks() {
	if !w.active {
		w.held -= w.lost.Carried // with the crop before the start
	}
	w.active, w.turned = true, false
	w.values = &w.out.Seasons[w.season]
	w.values[SeedBefore] = w.perM2(w.held)
	w.lost, w.tally = seedbank.Losses{}, stand.Tally{}
	w.shedSeed, w.brought = 0, 0
	w.atStart, w.plantsAt = w.bank.Total(), w.stand.Plants()
	w.money = margin.Account{}
}

// openSeason starts the planned course of a season.
func (w *Worker) openSeason() {
	w.cover, w.covers = crop.Cover{}, nil
	if k := w.m.seasons[w.season].cover; k >= 0 {
		w.covers = &w.u.covers[k]
	}
	w.course, w.closeOn, w.countOn = 0, 0, 0
	w.sprays, w.ploughings = 0, 0
	w.inCropLoss, w.competing = 0, 0
	w.before.Waited, w.after.Waited = 0, 0
	if s := &w.m.seasons[w.season]; s.standsOn && !w.standing {
		w.call(0)
		w.course = len(s.courses) - 1 // the ley never established
		w.strayed = true
	}
	w.before.Harvested = w.today - 1
	w.startCourse(w.today)
}

// startCourse begins the work of a course from a day.
func (w *Worker) startCourse(from date.Day) {
	s := &w.m.seasons[w.season]
	c := &s.courses[w.course]
	w.crops = &w.u.crops[c.crop]
	first := from
	if w.course == 0 {
		first = min(from, s.open) // what fell due while the harvest before was late waits for it
	}
	w.call(w.course)
	w.before.Start(c.before, first)
	w.harvestOn = 0
	if c.drill {
		w.crop, w.standing = crop.Crop{}, false
		return
	}
	if !s.standsOn || w.course > 0 {
		w.crop, w.standing = crop.Crop{}, false
	}
	w.spend(w.u.crops[c.crop].Money.VariablePerHa)
	w.after.Start(c.after, from)
	w.setHarvest()
	if april := date.Of(s.harvestYear, 4, 1); from > april {
		w.countOn = from
	}
}

// staysOn tells whether the crop stands on into the next season.
func (w *Worker) staysOn() bool {
	next := w.season + 1
	return next < len(w.m.seasons) && w.m.seasons[next].standsOn
}

// setHarvest draws the day of harvest: the planned crop's median, or that of
// the crop grown instead, and the year's departure from it.
func (w *Worker) setHarvest() {
	s := &w.m.seasons[w.season]
	c := &s.courses[w.course]
	u := &w.u.crops[c.crop]
	w.harvestOn = s.end
	if w.course > 0 && c.drill {
		w.harvestOn, _ = date.AnnualOf(int(math.Round(u.HarvestDate))).OnOrAfter(w.today + 60)
	}
	if c.drill {
		w.harvestOn += date.Day(math.Round(w.normal(s.harvestYear, effectHarvest, 0, u.HarvestSDD)))
	}
	w.harvestOn = max(w.harvestOn, w.today+1)
}

// reckon books yield, loss and margin at harvest.
func (w *Worker) reckon() {
	s := &w.m.seasons[w.season]
	c := &s.courses[w.course]
	u := &w.u.crops[c.crop]
	yield := 0.0
	if u.sown {
		p := &w.u.weed.Plant
		loss := 1 - (1-p.YieldLoss(w.competing, u.LossFactor))*(1-w.inCropLoss)
		field := random.Normal(w.parameters.WithText(fieldYield).Uniform(0))
		yield = u.YieldTPerHa * w.lognormal(s.harvestYear, effectYield, 0, u.YieldSeasonGSD) *
			math.Exp(field*math.Log(max(1, u.YieldFieldGSD))) * (1 - loss)
		if w.crop.Drilled != 0 {
			yield *= u.DateResponse(w.crop.Drilled) * u.StandResponse(w.crop.PlantsM2)
		}
		if w.cover.Sown != 0 {
			k := &w.u.covers[s.cover].CoverParams
			yield *= max(0, 1+k.YieldEffect+w.normal(s.harvestYear, effectCoverYield, 0, k.YieldEffectSD))
		}
		w.spend(u.Money.HarvestPerHa)
		if w.course == 0 {
			w.values[YieldLoss], w.values[Yield] = loss, yield
		}
	}
	w.values[Margin] = w.money.Margin(yield, &u.Money)
}

// closeBooks ends the season's ledgers the day after harvest.
func (w *Worker) closeBooks() {
	w.settle()
	v := w.values
	end, plants := w.bank.Total(), w.stand.Plants()
	v[SeedReturn] = w.perM2(w.shedSeed)
	v[Seedbank] = w.perM2(end)
	if w.held = end; w.turned { // else the season was over by June
		w.held = w.june + w.shedSeed - w.lost.Carried
	}
	v[SeedAfter] = w.perM2(w.held)
	v[Extinct] = 0
	if end == 0 && plants == 0 {
		v[Extinct] = 1
	}
	v[Course] = float64(w.course)
	v[WaitedDays] = float64(w.before.Waited + w.after.Waited)
	for _, x := range [...]struct {
		m Metric
		n int64
	}{
		{LedgerStart, w.atStart}, {LedgerShed, w.shedSeed}, {LedgerBroughtIn, w.brought},
		{LedgerDied, w.lost.Died}, {LedgerEaten, w.lost.Eaten}, {LedgerFatal, w.lost.Fatal},
		{LedgerEmerged, w.lost.Emerged}, {LedgerCarriedOff, w.lost.Carried}, {LedgerEnd, end},
		{PlantsEmerged, w.tally.Emerged}, {PlantsKilled, w.tally.Killed},
	} {
		v[x.m] = w.perM2(x.n)
	}
	out := end + w.lost.Died + w.lost.Eaten + w.lost.Fatal + w.lost.Emerged + w.lost.Carried
	w.broken = w.broken || w.atStart+w.shedSeed+w.brought != out ||
		w.plantsAt+w.tally.Emerged != w.tally.Killed+w.tally.Died+plants
}
