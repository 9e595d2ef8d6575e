package sim_test

import (
	"testing"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/simtest"
)

// BenchmarkNew is the making of a model: of a known site, and of one that was never
// seen.
func BenchmarkNew(b *testing.B) {
	c := simtest.Calendar(b, simtest.Library(b), string(rotations.Starter()))
	b.Run("known", func(b *testing.B) {
		for b.Loop() {
			if _, err := sim.New(c); err != nil {
				b.Fatal(err)
			}
		}
	})
}
