package ensemble_test

import (
	"context"
	"fmt"
	"testing"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
)

// BenchmarkEnsemble is the default forecast, 2,000 replicates of the six
// seasons of the starter plan, on one and on two workers, at two densities.
func BenchmarkEnsemble(b *testing.B) {
	const replicates = 2000
	for _, x := range []struct {
		name, plan string
	}{
		{"starter", string(rotations.Starter())},
		{"seeds=1", sparse("1")},
		{"seeds=900", sparse("900")},
	} {
		m := model(b, x.plan)
		for _, jobs := range []int{1, 2} {
			b.Run(fmt.Sprintf("%s/jobs=%d", x.name, jobs), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, err := ensemble.Run(context.Background(), []*sim.Model{m}, ensemble.Options{Replicates: replicates, Seed: 1, Jobs: jobs}); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/replicates/float64(m.Seasons()), "ns/season")
			})
		}
	}
}

// sparse is a rotation that begins with so many old seeds per m².
func sparse(seeds string) string {
	return "field: {area_ha: 12, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, seedbank_per_m2: {0-5: " + seeds + "}}\n" +
		"seasons: [{crop: winter-wheat}, {crop: spring-barley}]\nrepeat: 3\n"
}
