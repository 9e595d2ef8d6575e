package soil_test

import (
	"reflect"
	"testing"

	"rundown/params"
	"rundown/sim/soil"
	"rundown/sim/weather"
)

// bind fills a struct of parameters from an entry of the library by its tags.
func bind(t *testing.T, into any, e *params.Entry) {
	t.Helper()
	v := reflect.ValueOf(into).Elem()
	for i := range v.NumField() {
		key := v.Type().Field(i).Tag.Get("lib")
		value := e.Value(key)
		if value == nil {
			t.Fatalf("%s/%s has no %s", e.Kind, e.Name, key)
		}
		if f := v.Field(i); f.Kind() == reflect.Float64 {
			f.SetFloat(value.Central)
		} else {
			for m, x := range value.Row {
				f.Index(m).SetFloat(x)
			}
		}
	}
}

func library(t *testing.T) *params.Library {
	t.Helper()
	l, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func soilNamed(t *testing.T, l *params.Library, name string) *soil.Soil {
	t.Helper()
	var p soil.Params
	bind(t, &p, l.Find("soils", name))
	return soil.New(p)
}

func climateNamed(t *testing.T, l *params.Library, name string) weather.Climate {
	t.Helper()
	var c weather.Climate
	bind(t, &c, l.Find("climates", name))
	return c
}
