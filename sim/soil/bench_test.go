package soil

import (
	"math"
	"testing"
)

// BenchmarkDay is one day of water and temperature.
func BenchmarkDay(b *testing.B) {
	s := New(clay())
	st := s.Start()
	g := Ground{Living: 0.5, Kcb: 0.5}
	rain := [8]float64{0, 0, 5, 0, 12, 0, 0, 1}
	i := 0
	b.ReportAllocs()
	for b.Loop() {
		s.Day(&st, rain[i&7], float64(i&15), 1.5, g)
		i++
	}
}

// BenchmarkExp is a yardstick for the machine.
func BenchmarkExp(b *testing.B) {
	x, sum := 0.0, 0.0
	for b.Loop() {
		x += 1e-6
		sum += math.Exp(-x)
	}
	if sum == 0 {
		b.Fatal("nothing summed")
	}
}
