package sim

import (
	"rundown/params/date"
	"rundown/sim/seedbank"
	"rundown/sim/soil"
)

// day is the schedule. Every process of the model has its line here, in this order.
func (w *Worker) day() {
	w.grow() // cover and crop
	for i := range w.patches {
		w.wetAndWarm(&w.patches[i]) // soil water and temperature
	}
	if w.today < w.m.begin {
		return
	}
	if w.today == w.m.begin {
		w.initialise()
	}
	for i := range w.spots {
		w.spots[i].expose() // moisture-weighted thermal time, ripening, hazards
	}
	if w.quiet() {
		return
	}
	for i := range w.spots {
		w.spots[i].closeIfDue() // seed and plant transitions, on the grid of the weather
	}
	w.fieldwork() // harvest, sprays, cultivations, sowing, drilling, herbicides
	w.phenology() // survival, thinning, heads, seed, turn of the seedbank year
	w.observe()   // counts that decisions hang on
	w.watch()     // records
	w.due = w.nextDue()
}

// quiet tells whether nothing is due today but what every day brings, as on five days of six:
// no step closes, no work, no date of phenology, no watch.
func (w *Worker) quiet() bool {
	return w.today < w.due && !w.sky.Grid[w.i] && w.m.marks[w.i].bits&^summer == 0
}

// nextDue is the first day after today on which more may be due than grid and marks say. Whatever
// is to be done on a date has its line here.
func (w *Worker) nextDue() date.Day {
	next := w.m.last
	by := func(d date.Day) {
		if d > w.today && d < next {
			next = d
		}
	}
	by(w.fieldworkDue())
	by(w.countOn)
	if w.m.rules != nil {
		w.rulesDue(by)
	}
	if w.nextWatch < len(w.watches) {
		by(w.watches[w.nextWatch].Day)
	}
	return next
}

// grow lets crop and cover stand a day longer.
func (w *Worker) grow() {
	i, d := w.i, &w.sky.Days
	w.cropCover = 0
	for k := range w.patches {
		if p := &w.patches[k]; p.cover.Sown != 0 {
			p.cover.Day(&w.u.covers[w.coverAt].CoverParams, d.MeanC[i], d.TminC[i], w.m.light[w.m.marks[i].day], w.today)
		}
	}
	if w.standing {
		w.cropCover, w.cropKcb = w.crop.Grow(&w.u.crops[w.cropAt].Params, d.MeanC[i], w.today)
	}
}

// wetAndWarm moves soil water and temperature on under what stands on it.
func (w *Worker) wetAndWarm(p *patch) {
	i, d := w.i, &w.sky.Days
	var g soil.Ground
	switch {
	case w.stage == beforePlan:
		if w.today < w.m.offField {
			g.Living = previousCover(w.m.marks[i].day)
			g.Kcb = g.Living
		}
	case w.standing:
		g.Living, g.Kcb = w.cropCover, w.cropKcb
	}
	p.straw.Day()
	g.Residue = p.straw.Cover
	if p.cover.Sown != 0 {
		if kcb := p.cover.Transpires(&w.u.covers[w.coverAt].CoverParams); kcb > g.Kcb {
			g.Kcb = kcb
		}
		if p.cover.Ground > g.Living {
			g.Living = p.cover.Ground
		}
		if p.cover.Residue > g.Residue {
			g.Residue = p.cover.Residue
		}
	}
	w.m.soil.Day(&p.water, d.RainMM[i], d.MeanC[i], d.ET0MM[i]*w.m.et0, g)
}

// previousCover is the ground cover of the crop that stood before the start:
// full from spring, which is all that the soil's water remembers of it.
func previousCover(seedbankDay uint16) float64 {
	if seedbankDay > 260 || seedbankDay < 60 { // mid-March to August
		return 0.9
	}
	return 0.5
}

// expose adds what seed meets today.
func (s *spot) expose() {
	w, q, water := s.Worker, s.population, &s.patch.water
	r, x, k := &w.rates, &q.sum, w.m.marks[w.i]
	x.Days++
	d := int(k.day)
	shelter := s.patch.straw.Shelter()
	x.Surface += r.SurfaceDeath(k.bits&summer != 0, water.Kr, shelter)
	x.Back += r.Back[d]
	x.BackAutumn += r.BackAutumn[d]
	q.soilHeat += water.TempC[seedbank.Depth0to5]
	q.soilDays++
	if q.drying > 0 {
		q.drying--
		for i := range q.residues {
			q.residues[i].Day(1 - water.Kr)
		}
	}
	if w.m.soil.Waterlogged(water) {
		return
	}
	before := x.Ready(seedbank.Depth0to5)
	x.Warm(r, d, q.up, &water.TempC, w.m.soil.PotentialTop(water), w.m.soil.PotentialLower(water), r.Skin(water.Kr, shelter))
	ready := x.Ready(seedbank.Depth0to5) - before
	q.coming += ready
	q.comingOn += ready * float64(w.i)
	q.comingIn += ready * water.TempC[seedbank.Depth0to5]
}

// closeIfDue closes the steps that the weather and the calendar ask for.
func (s *spot) closeIfDue() {
	s.draw.Day, s.plants.Day = int32(s.today), int32(s.today)
	s.slowDue = s.slowDue || s.m.marks[s.i].bits&fourWeeks != 0
	switch {
	case !s.sky.Grid[s.i]:
	case s.slowDue:
		s.closeSlow()
	default:
		s.closeStep()
	}
}
