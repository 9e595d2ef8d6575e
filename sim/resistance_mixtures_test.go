package sim_test

import (
	"math"
	"strings"
	"testing"

	"rundown/sim"
)

// inheritedEnd is what a run ends with.
type inheritedEnd struct {
	carriers, mean float64
	alive          bool
}

// mixtures: a single active each year against two at once of the same kill together (C12).
func mixtures(t *testing.T, got map[string]float64) {
	const years, n, whole = 12, 600, 0.95
	run := func(kill float64, seasons string) (out []inheritedEnd) {
		p := protocol{weed: "black-grass", field: "area_ha: 20", start: "start: 2026-08-01, heads_per_m2: 50", genes: byGenes(nil),
			sprays: []string{killer("one", "2", kill), killer("many", "15", kill)}, seasons: seasons}
		p.each(t, n, func(_ int, _ *sim.Record, w *sim.Worker) {
			_, two, _, seeds, traits := w.Inherited()
			out = append(out, inheritedEnd{two, traits["15"], seeds > 0})
		})
		return out
	}
	mixture := strings.Repeat(tineWheat("one", "many"), years)
	half := run(1-math.Sqrt(1-whole), mixture)
	got["C12"] = pairsOf(t, "against one active a year with the kill of both", run(whole, strings.Repeat(tineWheat("one"), years)), half)
	// Other ways to read the row, shown and not counted: single actives that change from year to year.
	inTurn := run(whole, strings.Repeat(tineWheat("one")+tineWheat("many"), years/2))
	pairsOf(t, "against two in turn, each with the kill of both", inTurn, half)
	pairsOf(t, "against two in turn, each active with one kill", inTurn, run(whole, mixture))
}

// pairsOf is the share of pairs of runs in which the second ends with fewer carriers and a higher mean.
func pairsOf(t *testing.T, what string, singles, mixed []inheritedEnd) float64 {
	t.Helper()
	pairs, fewer, higher, both := 0, 0, 0, 0
	for k := range singles {
		a, b := singles[k], mixed[k]
		if a.carriers == b.carriers || !a.alive || !b.alive {
			continue
		}
		pairs++
		if b.carriers < a.carriers {
			fewer++
		}
		if b.mean > a.mean {
			higher++
		}
		if b.carriers < a.carriers && b.mean > a.mean {
			both++
		}
	}
	t.Logf("%s: %d pairs, fewer carriers in %d, a higher mean in %d, both in %d", what, pairs, fewer, higher, both)
	if pairs < 200 {
		t.Logf("%d pairs are too few", pairs)
		return math.NaN()
	}
	return float64(both) / float64(pairs)
}
