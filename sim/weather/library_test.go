package weather_test

import (
	"math"
	"reflect"
	"strconv"
	"testing"

	"rundown/params"
	"rundown/params/date"
	"rundown/sim/random"
	"rundown/sim/testfile"
	"rundown/sim/weather"
)

// climateOf binds an entry of the library to a Climate by its tags.
func climateOf(t *testing.T, e *params.Entry) (c weather.Climate) {
	t.Helper()
	v := reflect.ValueOf(&c).Elem()
	for i := range v.NumField() {
		value := e.Value(v.Type().Field(i).Tag.Get("lib"))
		if value == nil {
			t.Fatalf("%s has no %s", e.Name, v.Type().Field(i).Tag.Get("lib"))
		}
		if f := v.Field(i); f.Kind() == reflect.Float64 {
			f.SetFloat(value.Central)
		} else {
			for m, x := range value.Row {
				f.Index(m).SetFloat(x)
			}
		}
	}
	return c
}

// The climates said to be fitted to the shipped records are what Fit gives, to
// the two decimals written down.
func TestFittedClimatesAreFitted(t *testing.T) {
	l, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"seattle", "new-york"} {
		c := climateOf(t, l.Find("climates", name))
		fit, err := weather.Fit(record(t, name+".csv"), c.LatitudeDeg)
		if err != nil {
			t.Fatal(err)
		}
		got, want := reflect.ValueOf(c), reflect.ValueOf(fit)
		for i := range got.NumField() {
			if got.Field(i).Kind() != reflect.Array {
				continue
			}
			for m := range 12 {
				a, b := got.Field(i).Index(m).Float(), want.Field(i).Index(m).Float()
				if math.Abs(a-b) > 0.00501 {
					t.Errorf("%s: %s of month %d is %g in the library, %.4f fitted", name, got.Type().Field(i).Name, m+1, a, b)
				}
			}
		}
	}
}

func record(t *testing.T, file string) *weather.Record {
	t.Helper()
	rows := testfile.Rows(t, "../../testdata/weather/"+file)
	var err error
	r := &weather.Record{}
	if r.Start, err = date.ParseDay(rows[1][0]); err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		var x [3]float64
		for k := range x {
			if x[k], err = strconv.ParseFloat(row[k+1], 64); err != nil {
				t.Fatal(err)
			}
		}
		r.RainMM, r.TmaxC, r.TminC = append(r.RainMM, x[0]), append(r.TmaxC, x[1]), append(r.TminC, x[2])
	}
	return r
}

// Every climate of the library makes its own weather: monthly means of
// temperature and rain over 400 years within five standard errors of what it
// asks, by the larger of the sd asked and the sd that came out. 36 checks for each
// of some six climates: a false alarm in 8,000 seeds.
func TestEveryClimateMakesItsWeather(t *testing.T) {
	l, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range l.Names("climates") {
		c := climateOf(t, l.Find("climates", name))
		const years = 400
		start := date.Of(1201, 1, 1)
		d := weather.NewDays(start, int(date.Of(1201+years, 1, 1)-start))
		weather.NewGenerator(c).Fill(d, random.Root(4, random.Weather, 0))
		got, err := weather.Fit(&weather.Record{Start: start, TmaxC: d.TmaxC, TminC: d.TminC, RainMM: d.RainMM}, c.LatitudeDeg)
		if err != nil {
			t.Fatal(err)
		}
		for m := range 12 {
			for _, x := range []struct {
				what           string
				got, asked, sd float64
			}{
				{"Tmax", got.TmaxC[m], c.TmaxC[m], max(got.TmaxYearSD[m], c.TmaxYearSD[m])},
				{"Tmin", got.TminC[m], c.TminC[m], max(got.TminYearSD[m], c.TminYearSD[m])},
				{"rain", got.RainMM[m], c.RainMM[m], max(got.RainYearSD[m], c.RainYearSD[m])},
			} {
				if !(math.Abs(x.got-x.asked) <= 5*x.sd/math.Sqrt(years)) {
					t.Errorf("%s: mean %s of month %d is %.2f, asked %.2f (sd of a year %.2f)", name, x.what, m+1, x.got, x.asked, x.sd)
				}
			}
		}
	}
}
