package sim

import (
	"math"

	"rundown/params/date"
	"rundown/sim/crop"
	"rundown/sim/margin"
	"rundown/sim/random"
)

// perM2 is a count of the field per m².
func (w *Worker) perM2(n int64) float64 { return float64(n) / w.m.areaM2 }

// openBooks starts the ledgers and the account of a season.
func (w *Worker) openBooks() {
	var held int64
	for _, s := range w.spots {
		if w.stage == beforePlan {
			s.held -= s.lost.Carried // with the crop before the start
		}
		s.ledger = ledger{held: s.held, atStart: s.bank.Total(), plantsAt: s.stand.Plants()}
		s.openKin()
		held += s.held
	}
	w.stage = growing
	w.values = &w.out.Seasons[w.season]
	w.values[SeedBefore] = w.perM2(held)
	w.money = margin.Account{Spent: w.seen.owed}
	w.values[Looking] = w.seen.owed
	w.seen.owed = 0
}

// clearSeason forgets what belongs to the season before.
func (w *Worker) clearSeason() {
	w.coverAt = -1
	for i := range w.patches {
		w.patches[i].cover = crop.Cover{}
	}
	for _, s := range w.spots {
		s.competing = 0
	}
	w.course, w.countOn = 0, 0
	w.sprays, w.ploughings = 0, 0
	w.inCropLoss = 0
	w.before.Waited, w.after.Waited = 0, 0
}

// openSeason starts the planned course of a season.
func (w *Worker) openSeason() {
	w.clearSeason()
	w.coverAt = w.m.seasons[w.at].cover
	w.values[Branch] = float64(w.m.seasons[w.at].branch)
	if s := &w.m.seasons[w.at]; s.standsOn && !w.standing {
		w.call(0)
		w.course = len(s.courses) - 1 // the ley never established
		w.strayed = true
	}
	w.before.Harvested = w.seen.harvested
	w.startCourse(w.today)
}

// startCourse begins the work of a course from a day.
func (w *Worker) startCourse(from date.Day) {
	s := &w.m.seasons[w.at]
	c := &s.courses[w.course]
	w.cropAt = c.crop
	first := from
	if w.course == 0 {
		first = min(from, s.open) // what fell due while the harvest before was late waits for it
	}
	w.call(w.course)
	w.before.Start(c.before, first)
	w.harvestOn = 0
	if c.drill {
		w.standNothing()
		return
	}
	if !s.standsOn || w.course > 0 {
		w.standNothing()
	}
	w.spend(w.u.crops[c.crop].Money.VariablePerHa)
	w.after.Start(c.after, from)
	w.setHarvest()
	if april := date.Of(s.harvestYear, 4, 1); from > april {
		w.countOn = from
	}
}

// standNothing clears the field of the crop before.
func (w *Worker) standNothing() { w.crop, w.standing = crop.Crop{}, false }

// staysOn tells whether the crop stands on into the next season.
func (w *Worker) staysOn() bool {
	then := &w.m.seasons[w.at].then
	return len(then.next) == 1 && w.m.seasons[then.next[0]].standsOn
}

// setHarvest draws the day of harvest: the planned crop's median, or that of
// the crop grown instead, and the year's departure from it.
func (w *Worker) setHarvest() {
	s := &w.m.seasons[w.at]
	c := &s.courses[w.course]
	u := &w.u.crops[c.crop]
	w.harvestOn = s.end
	if w.course > 0 && c.drill {
		w.harvestOn, _ = date.AnnualOf(int(math.Round(u.HarvestDate))).OnOrAfter(w.today + 60)
	}
	if c.drill {
		w.harvestOn += date.Day(math.Round(w.seasons.normal(s.harvestYear, effectHarvest, 0, u.HarvestSDD)))
	}
	w.harvestOn = max(w.harvestOn, w.today+1)
}

// closeAccount books yield, loss and margin at harvest.
func (w *Worker) closeAccount() {
	s := &w.m.seasons[w.at]
	c := &s.courses[w.course]
	u := &w.u.crops[c.crop]
	yield, taken := 0.0, 0.0
	if u.sown {
		loss := func(left float64) float64 { return 1 - left*(1-w.inCropLoss) }
		left := w.leftByWeeds(u.LossFactor)
		yield = w.yield(s, u, loss(left))
		taken = w.yield(s, u, loss(1)) - yield
		w.spend(u.Money.HarvestPerHa)
		if w.course == 0 {
			w.values[YieldLoss], w.values[Yield] = loss(left), yield
		}
	}
	w.values[Margin] = w.money.Margin(yield, &u.Money)
	w.values[TakenByWeeds] = taken * u.Money.PricePerT
}

// yield is what the crop gives, in t/ha, where such a share of it is lost.
func (w *Worker) yield(s *season, u *cropUnit, loss float64) float64 {
	field := random.Normal(w.parameters.WithText(fieldYield).Uniform(0))
	yield := u.YieldTPerHa * w.seasons.lognormal(s.harvestYear, effectYield, 0, u.YieldSeasonGSD) *
		math.Exp(field*math.Log(max(1, u.YieldFieldGSD))) * (1 - loss)
	if w.crop.Drilled != 0 {
		yield *= u.DateResponse(w.crop.Drilled) * u.StandResponse(w.crop.PlantsM2)
	}
	if w.patches[0].cover.Sown != 0 {
		k := &w.u.covers[s.cover].CoverParams
		yield *= max(0, 1+k.YieldEffect+w.seasons.normal(s.harvestYear, effectCoverYield, 0, k.YieldEffectSD))
	}
	return yield
}

// leftByWeeds is the share of the yield that weeds leave, over the patches.
func (w *Worker) leftByWeeds(factor float64) (left float64) {
	for i := range w.patches {
		p := &w.patches[i]
		here := 1.0
		for k := range p.populations {
			here *= 1 - w.u.weed.Plant.YieldLoss(p.populations[k].competing, factor)
		}
		left += p.share * here
	}
	return left
}

// closeBooks ends the season's ledgers the day after harvest.
func (w *Worker) closeBooks() {
	v := w.values
	var all ledger
	var end, plants int64
	for _, s := range w.spots {
		e, p := s.closeLedger()
		all.add(&s.ledger)
		end += e
		plants += p
	}
	v[SeedReturn] = w.perM2(all.shedSeed)
	v[Seedbank] = w.perM2(end)
	v[SeedAfter] = w.perM2(all.held)
	v[Extinct] = 0
	if end == 0 && plants == 0 {
		v[Extinct] = 1
	}
	v[Course] = float64(w.course)
	w.noteKills(v)
	v[WaitedDays] = float64(w.before.Waited + w.after.Waited)
	for _, x := range [...]struct {
		m Metric
		n int64
	}{
		{LedgerStart, all.atStart}, {LedgerShed, all.shedSeed}, {LedgerBroughtIn, all.brought},
		{LedgerDied, all.lost.Died}, {LedgerEaten, all.lost.Eaten}, {LedgerFatal, all.lost.Fatal},
		{LedgerEmerged, all.lost.Emerged}, {LedgerCarriedOff, all.lost.Carried}, {LedgerEnd, end},
		{PlantsEmerged, all.tally.Emerged}, {PlantsKilled, all.tally.Killed},
	} {
		v[x.m] = w.perM2(x.n)
	}
}

// closeLedger ends a population's ledger and returns the seed and the plants that live.
func (s spot) closeLedger() (end, plants int64) {
	s.countAll()
	end, plants = s.bank.Total(), s.stand.Plants()
	if s.held = end; s.turned { // else the season was over by June
		s.held = s.june + s.shedSeed - s.lost.Carried
	}
	out := end + s.lost.Died + s.lost.Eaten + s.lost.Fatal + s.lost.Emerged + s.lost.Carried
	s.broken = s.broken || s.u.genes.On && !s.balances() || s.atStart+s.shedSeed+s.brought != out ||
		s.plantsAt+s.tally.Emerged != s.tally.Killed+s.tally.Died+plants
	return end, plants
}

// add adds up what a season's books say of the field.
func (l *ledger) add(o *ledger) {
	l.atStart += o.atStart
	l.shedSeed += o.shedSeed
	l.brought += o.brought
	l.held += o.held
	l.lost.Died += o.lost.Died
	l.lost.Eaten += o.lost.Eaten
	l.lost.Fatal += o.lost.Fatal
	l.lost.Emerged += o.lost.Emerged
	l.lost.Carried += o.lost.Carried
	l.tally.Emerged += o.tally.Emerged
	l.tally.Killed += o.tally.Killed
}
