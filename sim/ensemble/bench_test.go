package ensemble_test

import (
	"context"
	"fmt"
	"testing"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
)

// BenchmarkEnsemble is 2,000 replicates of the starter plan's six seasons on one
// and on two processors.
func BenchmarkEnsemble(b *testing.B) {
	m := model(b, string(rotations.Starter()))
	for _, jobs := range []int{1, 2} {
		b.Run(fmt.Sprintf("jobs=%d", jobs), func(b *testing.B) {
			for b.Loop() {
				if _, err := ensemble.Run(context.Background(), []*sim.Model{m}, ensemble.Options{Replicates: 2000, Seed: 1, Jobs: jobs}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/2000/float64(m.Seasons()), "ns/season")
		})
	}
}
