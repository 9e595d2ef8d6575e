package sim_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/simtest"
)

// yardstick is what BenchmarkYardstick of sim/random does once.
func yardstick() func() {
	normals := rand.New(rand.NewPCG(1, 2))
	x := make([]float64, 1000)
	for i := range x {
		x[i] = normals.NormFloat64()
	}
	return func() {
		sum := 0.0
		for _, v := range x {
			sum += math.Exp(-math.Abs(v))
		}
		yardstickSink = sum
	}
}

var yardstickSink float64

// BenchmarkNew is the making of a model, in yardsticks taken by turns with it, least of
// each: on a site that is known, and on one of which nothing is held. Both are of the
// starter plan's six seasons; "far" is a soil, a climate and a weed that are not those
// against which what is known is held.
func BenchmarkNew(b *testing.B) {
	lib := simtest.Library(b)
	far := strings.NewReplacer("soil: clay", "soil: loam", "east-lowland", "west-maritime", "black-grass", "wild-oat").Replace(string(rotations.Starter()))
	for _, x := range []struct {
		name, plan string
		known      bool
	}{
		{"known", string(rotations.Starter()), true}, {"known-far", far, true}, {"new", string(rotations.Starter()), false}, {"new-far", far, false},
	} {
		c := simtest.Calendar(b, lib, x.plan)
		b.Run(x.name, func(b *testing.B) {
			least := [2]time.Duration{math.MaxInt64, math.MaxInt64}
			if _, err := sim.New(c); err != nil { // so that what is known is known
				b.Fatal(err)
			}
			stick := yardstick()
			b.ReportAllocs()
			for b.Loop() {
				for range 20 {
					from := time.Now()
					stick()
					least[0] = min(least[0], time.Since(from))
				}
				if !x.known {
					sim.Forget()
				}
				from := time.Now()
				if _, err := sim.New(c); err != nil {
					b.Fatal(err)
				}
				least[1] = min(least[1], time.Since(from))
			}
			b.ReportMetric(float64(least[1])/float64(least[0]), "yardsticks")
			b.ReportMetric(float64(least[1].Nanoseconds()), "least-ns")
		})
	}
}
