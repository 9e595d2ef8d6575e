package rotations

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"io"
	"math"
	"strings"

	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
)

// recordKeys are the columns of a weather record. The limits are those beyond
// which a value was never measured at a farm (assumed).
func recordKeys() []sheet.Key {
	return []sheet.Key{
		{Name: "date", Kind: sheet.FullDate, Required: true},
		{Name: "tmin_c", Kind: sheet.Number, Unit: "°C", Low: -60, High: 50, Required: true},
		{Name: "tmax_c", Kind: sheet.Number, Unit: "°C", Low: -60, High: 60, Required: true},
		{Name: "rain_mm", Kind: sheet.Number, Unit: "mm", Low: 0, High: 1000, Required: true},
	}
}

// ReadRecord reads a daily weather record: date,tmin_c,tmax_c,rain_mm, or what
// headers names them in this file. Gaps, days twice or out of order, Tmin above
// Tmax, negative rain and anything that is no number are mistakes with their
// line. It returns nil when there was one.
func ReadRecord(file string, r io.Reader, headers map[string]string, m *sheet.Mistakes) *params.Record {
	before := m.Len()
	rec := &params.Record{}
	var last date.Day
	sheet.ReadCSV(file, r, sheet.Columns{Keys: recordKeys(), Headers: headers, Extra: true}, m, func(row *sheet.Row) {
		if row.Cells[0] == nil {
			last = 0 // no telling whether a day is missing here
			return
		}
		day := row.Cells[0].Date.Day
		if rec.Start == 0 {
			rec.Start = day
		}
		if last != 0 {
			inOrder(row.Cells[0].Place, last, day, m)
		}
		last = day
		if !row.Good {
			return
		}
		low, high, rain := row.Cells[1], row.Cells[2], row.Cells[3]
		if low.Number > high.Number {
			m.Add(low.Place, "the lowest temperature of %s, %s °C, is above the highest, %s °C; are the columns exchanged?", day, low.Text, high.Text)
		}
		rec.TminC = append(rec.TminC, low.Number)
		rec.TmaxC = append(rec.TmaxC, high.Number)
		rec.RainMM = append(rec.RainMM, rain.Number)
	})
	if m.Len() == before && len(rec.TminC) == 0 {
		m.Add(sheet.Place{File: file, Line: 1}, "the weather record has no days; expected a heading date,tmin_c,tmax_c,rain_mm and a line per day")
	}
	if m.Len() > before {
		return nil
	}
	rec.Days = daysOf(rec)
	return rec
}

// daysOf is the sum of a record's first day and of all its numbers.
func daysOf(rec *params.Record) string {
	sum := sha256.New()
	var b [8]byte
	put := func(x uint64) {
		binary.LittleEndian.PutUint64(b[:], x)
		sum.Write(b[:])
	}
	put(uint64(rec.Start))
	for i := range rec.RainMM {
		put(math.Float64bits(rec.TminC[i]))
		put(math.Float64bits(rec.TmaxC[i]))
		put(math.Float64bits(rec.RainMM[i]))
	}
	return hex.EncodeToString(sum.Sum(nil))
}

// inOrder notes a day that does not follow the one before it.
func inOrder(at sheet.Place, last, day date.Day, m *sheet.Mistakes) {
	switch {
	case day == last:
		m.Add(at, "the day %s stands twice", day)
	case day < last:
		m.Add(at, "the day %s comes after %s; sort the file by date", day, last)
	case day == last+2:
		m.Add(at, "the day %s is missing; fill it in from a neighbouring station", last+1)
	case day > last+2:
		m.Add(at, "the days %s to %s are missing; fill them in from a neighbouring station", last+1, day-1)
	}
}

// record opens and reads the weather record that a value of the plan names.
func (r *resolver) record(name *sheet.Value, columns *sheet.Mapping) *params.Record {
	headers := map[string]string{}
	for _, k := range recordKeys() {
		headers[k.Name] = columns.Text(k.Name)
	}
	path := r.plan.path(name.Text)
	f, err := r.plan.Open(path)
	if err != nil {
		r.m.Add(name.Place, "the weather file %q cannot be opened: %s; file names are taken from the plan's folder", name.Text, reason(err))
		return nil
	}
	defer f.Close()
	sum := sha256.New()
	rec := ReadRecord(path, io.TeeReader(f, sum), headers, r.m)
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
