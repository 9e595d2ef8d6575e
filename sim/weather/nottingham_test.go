package weather_test

import (
	"math"
	"strconv"
	"testing"

	"rundown/params"
	"rundown/sim/testfile"
)

// nottingham is the mean temperature of each month at Nottingham Castle,
// 1920–1939, °C: data set nottem of R 4.2.2, in °F (testdata/weather/README.md).
func nottingham(t *testing.T) (mean [12]float64) {
	t.Helper()
	rows := testfile.Rows(t, "../../testdata/weather/nottingham.csv")
	if len(rows) != 1+240 {
		t.Fatalf("%d rows; a heading and 20 years of months were expected", len(rows))
	}
	for i, row := range rows[1:] {
		month, err := strconv.Atoi(row[1])
		if err != nil || month != i%12+1 {
			t.Fatalf("row %d is of month %s", i+2, row[1])
		}
		fahrenheit, err := strconv.ParseFloat(row[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		mean[month-1] += (fahrenheit - 32) / 1.8 / 20
	}
	return mean
}

// means are the mean temperatures of a climate of the library by month.
func means(t *testing.T, name string) (mean [12]float64) {
	t.Helper()
	l, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	c := climateOf(t, l.Find("climates", name))
	for m := range mean {
		mean[m] = (c.TmaxC[m] + c.TminC[m]) / 2
	}
	return mean
}

// The library's eastern England of 1991–2020 is warmer than Nottingham of
// 1920–1939 in every month, by 0.5 to 1.9 °C and 1.3 on the mean of the year
// (differences computed outside, printed to 0.1 °C): a row that is shifted by a
// month, or has Tmin for Tmax, would not be.
func TestEasternEnglandAgainstNottingham(t *testing.T) {
	old, now := nottingham(t), means(t, "east-lowland")
	// By month in R 4.2.2 (three digits), so that months cannot be exchanged.
	want := [12]float64{.525, 1.056, 1.386, 1.461, .978, .983, 1.239, 1.906, 1.450, 1.781, 1.722, .917}
	low, high, sum := math.Inf(1), math.Inf(-1), 0.0
	for m := range old {
		d := now[m] - old[m]
		if math.Abs(d-want[m]) > 0.0005001 {
			t.Errorf("month %d: %.4f °C warmer, expected %.3f", m+1, d, want[m])
		}
		low, high, sum = min(low, d), max(high, d), sum+d
	}
	for _, c := range []struct {
		what          string
		got, expected float64
	}{{"least", low, 0.5}, {"most", high, 1.9}, {"mean", sum / 12, 1.3}} {
		if math.Abs(c.got-c.expected) > 0.05 {
			t.Errorf("%s difference %.3f °C, expected %.1f", c.what, c.got, c.expected)
		}
	}
}

// The climate of the library that is said to have the temperatures of the
// record has them, to the two decimals written down.
func TestNottinghamOfTheLibrary(t *testing.T) {
	record, library := nottingham(t), means(t, "nottingham-1920-39")
	for m := range record {
		if math.Abs(record[m]-library[m]) > 0.0101 {
			t.Errorf("month %d: %.3f °C in the library, %.3f in the record", m+1, library[m], record[m])
		}
	}
}
