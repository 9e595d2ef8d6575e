package rotations_test

import (
	"bytes"
	"testing"

	"rundown/params/sheet"
	"rundown/rotations"
)

// BenchmarkPlan reads the starter plan and resolves it against the library.
func BenchmarkPlan(b *testing.B) {
	lib, text := library(b), rotations.Starter()
	b.ReportAllocs()
	for b.Loop() {
		var m sheet.Mistakes
		if p := rotations.Read("plan.yaml", text, &m); p == nil || p.Resolve(lib, &m) == nil {
			b.Fatal(m.Error())
		}
	}
}

// BenchmarkLibrary reads the whole library, as every command does once.
func BenchmarkLibrary(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		library(b)
	}
}

// BenchmarkRecord reads two years of daily weather.
func BenchmarkRecord(b *testing.B) {
	data := contents(b, plans+"/weather.csv")
	columns := map[string]string{"date": "Day", "tmin_c": "Low", "tmax_c": "High", "rain_mm": "Rain"}
	b.ReportAllocs()
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		var m sheet.Mistakes
		if rotations.ReadRecord("weather.csv", bytes.NewReader(data), columns, &m) == nil {
			b.Fatal(m.Error())
		}
	}
}
