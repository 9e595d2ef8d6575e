package sim

import (
	"math"

	"rundown/params/date"
	"rundown/sim/crop"
	"rundown/sim/fieldwork"
	"rundown/sim/herbicide"
	"rundown/sim/seedbank"
	"rundown/sim/stand"
)

// fieldwork does what is due and can be done today.
func (w *Worker) fieldwork() {
	if w.stage == beforePlan {
		if w.today == w.m.offField {
			w.previousHarvest()
		}
		if w.today < w.m.calendar.Start {
			return
		}
		if w.today > w.m.begin { // else the seed is that which the plan states
			for _, s := range w.spots {
				s.countAll()
			}
		}
		w.nextSeason(&w.m.opening)
	}
	if w.stage == cut { // yesterday
		w.closeBooks()
		w.leaveSeason()
		w.season++
		if w.season == w.m.years {
			w.stage = over
			return
		}
		w.nextSeason(&w.m.seasons[w.at].then)
	}
	if w.undecided {
		if w.decideIfDue(); w.undecided {
			return
		}
	}
	if w.harvestOn == w.today {
		w.harvest()
		return
	}
	c := &w.m.seasons[w.at].courses[w.course]
	if c.ifs != nil {
		w.ask(c)
	}
	if w.today < w.workDue() {
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

// fieldworkDue is the first day after today on which fieldwork finds something to do or to begin.
func (w *Worker) fieldworkDue() date.Day {
	switch w.stage {
	case beforePlan:
		if w.today < w.m.offField {
			return w.m.offField
		}
		return w.m.calendar.Start
	case growing:
		due := w.workDue()
		if w.harvestOn != 0 {
			due = min(due, w.harvestOn)
		}
		return max(due, w.today+1) // what waits is looked at every day
	}
	return w.today + 1
}

// workDue is the day from which a job or the drill waits for fit ground.
func (w *Worker) workDue() date.Day {
	c := &w.m.seasons[w.at].courses[w.course]
	due := w.after.Due(w.crop.Drilled)
	if !c.drill || w.crop.Drilled == 0 {
		due = min(due, w.before.Due(0))
	}
	if c.drill && w.crop.Drilled == 0 {
		due = min(due, c.on)
	}
	return due
}

// ground is what today allows: what every patch does.
func (w *Worker) ground() fieldwork.Ground {
	g := fieldwork.Ground{Fit: [4]bool{true, true, true, true}, Cold: true}
	for i := range w.patches {
		water := &w.patches[i].water
		if !w.m.onItsDay {
			rain, s := w.sky.Days.RainMM[w.i], w.m.soil
			bears := s.Bears(water, w.u.soil.DrySubsoil)
			fit := func(need fieldwork.Needs, limit float64) {
				g.Fit[need] = g.Fit[need] && s.Workable(water, rain, limit+bears)
			}
			fit(fieldwork.Spraying, w.limits.Spraying)
			fit(fieldwork.Cultivation, w.limits.Cultivation)
			fit(fieldwork.Drilling, w.limits.Drilling)
		}
		g.Cold = g.Cold && water.TempC[seedbank.Depth5to10] <= coldSoil && water.Kr > 0.5
	}
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
		w.killCover()
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
	met, idle := w.meets(), j.Ends && !w.coverLives()
	switch j.Kind {
	case fieldwork.SprayOff, fieldwork.DestroyCover:
		w.spray(j.With)
		w.killCover() // a burn-off kills whatever cover it meets, meant or not
	case fieldwork.Cultivate:
		w.till(j.With, j.Good)
		w.spend(w.u.implements[j.With].Money.CostPerHa)
	case fieldwork.SowCover:
		for i := range w.patches {
			w.patches[i].cover = crop.Sow(w.today)
		}
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
}

// coverLives tells whether a cover is there to be ended.
func (w *Worker) coverLives() bool {
	for i := range w.patches {
		if c := &w.patches[i].cover; c.Sown != 0 && c.Destroyed == 0 {
			return true
		}
	}
	return false
}

// killCover ends whatever cover lives.
func (w *Worker) killCover() {
	for i := range w.patches {
		w.patches[i].cover.Destroy(w.today)
	}
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
	luck := w.seasons.effect(w.year(), effectSpray, uint64(w.sprays)) // a good spray is good on plants of every size
	for i, q := range &u.drawn {
		if q != nil {
			k[i] = q.at(luck)
		}
	}
	w.sprays++
	how := stand.Loosen
	if u.role == "non-selective" {
		how = stand.Bare
	}
	for _, s := range w.spots {
		f := u.alive
		if s.cover.Sown != 0 && s.cover.Destroyed == 0 && u.role == "non-selective" {
			f *= u.Contact.UnderCover
		}
		var kill [3]float64
		for i := range k {
			kill[i] = herbicide.Moved(k[i], u.onWeed) * f
		}
		s.meetToll(how, stand.Sizes{Small: kill[0], Main: kill[1], Large: kill[2]}, 0, s.contactToll(u))
	}
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
	shift := sd*w.u.weed.Site.Residual + w.seasons.normal(w.year(), effectResidual, u.group, sd)
	for _, s := range w.spots {
		s.residues, s.drying = append(s.residues, residue{of: with}), herbicide.DryDays
		a := &s.residues[len(s.residues)-1]
		a.Start(u.Actives, u.lost, shift)
		a.By = id
		a.Through(s.straw.Cover)
		// Seedlings that are just up take it in as those do that are coming up; with two leaves they are past it.
		dry, temp := 1-s.water.Kr, s.water.TempC[seedbank.Depth0to5]
		s.meetToll(stand.Loosen, stand.Sizes{Small: a.Now(dry, temp)}, 0, s.soilToll(u, a, dry, temp))
	}
}

// till passes an implement through soil and stand.
func (w *Worker) till(with int, good bool) {
	u := &w.u.implements[with]
	pass := seedbank.Pass{Move: &u.move, KillSprouted: u.Soil.KillSprouted, Places: u.places, Stirs: u.stirs()}
	if u.bypass != nil {
		mixed := w.plough(u, good)
		pass.Move = &mixed
	}
	for i := range w.patches {
		w.tillPatch(&w.patches[i], u, &pass)
	}
}

// plough is where a plough puts seed, which misses some of the soil.
func (w *Worker) plough(u *implementUnit, good bool) (mixed [seedbank.Layers][seedbank.Layers]float64) {
	missed := u.Soil.BypassGood
	if !good {
		missed = u.Soil.Bypass
		if u.missed != nil {
			missed = u.missed.at(w.seasons.effect(w.year(), effectPlough, uint64(w.ploughings)))
		}
	}
	w.ploughings++
	for l := range mixed {
		for k := range mixed[l] {
			mixed[l][k] = (1-missed)*u.move[l][k] + missed*u.bypass[l][k]
		}
	}
	return mixed
}

func (w *Worker) tillPatch(p *patch, u *implementUnit, pass *seedbank.Pass) {
	moist := w.u.weed.Plant.Regrowth(p.water.TopRel)
	pass.Stimulus = w.u.weed.Seed.Stimulus(p.water.TopRel, p.water.Kr) * w.rates.Ripe(int(w.m.marks[w.i].day))
	pass.Tilled = p.tilled
	for k := range p.populations {
		s := spot{w, p, &p.populations[k]}
		s.meet(stand.Loosen, u.kills(moist), 0)
		s.bank.Till(&w.rates, pass)
	}
	p.tilled.Stir(&pass.Stirs)
	if u.Soil.Stirs0to5 >= 0.7 {
		p.cover.Destroy(w.today)
	}
	p.cover.Bury(1 - u.Soil.StrawLeft)
	p.straw.Bury(u.Soil.StrawLeft)
}

// stirs is the share of each layer that a pass stirs.
func (u *implementUnit) stirs() [seedbank.Layers]float64 {
	p := &u.Soil
	return [seedbank.Layers]float64{p.Stirs0to5, p.Stirs0to5, p.Stirs5to10, p.StirsDeeper, p.StirsDeeper}
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
		found := 0.0
		for _, s := range w.spots {
			found += s.stand.Expected() / w.m.areaM2 * s.ripe().Up
		}
		heads *= u.Pull.Of(found)
		cost += heads * found * 1e4 * u.Pull.CostPerPlant
		w.noteFound(found, u.Pull.Of(found))
	case stand.Patch:
		patches := u.Patch.Share(w.expected()/w.m.areaM2, w.u.weed.Plant.PatchinessK)
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

func (w *Worker) year() int { return w.m.seasons[w.at].harvestYear }

func (w *Worker) cropIndex() int { return w.m.seasons[w.at].courses[w.course].crop }
