package weather

import (
	"strconv"
	"testing"

	"rundown/params/date"
	"rundown/sim/testfile"
)

// readRecord reads one of the records in testdata/weather (NOAA, United States
// Government work; see the README there).
func readRecord(t testing.TB, name string) *Record {
	t.Helper()
	rows := testfile.Rows(t, "../../testdata/weather/"+name)
	r := &Record{}
	for i, row := range rows[1:] {
		day, err := date.ParseDay(row[0])
		if err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			r.Start = day
		}
		if day != r.Start+date.Day(i) {
			t.Fatalf("%s: row %d is %v; a day is missing", name, i+2, day)
		}
		var x [3]float64
		for k := range x {
			if x[k], err = strconv.ParseFloat(row[k+1], 64); err != nil {
				t.Fatal(err)
			}
		}
		r.RainMM = append(r.RainMM, x[0])
		r.TmaxC = append(r.TmaxC, x[1])
		r.TminC = append(r.TminC, x[2])
	}
	return r
}
