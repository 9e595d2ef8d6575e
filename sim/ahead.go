package sim

import (
	"sync"

	"rundown/params"
	"rundown/sim/weather"
)

// What a model of a new site takes longest over is made side by side, ahead of the
// calls that ask for it; those find it kept, or meet the error that was met here.

// tablesAhead makes the tables of the weather of what is known and of the values
// that are drawn by table.
func (m *Model) tablesAhead() {
	var wait sync.WaitGroup
	lib := m.calendar.Library
	wait.Go(func() {
		b, of := binder{central: true}, weather.Climate{}
		if e := lib.Find("climates", knownClimate); e != nil {
			b.bind(&of, e)
			_, _ = knownWeather(of).source(nil)
		}
	})
	wait.Go(func() { // whoever needs it says what is wrong with it
		if made, rec, err := m.findWeather(); err == nil {
			_, _ = made.source(rec)
		}
	})
	for _, v := range m.calendar.Space.Values {
		if v.Spread.Kind == params.Beta {
			wait.Go(func() { tabulate(v) })
		}
	}
	wait.Wait()
}

// knownWeather is generated, by the climate of what is known.
func knownWeather(of weather.Climate) *madeOf {
	return &madeOf{generated: true, climate: of, latitude: of.LatitudeDeg}
}

// referencesAhead makes the mean years of the plan's own place, of the known one, and
// there of the weed on which residual herbicides are measured.
func (m *Model) referencesAhead(known *Model, u *units) {
	var wait sync.WaitGroup
	year := func(m *Model, u *units) {
		wait.Go(func() { _, _ = newReference(m, u) })
	}
	year(m, u)
	if known != m {
		year(known, u)
	}
	if e := m.calendar.Library.Find("weeds", knownWeed); e != nil && m.calendar.Weed.Name != knownWeed {
		other, b := *u, binder{central: true}
		b.bind(&other.weed, e)
		year(known, &other)
	}
	wait.Wait()
}
