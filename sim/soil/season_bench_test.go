package soil

import (
	"math"
	"testing"
)

// BenchmarkSoilSeason is a year of water and temperature of bare and cropped
// ground, and the water potential of both stores each day: what the soil costs a replicate-season.
func BenchmarkSoilSeason(b *testing.B) {
	s := New(clay())
	var rain, mean, et0 [365]float64
	for i := range rain {
		rain[i] = [7]float64{0, 0, 5, 0, 7, 0, 0}[i%7]
		warm := math.Sin(2 * math.Pi * float64(i-110) / 365)
		mean[i], et0[i] = 10.5+6.5*warm, 1.7+1.4*warm
	}
	ground := [2]Ground{{Residue: 0.3}, {Living: 0.7, Kcb: 0.8}}
	sum := 0.0
	b.ReportAllocs()
	for b.Loop() {
		st := s.Start()
		for i := range rain {
			s.Day(&st, rain[i], mean[i], et0[i], ground[i/183])
			sum += s.PotentialTop(&st) + s.PotentialLower(&st)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N), "ns/season")
	if !(sum < 0) {
		b.Fatal("no soil was ever drier than full")
	}
}
