package sim_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/simtest"
)

// A plan with climate: {from: FILE} gets weather like the file's: monthly means
// of temperature and rain over 100 histories of eight years within four standard errors
// of the record's own months. The record is twelve years of the eastern climate. 24
// checks: a right model fails one seed in 600.
func TestClimateFittedToARecord(t *testing.T) {
	const seasons = "seasons: [{crop: winter-wheat}]\nrepeat: %d\n"
	weed := "weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 10}\n"
	made := model(t, "field: {area_ha: 5, soil: clay, climate: east-lowland}\n"+weed+fmt.Sprintf(seasons, 12))
	sky := made.NewSky()
	sky.Fill(made, 7, 0)
	var csv strings.Builder
	csv.WriteString("date,tmin_c,tmax_c,rain_mm\n")
	for i := range sky.Days.MeanC {
		fmt.Fprintf(&csv, "%s,%.1f,%.1f,%.1f\n", sky.Days.Start+date.Day(i), math.Min(sky.Days.TminC[i], sky.Days.TmaxC[i]), sky.Days.TmaxC[i], sky.Days.RainMM[i])
	}
	want := months(sky)

	c := simtest.WithWeather(t, simtest.Library(t), "field: {area_ha: 5, soil: clay, climate: {from: w.csv}}\n"+weed+fmt.Sprintf(seasons, 8), csv.String())
	if c.Climate != nil || c.Record != nil || c.FitTo == nil || len(c.FitTo.TmaxC) != len(sky.Days.TmaxC) {
		t.Fatal("the calendar does not hold the record as what the climate is fitted to")
	}
	fitted, err := sim.New(c)
	if err != nil {
		t.Fatal(err)
	}
	const n = 100
	var sum, square [12][2]float64
	again := fitted.NewSky()
	for r := range uint32(n) {
		again.Fill(fitted, 7, r)
		got := months(again)
		for k := range got {
			for q, x := range got[k] {
				sum[k][q] += x
				square[k][q] += x * x
			}
		}
	}
	for k := range sum {
		for q, what := range []string{"mean temperature, °C", "rain, mm a day"} {
			mean := sum[k][q] / n
			sd := math.Sqrt((square[k][q] - n*mean*mean) / (n - 1))
			if d := mean - want[k][q]; !(math.Abs(d) <= 4*sd/math.Sqrt(n)) {
				t.Errorf("month %d: %s %.3f, in the record %.3f (standard error %.3f)", k+1, what, mean, want[k][q], sd/math.Sqrt(n))
			}
		}
	}
}

// months are the mean temperature and the mean rain of a day of each month, over
// the whole calendar years of a sky.
func months(s *sim.Sky) (mean [12][2]float64) {
	var days [12]float64
	first, last := date.Of((s.Days.Start+364).Year(), 1, 1), date.Of((s.Days.Start+date.Day(len(s.Days.MeanC))).Year(), 1, 1)
	for d := first; d < last; d++ {
		_, month, _ := d.Date()
		i := int(d - s.Days.Start)
		days[month-1]++
		mean[month-1][0] += (s.Days.TmaxC[i] + s.Days.TminC[i]) / 2
		mean[month-1][1] += s.Days.RainMM[i]
	}
	for k := range mean {
		mean[k][0] /= days[k]
		mean[k][1] /= days[k]
	}
	return mean
}
