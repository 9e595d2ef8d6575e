package rotations

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"maps"
	"math"
	"slices"
	"strings"

	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
)

// units are those that a weather file is written in, where they are not °C and mm.
type units struct {
	fahrenheit, inches bool
	said               bool // the plan says them, so they are not wondered about
}

func unitsOf(u *sheet.Mapping) units {
	return units{fahrenheit: u.Text("temperature") == "F", inches: u.Text("rain") == "inches", said: u != nil}
}

const mmPerInch = 25.4

func (u units) celsius(x float64) float64 {
	if u.fahrenheit {
		return (x - 32) / 1.8
	}
	return x
}

func (u units) mm(x float64) float64 {
	if u.inches {
		return x * mmPerInch
	}
	return x
}

// recordKeys are the columns of a weather record. The limits are those beyond
// which a value was never measured at a farm (assumed).
func recordKeys(u units) []sheet.Key {
	low, high, rain := sheet.Key{Unit: "°C", Low: -60, High: 50}, sheet.Key{Unit: "°C", Low: -60, High: 60}, sheet.Key{Unit: "mm", High: 1000}
	if u.fahrenheit {
		low, high = sheet.Key{Unit: "°F", Low: -76, High: 122}, sheet.Key{Unit: "°F", Low: -76, High: 140}
	}
	if u.inches {
		rain = sheet.Key{Unit: "inches", High: 40}
	}
	keys := []sheet.Key{{Name: "date", Kind: sheet.FullDate, Required: true}, low, high, rain}
	for i, name := range []string{"tmin_c", "tmax_c", "rain_mm"} {
		keys[i+1].Name, keys[i+1].Kind, keys[i+1].Required = name, sheet.Number, true
	}
	return keys
}

// ReadRecord reads a daily weather record: date,tmin_c,tmax_c,rain_mm, or what
// headers names them in this file. A single day that is missing, or has no value, is
// filled in from its neighbours and listed. More of them, days twice or out of order,
// Tmin above Tmax, negative rain and anything that is no number are mistakes with
// their line. It returns nil when there was one.
func ReadRecord(file string, r io.Reader, headers map[string]string, m *sheet.Mistakes) *params.Record {
	return readRecord(file, r, headers, units{}, m)
}

func readRecord(file string, r io.Reader, headers map[string]string, u units, m *sheet.Mistakes) *params.Record {
	before := m.Len()
	rec := &params.Record{}
	var last date.Day
	var places []sheet.Place
	add := func(at sheet.Place, low, high, rain float64) {
		rec.TminC, rec.TmaxC, rec.RainMM = append(rec.TminC, low), append(rec.TmaxC, high), append(rec.RainMM, rain)
		places = append(places, at)
	}
	sheet.ReadCSV(file, r, sheet.Columns{Keys: recordKeys(u), Headers: headers, Extra: true, Loose: true, Holes: true}, m, func(row *sheet.Row) {
		if row.Cells[0] == nil {
			last = 0 // no telling whether a day is missing here
			return
		}
		day := row.Cells[0].Date.Day
		if rec.Start == 0 {
			rec.Start = day
		}
		if last != 0 && day == last+2 && len(places) > 0 {
			add(row.Cells[0].Place, math.NaN(), math.NaN(), math.NaN())
		} else if last != 0 {
			inOrder(row.Cells[0].Place, last, day, m)
		}
		last = day
		if !row.Good {
			return
		}
		low, high, rain := row.Cells[1], row.Cells[2], row.Cells[3]
		if low != nil && high != nil && low.Number > high.Number {
			m.Add(low.Place, "the lowest temperature of %s, %s, is above the highest, %s; are the columns exchanged?", day, low.Text+" "+low.Key.Unit,
				high.Text+" "+high.Key.Unit)
		}
		add(row.Place, u.celsius(valueOf(low)), u.celsius(valueOf(high)), u.mm(valueOf(rain)))
	})
	if m.Len() == before && len(rec.TminC) == 0 {
		m.Add(sheet.Place{File: file, Line: 1}, "the weather record has no days; expected a heading date,tmin_c,tmax_c,rain_mm and a line per day")
	}
	if m.Len() == before {
		fillHoles(rec, places, m)
	}
	if !u.said {
		wonder(file, rec, m)
	}
	if m.Len() > before {
		return nil
	}
	rec.Days = sumOfDays(rec, len(rec.RainMM))
	return rec
}

// valueOf is a number, NaN where the file has none.
func valueOf(v *sheet.Value) float64 {
	if v == nil {
		return math.NaN()
	}
	return v.Number
}

// fillHoles gives a value that is missing the mean of those of the day before and the
// day after, so that sums over the year stay right on average.
func fillHoles(rec *params.Record, places []sheet.Place, m *sheet.Mistakes) {
	filled := map[int]bool{}
	for c, x := range [][]float64{rec.TminC, rec.TmaxC, rec.RainMM} {
		what := []string{"lowest temperature", "highest temperature", "rain"}[c]
		hole := func(i int) bool { return i < 0 || i >= len(x) || math.IsNaN(x[i]) }
		var means []int
		for i := range x {
			if !math.IsNaN(x[i]) {
				continue
			}
			if hole(i-1) || hole(i+1) {
				m.Add(places[i], "the %s of %s is missing, and so is one beside it; only single days are filled in here: take these from a neighbouring station",
					what, rec.Start+date.Day(i))
				return
			}
			means = append(means, i)
		}
		for _, i := range means {
			x[i] = (x[i-1] + x[i+1]) / 2
			filled[i] = true
		}
	}
	for _, i := range slices.Sorted(maps.Keys(filled)) {
		if rec.TminC[i] > rec.TmaxC[i] { // one was measured, the other filled in
			rec.TminC[i], rec.TmaxC[i] = rec.TmaxC[i], rec.TminC[i]
		}
		rec.Filled = append(rec.Filled, rec.Start+date.Day(i))
	}
}

// Below so much rain in a year and above such a mean of the highest temperatures no
// crop of the library is grown (assumed): the file is in other units.
const (
	leastRainMM  = 100 // a year
	hottestC     = 38
	daysToWonder = 300
)

// wonder notes units that the numbers do not look like.
func wonder(file string, rec *params.Record, m *sheet.Mistakes) {
	n := float64(len(rec.RainMM))
	if n < daysToWonder {
		return
	}
	rain, hot := 0.0, 0.0
	for i := range rec.RainMM {
		rain += rec.RainMM[i] / n
		hot += rec.TmaxC[i] / n
	}
	at := sheet.Place{File: file, Line: 1}
	if rain*365.25 < leastRainMM {
		m.Add(at, "the rain adds up to %.3g mm a year; is it in inches? Then write weather: {file: …, units: {rain: inches}}; if it is right, units: "+
			"{rain: mm}", rain*365.25)
	}
	if hot > hottestC {
		m.Add(at, "the highest temperatures are %.3g °C on average; are they in °F? Then write weather: {file: …, units: {temperature: F}}", hot)
	}
}

// inOrder notes a day that does not follow the one before it.
func inOrder(at sheet.Place, last, day date.Day, m *sheet.Mistakes) {
	switch {
	case day == last:
		m.Add(at, "the day %s stands twice", day)
	case day < last:
		m.Add(at, "the day %s comes after %s; sort the file by date", day, last)
	case day > last+2:
		m.Add(at, "the days %s to %s are missing; fill them in from a neighbouring station", last+1, day-1)
	}
}

// record opens and reads the weather record that a value of the plan names.
func (r *resolver) record(name *sheet.Value, columns, units *sheet.Mapping) *params.Record {
	headers, readBy := map[string]string{}, map[string]string{}
	for _, k := range recordKeys(unitsOf(units)) {
		heading := columns.Text(k.Name)
		headers[k.Name] = heading
		if heading == "" {
			heading = k.Name
		}
		if other := readBy[heading]; other != "" && columns != nil {
			at := columns.Get(k.Name)
			if at == nil {
				at = columns.Get(other)
			}
			r.m.Add(at.Place, "%s and %s are both read from the column %q; name the heading of each", other, k.Name, heading)
			return nil
		}
		readBy[heading] = k.Name
	}
	path := r.plan.path(name)
	f, err := r.plan.Open(path)
	if err != nil {
		r.m.Add(name.Place, "the weather file %q cannot be opened: %s; file names are taken from the plan's folder", name.Text, reason(err))
		return nil
	}
	defer f.Close()
	sum := sha256.New()
	rec := readRecord(path, io.TeeReader(f, sum), headers, unitsOf(units), r.m)
	if rec != nil {
		rec.File, rec.SHA256 = name.Text, hex.EncodeToString(sum.Sum(nil))
	}
	return rec
}

// reason is an error without the path that the message already has.
func reason(err error) string {
	s := err.Error()
	if i := strings.LastIndex(s, ": "); i >= 0 {
		return s[i+2:]
	}
	return s
}

// end is the last day of a record.
func end(rec *params.Record) date.Day { return rec.Start + date.Day(len(rec.TminC)-1) }

// wholeYears counts the calendar years that a record holds from 1 January to
// 31 December.
func wholeYears(rec *params.Record) int {
	first, last := rec.Start.Year(), end(rec).Year()
	if rec.Start.YearDay() > 1 {
		first++
	}
	if _, m, d := end(rec).Date(); m != 12 || d != 31 {
		last--
	}
	return max(0, last-first+1)
}
