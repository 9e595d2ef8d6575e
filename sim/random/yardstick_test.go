package random_test

import (
	"math"
	"math/rand/v2"
	"testing"
)

// BenchmarkYardstick is what speeds elsewhere in the project are ratios of:
// 1,000 evaluations of exp(−|x|) on standard normals. It is frozen: the same
// machine must give the same time in every later version of the project, so
// neither the function, nor the inputs, nor their number may change.
func BenchmarkYardstick(b *testing.B) {
	normals := rand.New(rand.NewPCG(1, 2))
	x := make([]float64, 1000)
	for i := range x {
		x[i] = normals.NormFloat64()
	}
	sum := 0.0
	for b.Loop() {
		for _, v := range x {
			sum += math.Exp(-math.Abs(v))
		}
	}
	yardstickSink = sum
}

var yardstickSink float64
