package sim

import (
	"rundown/sim/seedbank"
	"rundown/sim/soil"
)

// day is the schedule. Every process of the model has its line here, in this order.
func (w *Worker) day() {
	w.draw.Day, w.plants.Day = int32(w.today), int32(w.today)
	w.jobsToday = 0
	w.grow()       // cover and crop
	w.wetAndWarm() // soil water and temperature
	if w.today >= w.m.begin {
		if w.today == w.m.begin {
			w.settleStart()
		}
		w.expose()     // moisture-weighted thermal time, ripening, hazards
		w.closeIfDue() // seed and plant transitions, on the grid of the weather
		w.fieldwork()  // harvest, sprays, cultivations, sowing, drilling, herbicides
		w.phenology()  // survival, thinning, heads, seed, turn of the seedbank year
		w.watch()      // records
	}
}

// grow lets crop and cover stand a day longer.
func (w *Worker) grow() {
	i := w.i
	w.cropCover = 0
	if w.cover.Sown != 0 {
		w.cover.Day(&w.covers.CoverParams, w.sky.Days.MeanC[i], w.sky.Days.TminC[i], w.m.light[w.m.marks[i].day], w.today)
	}
}

// wetAndWarm moves soil water and temperature on under what stands on it.
func (w *Worker) wetAndWarm() {
	i, d := w.i, &w.sky.Days
	var g soil.Ground
	switch {
	case !w.active: // the crop before the start
		if w.today < w.m.offField {
			g.Living = previousCover(w.m.marks[i].day)
			g.Kcb = g.Living
		}
	case w.standing:
		g.Living, g.Kcb = w.crop.Grow(&w.crops.Params, d.MeanC[i], w.today)
		w.cropCover = g.Living
	}
	w.straw.Day()
	g.Residue = w.straw.Cover
	if w.cover.Sown != 0 {
		if kcb := w.cover.Transpires(&w.covers.CoverParams); kcb > g.Kcb {
			g.Kcb = kcb
		}
		if w.cover.Ground > g.Living {
			g.Living = w.cover.Ground
		}
		if w.cover.Residue > g.Residue {
			g.Residue = w.cover.Residue
		}
	}
	w.m.soil.Day(&w.water, d.RainMM[i], d.MeanC[i], d.ET0MM[i]*w.m.et0, g)
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
func (w *Worker) expose() {
	r, x, k := &w.rates, &w.sum, w.m.marks[w.i]
	x.Days++
	d := int(k.day)
	shelter := w.straw.Shelter()
	x.Surface += r.SurfaceDeath(k.bits&summer != 0, w.water.Kr, shelter)
	x.Back += r.Back[d]
	x.BackAutumn += r.BackAutumn[d]
	w.soilHeat += w.water.TempC[seedbank.Depth0to5]
	w.soilDays++
	for i := range w.residues {
		w.residues[i].Day(1 - w.water.Kr)
	}
	if w.m.soil.Waterlogged(&w.water) {
		return
	}
	before := x.Ready(seedbank.Depth0to5)
	x.Warm(r, d, w.up, &w.water.TempC, w.m.soil.PotentialTop(&w.water), w.m.soil.PotentialLower(&w.water), r.Skin(w.water.Kr, shelter))
	ready := x.Ready(seedbank.Depth0to5) - before
	w.coming += ready
	w.comingOn += ready * float64(w.i)
	w.comingIn += ready * w.water.TempC[seedbank.Depth0to5]
}

// closeIfDue closes the steps that the weather and the calendar ask for.
func (w *Worker) closeIfDue() {
	w.slowDue = w.slowDue || w.m.marks[w.i].bits&fourWeeks != 0
	switch {
	case !w.sky.Grid[w.i]:
	case w.slowDue:
		w.closeSlow()
	default:
		w.closeStep()
	}
}
