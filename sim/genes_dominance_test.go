package sim_test

import (
	"math"
	"strings"
	"testing"

	"rundown/sim"
	"rundown/sim/biotype"
)

// One copy of a gene keeps off h of what two copies keep off: of an active that kills k, plants with one
// copy die by k(1 − hρ), with two by k(1 − ρ). Carriers by year, in an outcrosser whose plants are all of the
// last rain and all met by the spray, against that recursion worked by hand: Hardy and Weinberg's shares,
// those kills, and the survivors' pollen. Two actives of group 1 of one kill are told apart by their family: of
// a cyclohexanedione one copy keeps off half as much (Kaundun et al. 2013, rye-grass: dominant to pinoxaden, partly
// recessive to cycloxydim). The field has 10⁴ ha; a hundredth of the share is more than its chance leaves open.
func TestDominanceOfAnActive(t *testing.T) {
	const years, p0, kill, protection = 6, 0.005, 0.9, 0.95
	last := map[string]float64{}
	for family, h := range map[string]float64{"": 1, "phenylpyrazoline": 1, "cyclohexanedione": 0.5} {
		spray := killer("one", "1", kill)
		if family != "" {
			spray = strings.Replace(spray, "role: contact\n", "role: contact\nfamily: "+family+"\n", 1)
		}
		genes := map[string]float64{"target_site_share_1": 1, "start_share_1": p0, "protection": protection, "dominance_1": 1, "cost_share": 0,
			"dominance_1_cyclohexanedione": 0.5, "outcrossing": 1, "pollen_outside": 0, "mutation_rate": 0, "heritability_1": 0}
		field := protocol{weed: "italian-rye-grass", field: "area_ha: 10000", start: "start: 2026-08-15, heads_per_m2: 40", genes: genes,
			sprays: []string{spray}, seasons: strings.Repeat(strings.ReplaceAll(tineWheat("one"), "15 Mar", "1 May"), years)}
		m := field.model(t)
		delete(genes, "dominance_1_cyclohexanedione") // as the library has it: drawn, where some active needs it
		if at := field.model(t).Calendar().Space.Index("genes/italian-rye-grass/dominance_1_cyclohexanedione"); (at >= 0) != (h < 1) {
			t.Errorf("%q: the value of cyclohexanediones is at %d of those that are drawn", family, at)
		}
		r := sim.Replicate{Seed: 5, Streams: sim.StreamsOf(1), Theta: m.Calendar().Space.Central()}
		setAll(t, m, r.Theta, map[string]float64{"/autumn_ready_share": 1, "/old_ready_share": 0, "/stimulus_old": 0, "/stimulus_fresh": 0})
		w, err := m.NewWorker()
		if err != nil {
			t.Fatal(err)
		}
		rec := record(t, m, w, r)
		dies := [3]float64{kill, kill * (1 - h*protection), kill * (1 - protection)}
		p := p0
		for y := range years {
			want, got := 1-(1-p)*(1-p), rec.Seasons[y][sim.Carriers1]
			t.Logf("%q, season %d: carriers %.5f, recursion %.5f", family, y+1, got, want)
			if math.Abs(got/want-1) > 0.01 {
				t.Errorf("%q, season %d: carriers %.5f, recursion %.5f", family, y+1, got, want)
			}
			live, copies := 0.0, 0.0
			for c, x := range [3]float64{(1 - p) * (1 - p), 2 * p * (1 - p), p * p} {
				live += x * (1 - dies[c])
				copies += x * (1 - dies[c]) * float64(c) / 2
			}
			p = copies / live
		}
		last[family] = rec.Seasons[years-1][sim.KillFirst]
		both := biotype.Genes{On: true, Protection: protection, Followed: [biotype.Loci]bool{true}}
		if got := both.Spared(&biotype.Part{Locus: 0, Dominance: h}, 3); math.Abs(got-h*protection) > 1e-12 {
			t.Errorf("%q: one copy is spared %.4f of the kill, expected %.4f", family, got, h*protection)
		}
	}
	if last[""] != last["phenylpyrazoline"] || !(last["cyclohexanedione"] > last[""]) {
		t.Errorf("kill at last by family: %v", last)
	}
}
