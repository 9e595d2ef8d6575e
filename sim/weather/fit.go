package weather

import (
	"fmt"
	"math"

	"rundown/params/date"
)

// leastYears is the fewest whole calendar years that Fit takes: a spread
// between years needs two.
const leastYears = 2

// Fit reads the normals of a climate off the whole calendar years of a record.
// Sums of rain keep what fell on days below 1 mm. With few years the spread
// between them is known poorly (four years: within a factor of two or so).
// Hargreaves' ET0 cannot be recalibrated from a record without humidity and
// wind, so its factor is left at 1.
func Fit(r *Record, latitudeDeg float64) (Climate, error) {
	if err := r.check(); err != nil {
		return Climate{}, err
	}
	first, last, ok := r.whole()
	if !ok || last-first+1 < leastYears {
		return Climate{}, fmt.Errorf("the weather record, %v to %v, holds %d whole calendar years; a climate needs at least %d",
			r.Start, r.end()-1, max(0, last-first+1), leastYears)
	}
	f := fitting{years: last - first + 1, months: make([][12]tally, last-first+1)}
	f.days = int(date.Of(last+1, 1, 1) - date.Of(first, 1, 1))
	from := int(date.Of(first, 1, 1) - r.Start)
	f.tmax, f.tmin, f.rain = r.TmaxC[from:from+f.days], r.TminC[from:from+f.days], r.RainMM[from:from+f.days]
	f.place(first)
	return f.climate(latitudeDeg), nil
}

// fitting holds the sums of a record.
type fitting struct {
	years            int
	days             int
	tmax, tmin, rain []float64
	at               []int       // calendar day of each day
	month            []int       // month of each day
	months           [][12]tally // by year
}

type tally struct {
	days, wet, tmax, tmin, rain float64
}

func (f *fitting) place(first int) {
	for y := range f.years {
		leap := date.Leap(first + y)
		for i := range yearLength(first + y) {
			at := calendarDay(i, leap)
			m, n := monthOf(at), len(f.at)
			f.at = append(f.at, at)
			f.month = append(f.month, m)
			t := &f.months[y][m]
			t.days++
			t.tmax += f.tmax[n]
			t.tmin += f.tmin[n]
			t.rain += f.rain[n]
			if f.rain[n] >= wetFromMM {
				t.wet++
			}
		}
	}
}

func (f *fitting) climate(latitudeDeg float64) Climate {
	c := Climate{LatitudeDeg: latitudeDeg, ET0Factor: 1}
	for m := range 12 {
		var all tally
		var high, low, total []float64
		for y := range f.years {
			t := f.months[y][m]
			all.days += t.days
			all.wet += t.wet
			all.tmax += t.tmax
			all.tmin += t.tmin
			high, low, total = append(high, t.tmax/t.days), append(low, t.tmin/t.days), append(total, t.rain)
		}
		c.TmaxC[m], c.TminC[m] = all.tmax/all.days, all.tmin/all.days
		c.WetDays[m] = all.wet / all.days * monthLength(m)
		c.TmaxYearSD[m], c.TminYearSD[m] = sampleSD(high), sampleSD(low)
		c.RainMM[m], c.RainYearSD[m] = mean(total), sampleSD(total)
	}
	c.TmaxDaySD = f.aboutCourse(f.tmax, c.TmaxC, c.TmaxYearSD)
	c.TminDaySD = f.aboutCourse(f.tmin, c.TminC, c.TminYearSD)
	c.WetShiftC = f.wetShift(c.TmaxC)
	r := f.persistence(&c)
	for m := range 12 {
		c.Persistence[m] = r
	}
	return c
}

// aboutCourse is the sd of single days of each month about the smooth course of
// the monthly means. The means follow the years of the record, so a share of
// the spread between years, one over their number, is missing and put back.
func (f *fitting) aboutCourse(x []float64, monthly, yearSD [12]float64) (sd [12]float64) {
	year := course(monthly)
	var n [12]float64
	for i := range x {
		d := x[i] - year[f.at[i]]
		sd[f.month[i]] += d * d
		n[f.month[i]]++
	}
	for m := range 12 {
		sd[m] = math.Sqrt(sd[m]/n[m] + yearSD[m]*yearSD[m]/float64(f.years))
	}
	return sd
}

// wetShift is Tmax of wet days less that of dry days, each about the course of
// its date, by quarters of a year centred on the month: a month alone has too
// few days of the rarer kind.
func (f *fitting) wetShift(monthly [12]float64) (shift [12]float64) {
	year := course(monthly)
	var sum, n [2][12]float64
	for i, rain := range f.rain {
		wet := 0
		if rain >= wetFromMM {
			wet = 1
		}
		for k := 11; k <= 13; k++ {
			m := (f.month[i] + k) % 12
			sum[wet][m] += f.tmax[i] - year[f.at[i]]
			n[wet][m]++
		}
	}
	for m := range 12 {
		if n[0][m] > 0 && n[1][m] > 0 {
			shift[m] = sum[1][m]/n[1][m] - sum[0][m]/n[0][m]
		}
	}
	return shift
}

// persistence is P(wet|wet) − P(wet|dry) within the months, pooled over the
// year: the correlation of a day's wetness with that of the day before, each
// about the share of its month.
func (f *fitting) persistence(c *Climate) float64 {
	var product, square float64
	before := 0.0
	for i, rain := range f.rain {
		m := f.month[i]
		d := -c.WetDays[m] / monthLength(m)
		if rain >= wetFromMM {
			d++
		}
		if i > 0 {
			product += d * before
		}
		square += d * d
		before = d
	}
	return min(0.9, max(0, product/square))
}

func mean(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s / float64(len(x))
}

func sampleSD(x []float64) float64 {
	m, s := mean(x), 0.0
	for _, v := range x {
		s += (v - m) * (v - m)
	}
	return math.Sqrt(s / float64(len(x)-1))
}
