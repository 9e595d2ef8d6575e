package sim

import (
	"rundown/sim/seedbank"
	"rundown/sim/soil"
)

// day is the schedule. Every process of the model has its line here, in this order.
func (w *Worker) day() {
	for _, s := range w.spots {
		s.draw.Day, s.plants.Day = int32(w.today), int32(w.today)
	}
	w.grow() // cover and crop
	for i := range w.patches {
		w.wetAndWarm(&w.patches[i]) // soil water and temperature
	}
	if w.today >= w.m.begin {
		if w.today == w.m.begin {
			w.initialise()
		}
		for _, s := range w.spots {
			s.expose() // moisture-weighted thermal time, ripening, hazards
		}
		w.closeIfDue() // seed and plant transitions, on the grid of the weather
		w.fieldwork()  // harvest, sprays, cultivations, sowing, drilling, herbicides
		w.phenology()  // survival, thinning, heads, seed, turn of the seedbank year
		w.watch()      // records
	}
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
func (s spot) expose() {
	r, x, k := &s.rates, &s.sum, s.m.marks[s.i]
	x.Days++
	d := int(k.day)
	shelter := s.straw.Shelter()
	x.Surface += r.SurfaceDeath(k.bits&summer != 0, s.water.Kr, shelter)
	x.Back += r.Back[d]
	x.BackAutumn += r.BackAutumn[d]
	s.soilHeat += s.water.TempC[seedbank.Depth0to5]
	s.soilDays++
	for i := range s.residues {
		s.residues[i].Day(1 - s.water.Kr)
	}
	if s.m.soil.Waterlogged(&s.water) {
		return
	}
	before := x.Ready(seedbank.Depth0to5)
	x.Warm(r, d, s.up, &s.water.TempC, s.m.soil.PotentialTop(&s.water), s.m.soil.PotentialLower(&s.water), r.Skin(s.water.Kr, shelter))
	ready := x.Ready(seedbank.Depth0to5) - before
	s.coming += ready
	s.comingOn += ready * float64(s.i)
	s.comingIn += ready * s.water.TempC[seedbank.Depth0to5]
}

// closeIfDue closes the steps that the weather and the calendar ask for.
func (w *Worker) closeIfDue() {
	for _, s := range w.spots {
		s.slowDue = s.slowDue || w.m.marks[w.i].bits&fourWeeks != 0
		switch {
		case !w.sky.Grid[w.i]:
		case s.slowDue:
			s.closeSlow()
		default:
			s.closeStep()
		}
	}
}
