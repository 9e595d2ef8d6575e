package biotype

import "testing"

// What a step's seedlings meet of a stack of residual programmes.
func BenchmarkMeet(b *testing.B) {
	g := Genes{On: true, Traits: 3, Standing: [MostTraits]float64{0.12, 0.12, 0.05}, Protection: 0.98}
	for i := range 3 {
		for k := range 3 {
			g.Relation[i][k] = 0.1
		}
	}
	parts := []Part{{Kill: 0.7, Locus: -1, Trait: 0}, {Kill: 0.3, Locus: -1, Trait: 1}, {Kill: 0.5, Locus: -1, Trait: 0}, {Kill: 0.2, Locus: -1, Trait: 2}}
	var killed float64
	for b.Loop() {
		traits := [MostTraits]Trait{{0.1, 0.11}, {0.2, 0.12}, {0, 0.05}}
		parts[0].Kill = 0.7 + killed*1e-9
		killed += g.Meet(parts, 0, &traits, 1)
	}
}
