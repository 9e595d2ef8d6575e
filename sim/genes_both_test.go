package sim_test

import (
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"rundown/sim"
	"rundown/sim/biotype"
	"rundown/sim/simtest"
)

// A plant that carries a gene meets what is left of the kill, and many genes meet that, by hand: of 0.95 two
// copies that keep off 0.9 leave 0.095, which kills Φ(Φ⁻¹(0.095) − 0.6) of plants whose trait has the mean 0.6.
func TestBothMakesByHand(t *testing.T) {
	g := biotype.Genes{On: true, Traits: 1, Protection: 0.9, Followed: [biotype.Loci]bool{true}}
	g.Standing[0] = 0.2
	parts := []biotype.Part{{Kill: 0.95, Locus: 0, Trait: 0, Dominance: 1}}
	for class, left := range map[int]float64{0: 0.95, 6: 0.095} {
		traits := [biotype.MostTraits]biotype.Trait{{Mean: 0.6, Variance: 0.2}}
		want := distuv.UnitNormal.CDF(distuv.UnitNormal.Quantile(left) - 0.6)
		if got := g.Meet(parts, class, &traits, 1); got < want-1e-7 || got > want+1e-7 {
			t.Errorf("class %d: %.8f are killed, expected %.8f", class, got, want)
		}
		if traits[0].Mean <= 0.6 {
			t.Errorf("class %d: the mean of those that live is %.3f", class, traits[0].Mean)
		}
	}
}

// Both makes at once, from a test of DNA: without variance in the trait it is one gene alone, to the bit;
// with it, the kill falls further than by one gene.
func TestBothMakesInOneGroup(t *testing.T) {
	simtest.NotRacing(t)
	const years, runs = 5, 40
	kill := func(by string, heritability float64) (out [years]float64) {
		m := model(t, oneCrop("black-grass", "heads_per_m2: 20, resistance: {2: {tested: 20, carriers: 4, by: "+by+"}}",
			"{programme: spring-contact, date: 15 Mar}", years))
		w, err := m.NewWorker()
		if err != nil {
			t.Fatal(err)
		}
		for k := range uint32(runs) {
			r := sim.Replicate{Seed: 5, Streams: sim.StreamsOf(k), Theta: m.Calendar().Space.Central()}
			w.DrawTheta(5, k, r.Theta)
			setAll(t, m, r.Theta, map[string]float64{"heritability_2": heritability})
			for i, s := range record(t, m, w, r).Seasons {
				out[i] += s[sim.KillFirst] / runs
			}
		}
		return out
	}
	one, both := kill("one-gene", 0.3), kill("both", 0)
	if one != both {
		t.Errorf("without variance both makes kill %v, one gene %v", both, one)
	}
	both = kill("both", 0.3)
	for i := 1; i < years; i++ {
		if both[i] >= one[i] {
			t.Errorf("season %d: by both makes %.3f are killed, by one gene %.3f", i, both[i], one[i])
		}
	}
}
