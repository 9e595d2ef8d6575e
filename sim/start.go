package sim

import (
	"math"
	"time"

	"rundown/params"
	"rundown/params/date"
	"rundown/sim/random"
	"rundown/sim/seedbank"
)

// startUnit is the infestation at the start, as one replicate has it.
type startUnit struct {
	heads, trend, fresh float64
	layer               [seedbank.Layers]float64
}

// bindStart fills the infestation from the plan's own quantities.
func (m *Model) bindStart(b *binder, s *startUnit) {
	c := m.calendar
	for _, x := range []struct {
		to *float64
		v  *params.Value
	}{
		{&s.heads, c.Heads}, {&s.trend, c.Trend}, {&s.fresh, c.FreshPerM2},
		{&s.layer[0], c.Seedbank[0]}, {&s.layer[1], c.Seedbank[1]}, {&s.layer[2], c.Seedbank[2]},
		{&s.layer[3], c.Seedbank[3]}, {&s.layer[4], c.Seedbank[4]},
	} {
		if x.v != nil {
			b.value(x.to, x.v)
		}
	}
}

// pastRains is how many rains before the last make up the older bank.
const pastRains = 6

// initialise lays the seedbank of the start, and the heads of the crop before
// whose rain is the fresh seed.
func (w *Worker) initialise() {
	old := w.u.start.layer
	if !w.m.calendar.HasSeedbank {
		old = w.olderBank()
	}
	if w.startTooMuch(&old) {
		return
	}
	for _, s := range w.spots {
		s.initialise(&old)
	}
}

func (s spot) initialise(old *[seedbank.Layers]float64) {
	s.draw.Day, s.plants.Day = int32(s.today), int32(s.today)
	x, year := &s.u.start, s.today.Year()
	if s.today < date.Of(year, time.July, 1) {
		year--
	}
	s.fresh = s.nonDormant(year)
	s.up = s.rates.Delay(s.fresh)
	for l, n := range old {
		k := s.draw.Poisson(random.DrawStart, l, 0, n*s.areaM2)
		s.bank.AddOld(&s.rates, l, k)
		s.inheritAtStart(l, k, uint8(l), seedbank.Old)
	}
	if s.m.calendar.HasSeedbank {
		n := s.draw.Poisson(random.DrawStart, 0, 1, x.fresh*s.areaM2)
		if n > 0 {
			s.inheritAtStart(s.bank.Lay(&s.rates, seedbank.Fresh, seedbank.Laid, n, s.fresh), n, seedbank.Surface, seedbank.Fresh)
		}
		s.held = s.bank.Total()
		return
	}
	s.heads.Early = int64(math.Round(x.heads * s.areaM2))
	s.heads.Crowding = crowding(x.heads, s.u.weed.Plant.MaxHeadsPerM2)
	n := s.heads.SetSeed(&s.u.weed.Plant, s.years.lognormal(year, effectSeed, 0, s.u.weed.Plant.SeedSeasonGSD), &s.plants)
	s.inheritAtStart(s.bank.Bear(seedbank.Fresh, n), n, seedbank.Surface, seedbank.Fresh)
	s.held = s.bank.Total()
	s.seedSet = true
	s.startShedding(year, 0)
}

// What a start may hold on the whole field, so that counts stay exact and the
// samplers in range (1e15) through all that follows: the most that a plan can
// state outright, 1e6 seeds per m² and layer, or 1e4 heads per m², on 10,000 ha.
const (
	mostSeedsStart = 1e14
	mostHeadsStart = 1e12
)

// What is said of a start beyond that.
const (
	tooManySeeds = "at the start a layer holds %.2g seeds per m² in one run, %.2g on the field; at most %.0g can be counted: " +
		"lower the infestation at the start or the upper end of its range, or give a trend nearer 1"
	tooManyHeads = "at the start %.2g heads per m² stand in one run, %.2g on the field; at most %.0g can be counted: " +
		"lower heads_per_m2 or the upper end of its range"
)

// startTooMuch refuses a start beyond what can be counted. A plan comes to it
// by a range that reaches far up, or a trend that makes the rains of the past immense.
func (w *Worker) startTooMuch(old *[seedbank.Layers]float64) bool {
	s := &w.u.start
	most := s.fresh
	for _, n := range old {
		most = max(most, n)
	}
	switch {
	case most*w.m.areaM2 > mostSeedsStart:
		w.refused = w.m.refuse(w.m.calendar.At("weed", "seedbank_per_m2", "heads_per_m2"), tooManySeeds, most, most*w.m.areaM2, mostSeedsStart)
	case s.heads*w.m.areaM2 > mostHeadsStart:
		w.refused = w.m.refuse(w.m.calendar.At("weed", "heads_per_m2"), tooManyHeads, s.heads, s.heads*w.m.areaM2, mostHeadsStart)
	}
	return w.refused != nil
}

// crowding is h1·E/Hmax behind a density of heads in winter wheat.
func crowding(heads, most float64) float64 {
	x := min(heads/most, 0.98)
	return x / (1 - x)
}

// olderBank is the older seed per m² by layer on 1 July: what the yearly
// cycle under the field's usual tillage has left of the rains before the last,
// each the next one's over the trend.
func (w *Worker) olderBank() [seedbank.Layers]float64 {
	s := &w.u.start
	p := &w.u.weed.Plant
	trend := s.trend
	if w.m.calendar.Trend == nil {
		trend = math.Exp(math.Log(max(1, p.PastRainGSD)) * random.Normal(w.parameters.WithText("weed.trend").Uniform(0)))
	}
	cycle := &w.cycle
	rain := s.heads * p.SeedsPerHead * p.Viability * math.Pow(1+crowding(s.heads, p.MaxHeadsPerM2), -p.CrowdingExponent)
	if w.m.reference == w.m.known && w.m.reference.historyUsual {
		w.Cycle()
	} else {
		w.past.run(w.m.reference, &w.m.reference.history, &w.u.weed, &w.rates)
		cycle = &w.past
	}
	var bank [seedbank.Layers]float64
	for k := pastRains; k >= 1; k-- {
		bank = cycle.year(bank, rain*math.Pow(trend, -float64(k)))
	}
	return bank
}

// previousHarvest brings the rest of the last rain down and clears the field.
func (w *Worker) previousHarvest() {
	for _, s := range w.spots {
		s.closeStep()
		s.reap(s.u.weed.Plant.WithGrain)
		s.stand.EndBefore(date.Of(w.today.Year(), time.June, 15))
	}
	for i := range w.patches {
		w.patches[i].straw.Lay(&w.u.crops[w.m.lastCrop].Params, true)
	}
}
