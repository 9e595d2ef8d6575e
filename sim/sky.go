package sim

import (
	"math"
	"time"

	"rundown/params/date"
	"rundown/sim/random"
	"rundown/sim/weather"
)

// Sky is one replicate's weather and what follows from weather alone: every
// plan compared shares it.
type Sky struct {
	Days weather.Days
	Heat []float64 // thermal sum since the first day, base 0 °C, °C d
	Grid []bool    // a step of seeds and plants closes at the end of this day
	Ripe []float64 // mean temperature of 15 June–15 July, by year since the first
	luck uint32
	seed uint64
	turn date.Day // 0: none
	next uint32   // luck from turn on
	set  bool
}

// gridHeat is the mean air temperature, summed since the last step, that closes
// a step; restHeat the same from 15 May to 31 July, when hardly anything comes up;
// gridDays the most days a step lasts.
const (
	gridHeat = 100
	restHeat = 250
	gridDays = 28
)

// NewSky makes room for the weather of a model's timeline.
func (m *Model) NewSky() *Sky {
	n := int(m.last-m.first) + 1
	column := func() []float64 { return make([]float64, n) }
	return &Sky{
		Days: weather.Days{Start: m.first, TmaxC: column(), TminC: column(), RainMM: column(), MeanC: column(), ET0MM: column()},
		Heat: column(), Grid: make([]bool, n), Ripe: make([]float64, m.last.Year()-m.first.Year()+1),
	}
}

// Fill draws the weather of a luck index. Filling again with the same seed and
// index costs nothing.
func (s *Sky) Fill(m *Model, seed uint64, luck uint32) { s.FillSwitched(m, seed, luck, Switch{}) }

// FillSwitched draws the weather of a luck index up to the day before a switch,
// and that of the other from there on. A mean of ripening that had begun by then
// is the old weather's: what hangs on it had been drawn.
func (s *Sky) FillSwitched(m *Model, seed uint64, luck uint32, t Switch) {
	day, next := switched(luck, t)
	if s.set && s.seed == seed && s.luck == luck && s.turn == day && s.next == next {
		return
	}
	s.set, s.seed, s.luck, s.turn, s.next = true, seed, luck, day, next
	m.weather.Fill(&s.Days, m.weatherKey(seed, luck))
	s.derive(s.Days.Start)
	if day != 0 {
		m.weather.FillSwitched(&s.Days, m.weatherKey(seed, luck), m.weatherKey(seed, next), day)
		s.derive(day)
	}
}

// weatherKey is the key of a luck of weather. Among the fields of a farm those whose
// weather has one origin share it, and others share nothing of it.
func (m *Model) weatherKey(seed uint64, luck uint32) random.Key {
	key := random.Root(seed, random.Weather, luck)
	if m.fieldName == "" {
		return key
	}
	return key.Field(m.origin)
}

// derive computes what follows from the days' temperatures; means of ripening
// only from a day on.
func (s *Sky) derive(from date.Day) {
	var heat, since float64
	run, most := 0, float64(gridHeat)
	rest, over := restOf(s.Days.Start.Year())
	for i, t := range s.Days.MeanC {
		switch s.Days.Start + date.Day(i) {
		case rest:
			most = restHeat
		case over:
			most = gridHeat
			rest, over = restOf(over.Year() + 1)
		}
		if t < 0 { // costs less than max, which minds NaN
			t = 0
		}
		heat += t
		since += t
		run++
		s.Heat[i] = heat
		s.Grid[i] = since >= most || run >= gridDays
		if s.Grid[i] {
			since, run = 0, 0
		}
	}
	for k := range s.Ripe {
		if ripens := date.Of(s.Days.Start.Year()+k, time.June, 15); ripens >= from {
			s.Ripe[k] = s.meanOf(ripens, 31)
		}
	}
}

// restOf are the days on which a year's steps grow longer and shorter again.
func restOf(year int) (rest, over date.Day) {
	return date.Of(year, time.May, 15), date.Of(year, time.August, 1)
}

// meanOf is the mean temperature of n days from a day; NaN off the timeline.
func (s *Sky) meanOf(from date.Day, n int) float64 {
	i := int(from - s.Days.Start)
	if i < 0 || i+n > len(s.Days.MeanC) {
		return math.NaN()
	}
	var sum float64
	for _, t := range s.Days.MeanC[i : i+n] {
		sum += t
	}
	return sum / float64(n)
}
