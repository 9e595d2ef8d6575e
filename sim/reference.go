package sim

import (
	"fmt"
	"math"
	"slices"
	"time"

	"rundown/params"
	"rundown/params/date"
	"rundown/sim/crop"
	"rundown/sim/random"
	"rundown/sim/seedbank"
	"rundown/sim/soil"
	"rundown/sim/weather"
)

// Reference is the year against which the model is held: one weather year of
// the climate, the middle one of several by the warmth and moisture of its
// autumn; winter wheat after shallow tillage, drilled on 25 September, no
// herbicide in the crop. The low-density cycle of the seedbank runs on it.
type Reference struct {
	first   date.Day // its 1 July
	steps   []refStep
	table   *refTable
	comesUp int         // layers from which seed may come up
	usual   refWork     // shallow tillage
	history refWork     // the field's usual tillage
	base    [][]float64 // logit E00 less logit E0 of each active, by herbicide
	tb, psi [nodes]float64
}

// refStep is one step of the reference year. What depends on the base
// temperature and the base potential is held at the nodes of a grid over both.
type refStep struct {
	end     date.Day
	mid     int // day of the seedbank year
	days    float64
	warmth  [nodes][nodes][seedbank.Layers]float64
	summer  float64 // days of summer
	dryness float64 // Σ (1 − Kr) of the days of summer
	heat    float64 // thermal sum at its end, base 0 °C
	soil    float64 // mean temperature of 0–5 cm
	dry     float64 // 1 − Kr, mean
}

// nodes of the grid over base temperature and base potential; the middle one
// is the central value.
const nodes = 3

// refWork is what is done in the reference year, by step after which it is done.
type refWork struct {
	till  []refPass
	spray int // step after which what is green is sprayed off
	drill int // step after which the crop is drilled
	cut   int // step in which the crop before is harvested
	up    date.Day
	depth int // layers that the tillage connects with the top 10 cm
}

type refPass struct {
	after int
	unit  *implementUnit
	moist float64 // moistness for seedlings
	topFC float64
	kr    float64
}

// The reference year runs in 2190–91, beyond all plans, so that every plan in a
// climate has the same.
const refYear = 2190

// refDates are the dates of the reference year.
var refDates = struct{ cut, disc, spray, drill date.Annual }{
	date.Annual{Month: time.August, Day: 12}, date.Annual{Month: time.August, Day: 25},
	date.Annual{Month: time.September, Day: 24}, date.Annual{Month: time.September, Day: 25},
}

// newReference chooses the weather year and tabulates it.
func newReference(m *Model, u *units) (*Reference, error) {
	r := &Reference{first: date.Of(refYear, time.July, 1)}
	days, err := m.middleYear(u)
	if err != nil {
		return nil, err
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
	r.table = m.tabulate(r, days, u)
	usual, err := r.workOf(m, m.calendar.Library.Find("implements", "shallow-disc"))
	if err != nil {
		return nil, err
	}
	history, err := r.workOf(m, m.tables.implements[m.history])
	if err != nil {
		return nil, err
	}
	r.usual, r.history = *usual, *history
	return r, nil
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

// middleYear fills the weather of several years and returns the middle one by
// the moisture-weighted warmth of 0–5 cm of soil from August to November.
func (m *Model) middleYear(u *units) (*weather.Days, error) {
	const years = 41
	n := int(date.Of(refYear+2, time.January, 1) - date.Of(refYear, time.January, 1))
	type ranked struct {
		luck uint32
		x    float64
	}
	var all []ranked
	d := weather.NewDays(date.Of(refYear, time.January, 1), n)
	for k := range uint32(years) {
		m.weather.Fill(d, random.Root(0, random.Weather, k))
		all = append(all, ranked{k, m.autumnWarmth(d, u)})
	}
	slices.SortFunc(all, func(a, b ranked) int {
		switch {
		case a.x < b.x:
			return -1
		case a.x > b.x:
			return 1
		}
		return int(a.luck) - int(b.luck)
	})
	mid := all[years/2]
	if !(mid.x > 0) {
		return nil, fmt.Errorf("in this climate no seed of %s would ever germinate in autumn: check the climate or the weed's base temperature", m.calendar.Weed.Name)
	}
	m.weather.Fill(d, random.Root(0, random.Weather, mid.luck))
	return d, nil
}

func (m *Model) autumnWarmth(d *weather.Days, u *units) float64 {
	var rates seedbank.Rates
	rates.Set(&u.weed.Seed)
	var sum float64
	m.overYear(d, u, func(i int, st *soil.State) {
		day := d.Start + date.Day(i)
		if y, mo, _ := day.Date(); y == refYear && mo >= time.August && mo <= time.November {
			sum += rates.Warmth(st.TempC[1], rates.Moisture(m.soil.PotentialTop(st)))
		}
	})
	return sum
}

// overYear runs the soil of the reference management through two years of weather.
// refStrawLeft is the share of straw that shallow tillage leaves on top.
const refStrawLeft = 0.3

func (m *Model) overYear(d *weather.Days, u *units, see func(i int, st *soil.State)) {
	st := m.soil.Start()
	cut, _ := refDates.cut.In(refYear)
	drill, _ := refDates.drill.In(refYear)
	wheat := &u.crops[m.lastCrop].Params
	disc, _ := refDates.disc.In(refYear)
	straw := 0.0
	var c crop.Crop
	for i := range d.MeanC {
		today := d.Start + date.Day(i)
		var g soil.Ground
		switch today {
		case cut:
			straw = wheat.StrawCover
		case disc:
			straw *= refStrawLeft
		}
		straw *= strawKept
		g.Residue = straw
		switch {
		case today < cut:
			g.Living = previousCover(markOf(today).day)
			g.Kcb = g.Living
		case today == drill:
			c = crop.Drill(today, wheat, 300)
		case today > drill:
			g.Living, g.Kcb = c.Grow(wheat, d.MeanC[i], today)
		}
		m.soil.Day(&st, d.RainMM[i], d.MeanC[i], d.ET0MM[i]*m.et0, g)
		see(i, &st)
	}
}

// refTable is the daily detail from which steps are cut.
type refTable struct {
	up    date.Day
	kr    []float64 // by day since first
	moist []float64
	top   []float64
}

// tabulate cuts the reference year into steps: the grid of the weather and the
// days of work.
func (m *Model) tabulate(r *Reference, d *weather.Days, u *units) *refTable {
	const year = 365
	t := &refTable{}
	from := int(r.first - d.Start)
	cuts := map[date.Day]bool{}
	for _, a := range []date.Annual{refDates.cut, refDates.disc, refDates.spray, refDates.drill, {Month: time.September, Day: 29}, {Month: time.October, Day: 1}, {Month: time.March, Day: 1}} {
		day, _ := a.OnOrAfter(r.first)
		cuts[day-1] = true
	}
	step, since, heat := refStep{}, 0.0, 0.0
	m.overYear(d, u, func(i int, st *soil.State) {
		if i < from || i >= from+year {
			return
		}
		day := d.Start + date.Day(i)
		t.kr = append(t.kr, st.Kr)
		t.top = append(t.top, st.TopRel)
		t.moist = append(t.moist, min(max((st.TopRel-0.5)/0.3, 0), 1))
		step.add(r, m, st, markOf(day), u)
		heat += max(0, d.MeanC[i])
		since += max(0, d.MeanC[i])
		if since >= 90 || step.days >= 21 || cuts[day] || i == from+year-1 {
			step.end, step.heat = day, heat
			step.mid = int(day-r.first) - int(step.days)/2
			step.soil /= step.days
			step.dry /= step.days
			r.steps = append(r.steps, step)
			step, since = refStep{}, 0
		}
	})
	drill, _ := refDates.drill.In(refYear)
	wheat := &u.crops[m.lastCrop].Params
	c := crop.Drill(drill, wheat, 300)
	for day := drill + 1; c.Up == 0 && day < drill+200; day++ {
		c.Grow(wheat, d.MeanC[day-d.Start], day)
	}
	t.up = c.Up
	return t
}

// add counts a day into a step.
func (s *refStep) add(r *Reference, m *Model, st *soil.State, k mark, u *units) {
	s.days++
	s.soil += st.TempC[1]
	s.dry += 1 - st.Kr
	if k.bits&summer != 0 {
		s.summer++
		s.dryness += 1 - st.Kr
	}
	if m.soil.Waterlogged(st) {
		return
	}
	var rates seedbank.Rates
	rates.P = u.weed.Seed
	top, low := m.soil.PotentialTop(st), m.soil.PotentialLower(st)
	for i := range nodes {
		rates.P.BaseTemperatureC = r.tb[i]
		for j := range nodes {
			rates.P.BasePotentialMPa = r.psi[j]
			a, b := rates.Moisture(top), rates.Moisture(low)
			for l, moist := range [seedbank.Layers]float64{a * st.Kr, a, a, b, b} {
				s.warmth[i][j][l] += rates.Warmth(st.TempC[l], moist)
			}
		}
	}
}

// after is the step that ends on the day before a date.
func (r *Reference) after(a date.Annual) int {
	day, _ := a.OnOrAfter(r.first)
	for i := range r.steps {
		if r.steps[i].end >= day-1 {
			return i
		}
	}
	return len(r.steps) - 1
}

// work lays the reference work on the steps: tillage (nil: none) and a drill.
func (t *refTable) work(r *Reference, drilled date.Annual, till, drill *implementUnit) *refWork {
	w := &refWork{cut: r.after(refDates.cut), spray: r.after(refDates.spray), drill: r.after(drilled), up: t.up}
	pass := func(i int, u *implementUnit) {
		d := int(r.steps[i].end - r.first)
		w.till = append(w.till, refPass{i, u, t.moist[d], t.top[d], t.kr[d]})
	}
	if till != nil {
		pass(r.after(refDates.disc), till)
	}
	pass(w.drill, drill)
	w.depth = w.reach(r.comesUp)
	return w
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
