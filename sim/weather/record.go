package weather

import (
	"fmt"

	"rundown/params/date"
)

// Record is a daily weather record without gaps.
type Record struct {
	Start  date.Day  // the first day
	TmaxC  []float64 // one per day, °C
	TminC  []float64
	RainMM []float64
}

// end is the day after the last.
func (r *Record) end() date.Day { return r.Start + date.Day(len(r.RainMM)) }

// whole gives the first and last whole calendar year; ok is false if there is
// none.
func (r *Record) whole() (first, last int, ok bool) {
	first = r.Start.Year()
	if r.Start.YearDay() > 1 {
		first++
	}
	last = r.end().Year() - 1
	return first, last, first <= last
}

// check tells what is wrong with a record.
func (r *Record) check() error {
	if len(r.TmaxC) != len(r.RainMM) || len(r.TminC) != len(r.RainMM) {
		return fmt.Errorf("the weather record has %d days of Tmax, %d of Tmin and %d of rain; it needs one of each for every day",
			len(r.TmaxC), len(r.TminC), len(r.RainMM))
	}
	for i := range r.RainMM {
		if !(r.TmaxC[i] >= r.TminC[i]) || !(r.RainMM[i] >= 0) {
			return fmt.Errorf("the weather record has Tmax %g °C, Tmin %g °C, rain %g mm on %v; Tmax may not be below Tmin nor rain below 0",
				r.TmaxC[i], r.TminC[i], r.RainMM[i], r.Start+date.Day(i))
		}
	}
	return nil
}
