package weather_test

import (
	"math"
	"slices"
	"strconv"
	"testing"

	"rundown/params"
	"rundown/params/date"
	"rundown/sim/random"
	"rundown/sim/testfile"
	"rundown/sim/weather"
)

// Are autumns that are wet as a whole rare enough, or too rare? The generator has
// no factor common to the months of an autumn; its anomalies are straight lines
// between mid-months. Mean correlation of the rain totals of September to
// December, over the six pairs, in 2,000 generated years (standard error about
// 0.01): in every climate it must lie within the middle eight in ten of 96 stations
// with 60 to 103 autumns (testdata/weather/README.md). A factor of ln sd 0.4 would
// give more than 0.5 in the eastern climate. No long British record was at hand.
func TestAutumnsHangTogetherAsInRecords(t *testing.T) {
	rows := testfile.Rows(t, "../../testdata/weather/colorado-autumns.csv")
	var stations []float64
	for _, r := range rows[1:] {
		x, err := strconv.ParseFloat(r[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		stations = append(stations, x)
	}
	slices.Sort(stations)
	low, high := stations[len(stations)/10], stations[len(stations)*9/10]
	t.Logf("stations: %d, mean %.3f, eight in ten %.3f to %.3f", len(stations), average(stations), low, high)
	l, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range l.Names("climates") {
		x := autumnCorrelation(climateOf(t, l.Find("climates", name)))
		t.Logf("%s: %.3f", name, x)
		if x < low || x > high {
			t.Errorf("%s: months of an autumn correlate by %.3f, in records by %.3f to %.3f", name, x, low, high)
		}
	}
}

// autumnCorrelation is the mean correlation between the totals of September to
// December in generated weather.
func autumnCorrelation(c weather.Climate) float64 {
	const years = 2000
	g, d := weather.NewGenerator(c), weather.NewDays(date.Of(2001, 1, 1), 365)
	var totals [4][]float64
	for y := range years {
		g.Fill(d, random.Root(17, random.Weather, uint32(y)))
		var sum [4]float64
		for i, mm := range d.RainMM {
			if _, m, _ := (d.Start + date.Day(i)).Date(); m >= 9 {
				sum[m-9] += mm
			}
		}
		for m := range sum {
			totals[m] = append(totals[m], sum[m])
		}
	}
	r := 0.0
	for a := range 4 {
		for b := range a {
			r += correlated(totals[a], totals[b]) / 6
		}
	}
	return r
}

func correlated(x, y []float64) float64 {
	mx, my := average(x), average(y)
	var xy, xx, yy float64
	for i := range x {
		xy += (x[i] - mx) * (y[i] - my)
		xx += (x[i] - mx) * (x[i] - mx)
		yy += (y[i] - my) * (y[i] - my)
	}
	return xy / math.Sqrt(xx*yy)
}

func average(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v / float64(len(x))
	}
	return s
}
