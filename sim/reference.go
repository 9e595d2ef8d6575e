package sim

import (
	"fmt"
	"math"
	"time"

	"rundown/params"
	"rundown/params/date"
	"rundown/sim/crop"
	"rundown/sim/herbicide"
	"rundown/sim/random"
	"rundown/sim/seedbank"
	"rundown/sim/soil"
	"rundown/sim/stand"
	"rundown/sim/weather"
)

// Reference is the year against which the model is held: the climate's mean
// weather, as the soil and the seed in it meet it, over many generated years;
// winter wheat after shallow tillage, drilled on 25 September, no herbicide in
// the crop. The low-density cycle of the seedbank runs on it. (Any one year, even
// a middle one, gives a return that hangs on a few days of its September.)
type Reference struct {
	first        date.Day // its 1 July
	steps        []refStep
	table        *refTable
	comesUp      int // layers from which seed may come up
	season       stand.Season
	usual        refWork // shallow tillage
	history      refWork // the field's usual tillage
	historyUsual bool    // the history is the usual tillage
	tb, psi      [nodes]float64
	marks        [refDays]mark // of its days; it has no 29 February, and neither has the half year before

	wheat     crop.Params // winter wheat at central values, whatever the plan grows
	strawLeft float64     // by shallow tillage
	sprayKill float64     // by the spray before drilling
}

// refStep is one step of the reference year. What depends on the base
// temperature and the base potential is held at the nodes of a grid over both.
type refStep struct {
	end     date.Day
	mid     int // day of the seedbank year
	days    float64
	warmth  [nodes][nodes][seedbank.Layers]float64
	skin    [nodes][nodes]float64 // what the drying of the skin takes from the warmth of the surface
	summer  float64               // days of summer
	dryness float64               // Σ (1 − Kr) of the days of summer
	soil    float64               // mean temperature of 0–5 cm
	heat    float64               // thermal sum of the air since 1 July on the day that its seedlings come up, °C d
	dry     float64               // 1 − Kr, mean
}

// nodes of the grid over base temperature and base potential; the middle one
// is the central value.
const nodes = 3

// refWork is what is done in the reference year, by step after which it is done.
type refWork struct {
	till      []refPass
	spray     int     // step after which what is green is sprayed off
	sprayed   float64 // share of it killed
	sprayedOn date.Day
	drill     int                  // step after which the crop is drilled
	cut       int                  // step in which the crop before is harvested
	depth     int                  // layers that the tillage connects with the top 10 cm
	ground    [maxSteps]crop.Straw // what lies on the ground in the middle of each step
}

type refPass struct {
	after int
	day   int // of the seedbank year
	unit  *implementUnit
	moist float64 // moistness for seedlings
	topFC float64
	kr    float64
	heat  float64 // thermal sum as of the steps
}

// The reference year runs in 2190–91, beyond all plans, so that every plan in a
// climate has the same.
const refYear = 2190

// refDates are the dates of the reference year.
var refDates = struct{ cut, disc, spray, drill date.Annual }{
	date.Annual{Month: time.August, Day: 12}, date.Annual{Month: time.August, Day: 25},
	date.Annual{Month: time.September, Day: 24}, date.Annual{Month: time.September, Day: 25},
}

// newReference tabulates the reference year and lays the work on it.
func newReference(m *Model, u *units) (*Reference, error) {
	r := &Reference{first: date.Of(refYear, time.July, 1)}
	if err := r.bind(m, u); err != nil {
		return nil, err
	}
	for k := range r.marks {
		r.marks[k] = markOf(r.first + date.Day(k))
	}
	s := &u.weed.Seed
	r.comesUp = seedbank.Depth10to15
	for l, q := range []float64{s.Emergence10to15, s.Emergence15to20} {
		if q > 0 {
			r.comesUp = seedbank.Depth10to15 + l + 1
		}
	}
	for i, k := range [nodes]float64{-2, 0, 2} {
		r.tb[i] = s.BaseTemperatureC + k
		r.psi[i] = s.BasePotentialMPa * math.Pow(1.25, k)
	}
	mean, err := keptReferences.get(refOf{m.madeOf, m.soil.Params(), r.wheat, r.strawLeft, u.weed}, func() (*refMade, error) {
		table, err := m.tabulate(r, u)
		return &refMade{r.steps, table}, err
	})
	if err != nil {
		return nil, err
	}
	r.steps, r.table = mean.steps, mean.table
	usual, err := r.workOf(m, m.calendar.Library.Find("implements", usualTillage))
	if err != nil {
		return nil, err
	}
	history, err := r.workOf(m, m.tables.implements[m.history])
	if err != nil {
		return nil, err
	}
	r.usual, r.history, r.season = *usual, *history, refSeason()
	r.historyUsual = m.tables.implements[m.history].Name == usualTillage
	return r, nil
}

// bind takes from the library what the reference year does, at central values.
func (r *Reference) bind(m *Model, u *units) error {
	b, lib := &binder{central: true}, m.calendar.Library
	wheat := lib.Find("crops", "winter-wheat")
	if wheat == nil {
		return fmt.Errorf("the library lacks crops/winter-wheat, which the reference year needs")
	}
	b.bind(&r.wheat, wheat)
	disc := lib.Find("implements", usualTillage)
	if disc == nil {
		return fmt.Errorf("the library lacks implements/%s, which the reference year needs", usualTillage)
	}
	var till implementUnit
	m.bindImplement(b, &till, disc)
	r.strawLeft = till.Soil.StrawLeft
	var spray herbicide.ContactParams
	b.bind(&spray, m.sprayOff)
	r.sprayKill = spray.KillMain
	return b.err
}

// workOf is the reference work with a field's usual implement, at central
// values: tillage and a tine drill, or one pass of a drill alone.
func (r *Reference) workOf(m *Model, usual *params.Entry) (*refWork, error) {
	tine := m.calendar.Library.Find("implements", "tine-drill")
	if usual == nil || tine == nil {
		return nil, fmt.Errorf("the library lacks shallow-disc or tine-drill, which the reference year needs")
	}
	b := &binder{central: true}
	till, drill := new(implementUnit), new(implementUnit)
	m.bindImplement(b, till, usual)
	m.bindImplement(b, drill, tine)
	if till.role == "drill" {
		till, drill = nil, till
	}
	return r.table.work(r, refDates.drill, till, drill), b.err
}

// usualTillage is the tillage of the reference year.
const usualTillage = "shallow-disc"

// refYears is how many weather years the reference year is the mean of.
const refYears = 41

// overYears runs the soil of the reference management through the weather of refYears
// years, each from a January to the end of the second June, and shows every day of the
// reference year, as the k-th of its days.
func (m *Model) overYears(r *Reference, see func(k int, meanC float64, st *soil.State)) {
	from := date.Of(refYear, time.January, 1)
	d := weather.NewDays(from, int(r.first-from)+refDays)
	for y := range uint32(refYears) {
		m.weather.Fill(d, random.Root(0, random.Weather, y))
		m.overYear(r, d, see)
	}
}

// overYear runs the soil through one of them.
func (m *Model) overYear(r *Reference, d *weather.Days, see func(k int, meanC float64, st *soil.State)) {
	st := m.soil.Start()
	cut, _ := refDates.cut.In(refYear)
	disc, _ := refDates.disc.In(refYear)
	drill, _ := refDates.drill.In(refYear)
	straw, kept := 0.0, r.wheat.StrawKept()
	var c crop.Crop
	for i := range d.MeanC {
		today := d.Start + date.Day(i)
		var g soil.Ground
		switch today {
		case cut:
			straw = r.wheat.StrawCover
		case disc:
			straw *= r.strawLeft
		}
		straw *= kept
		g.Residue = straw
		switch {
		case today < cut:
			g.Living = previousCover(r.marks[(today-r.first+refDays)%refDays].day)
			g.Kcb = g.Living
		case today == drill:
			c = crop.Drill(today, &r.wheat, 300)
		case today > drill:
			g.Living, g.Kcb = c.Grow(&r.wheat, d.MeanC[i], today)
		}
		m.soil.Day(&st, d.RainMM[i], d.MeanC[i], d.ET0MM[i]*m.et0, g)
		if today >= r.first {
			see(int(today-r.first), d.MeanC[i], &st)
		}
	}
}

// refTable is the mean year by day, from which the state of work days is read.
type refTable struct {
	kr    [refDays]float64
	moist [refDays]float64 // moistness for torn-out seedlings
	top   [refDays]float64
	heat  [refDays]float64 // thermal sum of the air since 1 July, °C d
}

const refDays = 365

// cutSteps lays out the steps of the reference year by date: a week in summer
// and autumn, longer in winter and spring, and cut where work is done.
func (r *Reference) cutSteps() (stepOf [refDays]int) {
	cuts := map[date.Day]bool{r.first + refDays - 1: true}
	for _, a := range []date.Annual{refDates.cut, refDates.disc, refDates.spray, refDates.drill, {Month: time.September, Day: 29},
		refSprayed, {Month: time.January, Day: 16}, {Month: time.March, Day: 1}} {
		day, _ := a.OnOrAfter(r.first)
		cuts[day] = true // work is done at the end of its day
	}
	step := refStep{}
	for i := range stepOf {
		day := r.first + date.Day(i)
		stepOf[i] = len(r.steps)
		step.days++
		longest := 7.0
		if _, month, _ := day.Date(); month == time.December || month <= time.June {
			longest = 12
		}
		if step.days >= longest || cuts[day] {
			step.end, step.mid = day, i-int(step.days)/2
			r.steps = append(r.steps, step)
			step = refStep{}
		}
	}
	return stepOf
}

// tabulate fills the steps and the days of the reference year with the means
// over the weather years.
func (m *Model) tabulate(r *Reference, u *units) (*refTable, error) {
	t := &refTable{}
	stepOf := r.cutSteps()
	rates := seedbank.Rates{P: u.weed.Seed}
	m.overYears(r, func(k int, meanC float64, st *soil.State) {
		t.kr[k] += st.Kr / refYears
		t.top[k] += st.TopRel / refYears
		t.heat[k] += max(0, meanC) / refYears
		t.moist[k] += u.weed.Plant.Regrowth(st.TopRel) / refYears
		r.steps[stepOf[k]].add(r, m, st, r.marks[k], &rates)
	})
	for k := 1; k < refDays; k++ {
		t.heat[k] += t.heat[k-1]
	}
	var autumn float64
	for i := range r.steps {
		s := &r.steps[i]
		s.heat = t.heat[s.middle()-r.first]
		if s.mid > 30 && s.mid < 153 {
			autumn += s.warmth[1][1][seedbank.Depth0to5]
		}
	}
	if !(autumn > 0) {
		return nil, m.refuse(m.calendar.At("field", "climate", "weather"),
			"in this climate no seed of %s would ever germinate in autumn: check the climate or the weed's base temperature", m.calendar.Weed.Name)
	}
	return t, nil
}

// add counts a day of one of the weather years into a step. rates are the weed's, in
// which the base temperature and the base potential are moved over the nodes.
func (s *refStep) add(r *Reference, m *Model, st *soil.State, k mark, rates *seedbank.Rates) {
	share := 1.0 / refYears
	s.soil += st.TempC[seedbank.Depth0to5] / s.days * share
	s.dry += (1 - st.Kr) / s.days * share
	if k.bits&summer != 0 {
		s.summer += share
		s.dryness += (1 - st.Kr) * share
	}
	if m.soil.Waterlogged(st) {
		return
	}
	top, low := m.soil.PotentialTop(st), m.soil.PotentialLower(st)
	potential := [seedbank.Layers]float64{top, top, top, low, low}
	for l, t := range st.TempC {
		warm := min(t, rates.P.OptimumTemperatureC) // as Rates.Heat, of which most of a winter's days have none
		if warm <= r.tb[0] {
			continue
		}
		for j := range nodes {
			rates.P.BasePotentialMPa = r.psi[j]
			moisture := rates.Moisture(t, potential[l])
			for i := range nodes {
				h := (warm - r.tb[i]) * moisture
				if h <= 0 {
					break // too dry, or too cold for this base temperature and those that are higher
				}
				if l == seedbank.Surface {
					s.skin[i][j] += h * (1 - st.Kr) * share
					h *= st.Kr
				}
				s.warmth[i][j][l] += h * share
			}
		}
	}
}

// after is the step that ends on a date.
func (r *Reference) after(a date.Annual) int {
	day, _ := a.OnOrAfter(r.first)
	for i := range r.steps {
		if r.steps[i].end >= day {
			return i
		}
	}
	return len(r.steps) - 1
}

// work lays the reference work on the steps: tillage (nil: none) and a drill.
func (t *refTable) work(r *Reference, drilled date.Annual, till, drill *implementUnit) *refWork {
	w := &refWork{cut: r.after(refDates.cut), spray: r.after(refDates.spray), sprayed: r.sprayKill, drill: r.after(drilled)}
	w.sprayedOn = r.steps[w.spray].end
	pass := func(i int, u *implementUnit) {
		d := int(r.steps[i].end - r.first)
		w.till = append(w.till, refPass{i, d, u, t.moist[d], t.top[d], t.kr[d], t.heat[d]})
	}
	if till != nil {
		pass(r.after(refDates.disc), till)
	}
	pass(w.drill, drill)
	w.depth = w.reach(r.comesUp)
	w.layStraw(r)
	return w
}

// layStraw lets the straw and stubble of the reference wheat rot and be worked in; the first of two years gives what
// the one before has left.
func (w *refWork) layStraw(r *Reference) {
	var straw crop.Straw
	for range 2 {
		for i := range r.steps {
			for day := range int(r.steps[i].days) {
				straw.Day()
				if day == int(r.steps[i].days)/2 {
					w.ground[i] = straw
				}
			}
			if i == w.cut {
				straw.Lay(&r.wheat, true)
			}
			for k := range w.till {
				if w.till[k].after == i {
					straw.Bury(w.till[k].unit.Soil.StrawLeft)
				}
			}
		}
	}
}

// reach is how many layers exchange seed, in one pass or several, with the
// upper n, from which seed may come up; deeper seed stays where it is.
func (w *refWork) reach(n int) int {
	for range seedbank.Layers {
		for i := range w.till {
			u := w.till[i].unit
			for l := n; l < seedbank.Layers; l++ {
				for k := range n {
					if u.move[l][k] > 0 || u.move[k][l] > 0 {
						n = l + 1
					}
				}
			}
		}
	}
	return n
}
