package sim

import (
	"fmt"
	"time"

	"rundown/params"
	"rundown/rotations"
	"rundown/sim/weather"
)

// madeOf is what weather is made of, by content: equal ones make the same weather.
type madeOf struct {
	generated bool            // by the climate
	climate   weather.Climate // of the library or fitted
	record    string          // sum of its days, "" for none
	resampled bool
	latitude  float64 // of the record
}

// makeWeather makes the source of weather and the climate's mean temperature
// while seed ripens, 15 June–15 July.
func (m *Model) makeWeather() error {
	made, rec, err := m.findWeather()
	if err != nil {
		return err
	}
	m.madeOf, m.origin = made, originOf(m.calendar)
	m.layLight(made.latitude)
	m.et0 = 1
	if made.climate.ET0Factor > 0 {
		m.et0 = made.climate.ET0Factor
	}
	if c := &made.climate; made.generated {
		m.ripeMean = (c.TmaxC[5] + c.TminC[5] + c.TmaxC[6] + c.TminC[6]) / 4
	} else if rec != nil {
		m.ripeMean = meanOfMonths(rec, time.June, time.July)
	}
	m.weather, err = made.source(rec)
	return err
}

// findWeather finds what the calendar's weather is made of.
func (m *Model) findWeather() (made madeOf, rec *weather.Record, err error) {
	c := m.calendar
	made.latitude = c.Latitude
	if c.FitTo != nil {
		made.generated = true
		fit := func() (weather.Climate, error) { return weather.Fit(recordOf(c.FitTo), c.Latitude) }
		if made.climate, err = keptFits.get(fitOf{c.FitTo.Days, c.Latitude}, fit); err != nil {
			return made, nil, m.refuse(c.At("field", "climate"), "no climate can be fitted to %s: %v", c.FitTo.File, err)
		}
	}
	if c.Climate != nil {
		b := binder{space: c.Space}
		b.bind(&made.climate, c.Climate)
		if b.err != nil {
			return made, nil, b.err
		}
		made.generated = true
	}
	if made.generated {
		made.latitude = made.climate.LatitudeDeg
	}
	if c.Record != nil {
		rec, made.record = recordOf(c.Record), c.Record.Days
		made.resampled = c.Resample || !made.generated
	}
	return made, rec, nil
}

// originOf names where weather comes from: a climate of the library, or days of a file.
func originOf(c *rotations.Calendar) string {
	switch {
	case c.Record != nil:
		return "record " + c.Record.Days
	case c.FitTo != nil:
		return "fitted to " + c.FitTo.Days
	}
	return "climate " + c.Climate.Name
}

func recordOf(r *params.Record) *weather.Record {
	return &weather.Record{Start: r.Start, TmaxC: r.TmaxC, TminC: r.TminC, RainMM: r.RainMM}
}

// source is the weather; rec is nil where there is no record.
func (x *madeOf) source(rec *weather.Record) (*weather.Source, error) {
	if rec == nil && !x.generated {
		return nil, fmt.Errorf("the plan has neither a climate nor a weather record")
	}
	if rec != nil && x.record == "" { // a record that nobody has summed is like no other
		return x.make(rec)
	}
	return keptSources.get(*x, func() (*weather.Source, error) { return x.make(rec) })
}

func (x *madeOf) make(rec *weather.Record) (*weather.Source, error) {
	switch {
	case rec == nil:
		return weather.Generated(weather.NewGenerator(x.climate)), nil
	case x.resampled:
		return weather.Resampled(rec, x.latitude)
	}
	return weather.Recorded(rec, x.latitude, weather.NewGenerator(x.climate))
}
