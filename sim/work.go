package sim

import (
	"math"

	"rundown/sim/crop"
	"rundown/sim/fieldwork"
	"rundown/sim/herbicide"
	"rundown/sim/seedbank"
	"rundown/sim/stand"
)

// fieldwork does what is due and can be done today.
func (w *Worker) fieldwork() {
	if !w.active {
		if w.today == w.m.offField {
			w.previousHarvest()
		}
		if w.today < w.m.calendar.Start {
			return
		}
		if w.today > w.m.begin { // else the seed is that which the plan states
			w.settle()
		}
		w.openBooks()
		w.openSeason()
	}
	if w.closeOn == w.today {
		w.closeBooks()
		w.season++
		if w.season == len(w.m.seasons) {
			return
		}
		w.openBooks()
		w.openSeason()
	}
	if w.harvestOn == w.today {
		w.harvest()
		return
	}
	if w.closeOn != 0 {
		return // harvested: the season is over
	}
	c := &w.m.seasons[w.season].courses[w.course]
	drilling := c.drill && w.crop.Drilled == 0
	if !(drilling && w.today >= c.on) && w.after.Idle(w.today, w.crop.Drilled) &&
		(c.drill && !drilling || w.before.Idle(w.today, 0)) {
		return
	}
	g := w.ground()
	if !c.drill || w.crop.Drilled == 0 {
		for j := w.before.Take(w.today, &g, 0); j != nil; j = w.before.Take(w.today, &g, 0) {
			w.do(j)
		}
	}
	if c.drill && w.crop.Drilled == 0 && w.today >= c.on {
		w.drillOrWait(c, &g)
	}
	for j := w.after.Take(w.today, &g, w.crop.Drilled); j != nil; j = w.after.Take(w.today, &g, w.crop.Drilled) {
		w.do(j)
	}
}

// ground is what today allows.
func (w *Worker) ground() fieldwork.Ground {
	g := fieldwork.Ground{Fit: [4]bool{true, true, true, true}}
	if !w.m.onItsDay {
		rain, s := w.sky.Days.RainMM[w.i], w.m.soil
		bears := s.Bears(&w.water, w.u.soil.DrySubsoil)
		g.Fit[fieldwork.Spraying] = s.Workable(&w.water, rain, w.limits.Spraying+bears)
		g.Fit[fieldwork.Cultivation] = s.Workable(&w.water, rain, w.limits.Cultivation+bears)
		g.Fit[fieldwork.Drilling] = s.Workable(&w.water, rain, w.limits.Drilling+bears)
	}
	g.Cold = w.water.TempC[seedbank.Depth5to10] <= coldSoil && w.water.Kr > 0.5
	return g
}

// drillOrWait drills when the ground is fit; past the latest day the plan's
// fallback takes over.
func (w *Worker) drillOrWait(c *course, g *fieldwork.Ground) {
	switch {
	case w.today > c.until:
		w.before.Waited++
		w.before.Lapse(c.drilling, c.on)
		w.before.End(w.today, 0)
		w.course++
		w.strayed = true
		w.startCourse(w.today)
	case !g.Fit[fieldwork.Drilling]:
		w.before.Hold(w.today)
	default:
		for j := w.before.Drill(w.today); j != nil; j = w.before.Drill(w.today) {
			w.do(j)
		}
		w.beforeWork(true)
		met := w.meets()
		w.till(c.with, false)
		w.made(c.drilling, met)
		w.spend(w.u.implements[c.with].Money.CostPerHa)
		u := &w.u.crops[c.crop]
		w.spend(u.Money.VariablePerHa + u.Money.SeedBeyondUsual(c.seeds))
		w.crop = crop.Drill(w.today, &u.Params, c.seeds)
		w.standing = true
		if w.cover.Sown != 0 {
			w.cover.Destroy(w.today)
		}
		w.values[DrilledOn] = float64(w.today)
		if _, m, _ := w.today.Date(); m <= 6 {
			w.countOn = w.today + 30
		}
		w.setHarvest()
		w.after.Start(c.after, w.today)
	}
}

// do does one job.
func (w *Worker) do(j *fieldwork.Job) {
	w.beforeWork(j.Kind == fieldwork.Cultivate)
	met, idle := w.meets(), j.Ends && (w.cover.Sown == 0 || w.cover.Destroyed != 0)
	switch j.Kind {
	case fieldwork.SprayOff, fieldwork.DestroyCover:
		w.spray(j.With)
		if w.cover.Sown != 0 { // a burn-off kills whatever cover it meets, meant or not
			w.cover.Destroy(w.today)
		}
	case fieldwork.Cultivate:
		w.till(j.With, j.Good)
		w.spend(w.u.implements[j.With].Money.CostPerHa)
	case fieldwork.SowCover:
		w.cover = crop.Sow(w.today)
		w.spend(w.u.covers[j.With].Money.CostPerHa)
	case fieldwork.Herbicide:
		w.apply(j.With, j.ID)
	case fieldwork.InCrop:
		w.inCrop(j.With)
	}
	w.made(j.ID, met)
	if idle && w.fates != nil {
		w.fates[j.ID].Why = NoObject
	}
	w.jobsToday++
}

// coldSoil is the temperature (°C) at which a residual for cold soil may go on.
const coldSoil = 10

func (w *Worker) spend(cost float64) { w.money.Spend(cost) }

// spray kills plants by their size.
func (w *Worker) spray(with int) {
	u := &w.u.herbicides[with]
	w.spend(u.Money.CostPerHa)
	w.contact(u)
}

// contact is a spray on what has emerged.
func (w *Worker) contact(u *herbicideUnit) {
	k := [3]float64{u.Contact.KillSmall, u.Contact.KillMain, u.Contact.KillLarge}
	luck := w.effect(w.year(), effectSpray, uint64(w.sprays)) // a good spray is good on plants of every size
	for i, q := range &u.drawn {
		if q != nil {
			k[i] = q.at(luck)
		}
	}
	w.sprays++
	f := u.alive
	if w.cover.Sown != 0 && w.cover.Destroyed == 0 && u.role == "non-selective" {
		f *= u.Contact.UnderCover
	}
	for i := range k {
		k[i] = herbicide.Moved(k[i], u.onWeed) * f
	}
	how := stand.Loosen
	if u.role == "non-selective" {
		how = stand.Bare
	}
	w.meet(how, stand.Sizes{Small: k[0], Main: k[1], Large: k[2]}, 0)
}

// apply sprays a programme, a piece of work: its residual actives stay in the soil.
func (w *Worker) apply(with, id int) {
	u := &w.u.herbicides[with]
	w.spend(u.Money.CostPerHa)
	if u.role == "contact" || u.role == "non-selective" {
		w.contact(u)
		return
	}
	for _, i := range u.Contacts {
		w.contact(&w.u.herbicides[i])
	}
	if len(u.Actives) == 0 {
		return
	}
	sd := u.Actives[0].SeasonSiteSD * math.Sqrt(0.5)
	shift := sd*w.u.weed.Site.Residual + w.normal(w.year(), effectResidual, u.group, sd)
	w.residues = append(w.residues, herbicide.Application{})
	a := &w.residues[len(w.residues)-1]
	a.Start(u.Actives, u.lost, shift)
	a.By = id
	a.Through(w.straw.Cover)
	// Seedlings that are just up take it in as those do that are coming up; with two leaves they are past it.
	w.meet(stand.Loosen, stand.Sizes{Small: a.Now(1-w.water.Kr, w.water.TempC[seedbank.Depth0to5])}, 0)
}

// till passes an implement through soil and stand.
func (w *Worker) till(with int, good bool) {
	u := &w.u.implements[with]
	p := &u.Soil
	moist := w.u.weed.Plant.Regrowth(w.water.TopRel)
	w.meet(stand.Loosen, u.kills(moist), 0)
	pass := seedbank.Pass{Move: &u.move, KillSprouted: p.KillSprouted, Stimulus: w.u.weed.Seed.Stimulus(w.water.TopRel, w.water.Kr) * w.rates.Ripe(int(w.m.marks[w.i].day)), Places: u.places,
		Stirs: [seedbank.Layers]float64{p.Stirs0to5, p.Stirs0to5, p.Stirs5to10, p.StirsDeeper, p.StirsDeeper}}
	var mixed [seedbank.Layers][seedbank.Layers]float64
	if u.bypass != nil {
		missed := p.BypassGood
		if !good {
			missed = p.Bypass
			if u.missed != nil {
				missed = u.missed.at(w.effect(w.year(), effectPlough, uint64(w.ploughings)))
			}
		}
		w.ploughings++
		for l := range mixed {
			for k := range mixed[l] {
				mixed[l][k] = (1-missed)*u.move[l][k] + missed*u.bypass[l][k]
			}
		}
		pass.Move = &mixed
	}
	w.bank.Till(&w.rates, &pass)
	if p.Stirs0to5 >= 0.7 {
		w.cover.Destroy(w.today)
	}
	w.cover.Bury(1 - p.StrawLeft)
	w.straw.Bury(p.StrawLeft)
	w.jobsToday++
}

// kills is what a pass kills by size, moist being how far torn-out seedlings live on. Seedlings below one leaf
// that it stirs die more surely, large plants root again.
func (u *implementUnit) kills(moist float64) stand.Sizes {
	p := &u.Soil
	kill := p.KillDry + (p.KillWet-p.KillDry)*moist
	return stand.Sizes{Small: kill + p.KillSmall*max(0, p.Stirs0to5-kill), Main: kill, Large: kill * p.KillLarge}
}

// inCrop is hoeing, roguing, patch spraying, topping and cutting. What is pulled or
// sprayed in patches costs by how many plants are found.
func (w *Worker) inCrop(with int) {
	u := &w.u.implements[with]
	q, cost := &u.InCrop, u.Money.CostPerHa
	k, heads, lost := q.KillPlants, q.RemoveHeads, q.CropLoss
	switch u.works {
	case stand.Pull: // only what shows its heads is found
		found := w.stand.Expected() / w.m.areaM2 * w.ripe().Up
		heads *= u.Pull.Of(found)
		cost += heads * found * 1e4 * u.Pull.CostPerPlant
		w.noteFound(found, u.Pull.Of(found))
	case stand.Patch:
		patches := u.Patch.Share(w.stand.Expected()/w.m.areaM2, w.u.weed.Plant.PatchinessK)
		lost += (1 - lost) * patches
		cost += patches * u.Patch.CostOfPatches
	}
	w.spend(cost)
	w.meet(u.works, stand.Sizes{Small: k, Main: k, Large: k}, heads)
	w.inCropLoss = 1 - (1-w.inCropLoss)*(1-lost)
}

// noteFound keeps how many plants those who pull weeds find, for whoever must know
// that they are too many.
func (w *Worker) noteFound(found, pulled float64) {
	v := w.values
	if !(v[PlantsFound] >= found) {
		v[PlantsFound] = found
		v[TooMany] = 0
		if pulled < 0.5 {
			v[TooMany] = 1
		}
	}
}

func (w *Worker) year() int { return w.m.seasons[w.season].harvestYear }

func (w *Worker) cropIndex() int { return w.m.seasons[w.season].courses[w.course].crop }
