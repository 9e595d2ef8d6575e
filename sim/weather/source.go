package weather

import (
	"fmt"

	"rundown/params/date"
	"rundown/sim/random"
)

// Source is where the weather of a run comes from. It is immutable.
type Source struct {
	generator  *Generator // nil: the record is resampled
	record     *Record    // nil: everything is generated
	hargreaves [yearDays]float64
	first      int // whole calendar years of the record
	years      int
}

// resampleTag is the address, below the key of a year, of the year of the
// record that stands in for it.
const resampleTag = 3

// Generated is a source that generates every day.
func Generated(g *Generator) *Source { return &Source{generator: g} }

// Recorded is a source that follows a record and, before and after it,
// continues with a generator.
func Recorded(r *Record, latitudeDeg float64, beyond *Generator) (*Source, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	return &Source{generator: beyond, record: r, hargreaves: hargreavesFactors(latitudeDeg)}, nil
}

// Resampled is a source that follows a record and, before and after it, repeats
// whole calendar years of it, drawn with replacement.
func Resampled(r *Record, latitudeDeg float64) (*Source, error) {
	s, err := Recorded(r, latitudeDeg, nil)
	if err != nil {
		return nil, err
	}
	first, last, ok := r.whole()
	if !ok {
		return nil, fmt.Errorf("the weather record, %v to %v, holds no whole calendar year to repeat beyond its end; "+
			"give a longer record or continue with a climate", r.Start, r.end()-1)
	}
	s.first, s.years = first, last-first+1
	return s, nil
}

// Fill makes the weather of d: days of the record as they were, the others as
// the source says. The weather of a year depends on its number and the key
// only, apart from what Generator.Fill carries over the New Year.
func (s *Source) Fill(d *Days, key random.Key) { s.FillSwitched(d, key, key, d.Start) }

// FillSwitched does so with one key before a day and another from it on.
func (s *Source) FillSwitched(d *Days, key, next random.Key, turn date.Day) {
	if s.generator != nil {
		s.generator.FillSwitched(d, key, next, turn)
	}
	if s.record == nil {
		return
	}
	year := d.Start.Year()
	for from := 0; from < len(d.RainMM); year++ {
		to := min(from+yearLength(year), len(d.RainMM))
		part := d.part(from, to)
		cut := min(max(int(turn-part.Start), 0), to-from)
		s.fillYear(&part, 0, cut, year, key)
		s.fillYear(&part, cut, to-from, year, next)
		from = to
	}
}

// fillYear makes the days from..to of a year, whose first day is d's.
func (s *Source) fillYear(d *Days, from, to, year int, key random.Key) {
	donor := 0 // offset in the record of 1 January of the year that stands in
	leap, donorLeap := date.Leap(year), false
	if s.generator == nil {
		u := key.With(uint64(year)).With(resampleTag).Uniform(0)
		pick := s.first + min(s.years-1, int(u*float64(s.years)))
		donor = int(date.Of(pick, 1, 1) - s.record.Start)
		donorLeap = date.Leap(pick)
	}
	own := int(d.Start - s.record.Start) // negative before the record
	for i := from; i < to; i++ {
		at := calendarDay(i, leap)
		if j := own + i; j >= 0 && j < len(s.record.RainMM) {
			s.copyDay(d, i, j, at)
			continue
		}
		if s.generator != nil {
			continue
		}
		j := donor + at
		if at >= leapDay && !donorLeap {
			j-- // 29 February repeats the 28th
		}
		s.copyDay(d, i, j, at)
	}
}

func (s *Source) copyDay(d *Days, i, j, at int) {
	high, low := s.record.TmaxC[j], s.record.TminC[j]
	d.TmaxC[i], d.TminC[i], d.RainMM[i] = high, low, s.record.RainMM[j]
	d.MeanC[i] = (high + low) / 2
	d.ET0MM[i] = hargreaves(s.hargreaves[at], high, low)
}
