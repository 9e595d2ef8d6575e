package weather

import (
	"testing"

	"rundown/params/date"
	"rundown/sim/random"
)

// BenchmarkFill is one season of generated weather, ET0 included.
func BenchmarkFill(b *testing.B) {
	g := NewGenerator(cambridge())
	d := NewDays(date.Of(2026, 1, 1), 3653)
	k := random.Root(1, random.Weather, 0)
	b.ReportAllocs()
	for b.Loop() {
		g.Fill(d, k)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/3653, "ns/day")
}

func BenchmarkNewGenerator(b *testing.B) {
	c := cambridge()
	for b.Loop() {
		NewGenerator(c)
	}
}
