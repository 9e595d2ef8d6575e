package rotations_test

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"rundown/params/sheet"
	"rundown/rotations"
)

const heading = "date,tmin_c,tmax_c,rain_mm\n"

func TestRecord(t *testing.T) {
	var m sheet.Mistakes
	text := "Rain,Day,Wind,High,Low\n0.2,2028-02-28,9,8,-1.5\n0,2028-02-29,9,9,2\n11,2028-03-01,9,7.25,7.25\n"
	rec := rotations.ReadRecord("w.csv", strings.NewReader(text), map[string]string{"date": "Day", "tmin_c": "Low", "tmax_c": "High", "rain_mm": "Rain"}, &m)
	if rec == nil {
		t.Fatal(m.Error())
	}
	if rec.Start.String() != "2028-02-28" || len(rec.TminC) != 3 || rec.TminC[0] != -1.5 || rec.TmaxC[2] != 7.25 || rec.RainMM[2] != 11 {
		t.Errorf("a record over a leap day: %+v", rec)
	}
	// A bad line is named once and does not make the days about it a gap.
	text = heading + "2026-08-01,1,2,0\n2026-08-02,1,x,0\n2026-08-03,1,2,0\nsoon,1,2,0\n2026-08-05,1,2,0\n"
	if rec := rotations.ReadRecord("w.csv", strings.NewReader(text), nil, &m); rec != nil || m.Len() != 2 {
		t.Errorf("want the two bad lines and no gap, got\n%s", m.Error())
	}
}

func TestRecordInCalendar(t *testing.T) {
	weather := "field: {area_ha: 5, soil: clay, weather: {file: ../weather.csv, columns: {date: Day, tmin_c: Low, tmax_c: High, rain_mm: Rain}%s}%s}\n"
	for _, c := range []struct {
		why, beyond, climate string
		resample             bool
	}{
		{"a record alone is taken again", "", "", true},
		{"and so it is beside a climate", "", ", climate: east-lowland", true},
		{"unless the plan says that the climate goes on", ", beyond: climate", ", climate: east-lowland", false},
	} {
		text := strings.Replace(strings.Replace(weather, "%s", c.beyond, 1), "%s", c.climate, 1)
		got := calendar(t, text+weed+"rotation: continuous-wheat\n")
		if got.Resample != c.resample || len(got.Record.TminC) != 730 || got.Record.Start.String() != "2024-07-01" || (got.Climate == nil) != (c.climate == "") {
			t.Errorf("%s: %v %d days from %s, climate %v", c.why, got.Resample, len(got.Record.TminC), got.Record.Start, got.Climate != nil)
		}
	}
}

// FuzzWeatherCSV: whatever a file holds, it is a whole record or a list of
// mistakes with their places, never both and never neither.
func FuzzWeatherCSV(f *testing.F) {
	names, err := filepath.Glob(filepath.Join(plans, "err", "*.csv"))
	if err != nil || len(names) == 0 {
		f.Fatal("no weather files to begin with")
	}
	for _, n := range names {
		f.Add(contents(f, n))
	}
	f.Add(contents(f, filepath.Join(plans, "weather.csv"))[:500])
	for _, name := range []string{"new-york.csv", "seattle.csv"} {
		headed := bytes.Replace(contents(f, filepath.Join("..", "testdata", "weather", name))[:500], []byte("date,precipitation,temp_max,temp_min"),
			[]byte("date,rain_mm,tmax_c,tmin_c"), 1)
		f.Add(headed)
	}
	f.Add([]byte("date\r0,\x1b[31m\n")) // what a terminal would obey
	f.Fuzz(func(t *testing.T, data []byte) {
		var m sheet.Mistakes
		rec := rotations.ReadRecord("w.csv", bytes.NewReader(data), nil, &m)
		if (rec == nil) == (m.Len() == 0) {
			t.Fatalf("record %v, mistakes %q", rec != nil, m.Error())
		}
		said(t, &m)
		if rec == nil {
			return
		}
		if len(rec.TminC) != len(rec.TmaxC) || len(rec.TminC) != len(rec.RainMM) || len(rec.TminC) == 0 {
			t.Fatal("columns of different length")
		}
		for i := range rec.TminC {
			if !(rec.TminC[i] <= rec.TmaxC[i]) || !(rec.RainMM[i] >= 0) {
				t.Fatalf("day %d: %v to %v °C, %v mm", i, rec.TminC[i], rec.TmaxC[i], rec.RainMM[i])
			}
		}
	})
}

// said checks that every mistake has a file and a reason, on one line.
func said(t *testing.T, m *sheet.Mistakes) {
	t.Helper()
	for _, x := range m.Sorted() {
		if x.Place.File == "" || x.Text == "" || strings.ContainsAny(x.Text, "\n\r") {
			t.Fatalf("a mistake without place, without reason or of several lines: %q", x)
		}
	}
}
