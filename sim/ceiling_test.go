package sim_test

import (
	"slices"
	"strings"
	"testing"

	"rundown/sim"
	"rundown/sim/bands"
)

// untreated is a field of wheat after wheat without herbicide, from so many heads
// per m² or whatever else start says.
func untreated(t testing.TB, weed, start string, years int) string {
	return plot("", weed, "start: 2026-08-01, "+start, strings.Repeat(sown("winter-wheat", "25 Sep", "tine-drill", disc), years))
}

// weedCeiling lets the weed fill the field: heads of the thickest twentieth of
// fields and years, and seed shed, viable or not, on the mean.
func weedCeiling(t *testing.T, n int, weed string, put func(string, float64)) {
	const from, years = 4, 9
	m := untreated(t, weed, "heads_per_m2: 200", years)
	viable := model(t, m).Calendar().Library.Find("weeds", weed).Value("viability").Central
	o := run(t, n, nil, m)[0]
	var heads, seeds []float64
	for year := from; year < years; year++ {
		heads = append(heads, o.Column(sim.Heads, year)...)
		seeds = append(seeds, o.Column(sim.SeedReturn, year)...)
	}
	slices.Sort(heads)
	slices.Sort(seeds)
	put("heads_at_the_ceiling", bands.Quantile(heads, 0.95))
	put("seeds_at_the_ceiling", mean(seeds)/viable)
	t.Logf("%s at its ceiling: %.0f heads (%.0f–%.0f), %.0f seeds (95 in 100 below %.0f)", weed, mean(heads),
		bands.Quantile(heads, 0.05), bands.Quantile(heads, 0.95), mean(seeds)/viable, bands.Quantile(seeds, 0.95)/viable)
}

// weedGrowth is growth at low density, and heads of a spring crop against wheat's.
func weedGrowth(t *testing.T, n int, weed string, put func(string, float64)) {
	o := run(t, n, nil, untreated(t, weed, "heads_per_m2: 0.01", 2))[0]
	var growth []float64
	for r, x := range o.Column(sim.Heads, 0) {
		if x > 0 {
			growth = append(growth, o.Column(sim.Heads, 1)[r]/x)
		}
	}
	slices.Sort(growth)
	put("growth_uncontrolled", bands.Quantile(growth, 0.5))
	const start = "start: 2026-08-01, heads_per_m2: 20"
	lib := ""
	s := run(t, n/4, nil, plot(lib, weed, start, sown("winter-wheat", "25 Sep", "tine-drill", disc)),
		plot(lib, weed, start, sown("spring-barley", "15 Mar", "tine-drill", disc)))
	put("spring_barley_heads", mean(s[1].Column(sim.Heads, 0))/mean(s[0].Column(sim.Heads, 0)))
}

// A field may start as thick as the thickest that farms tell of, and stays thick.
func TestAFieldMayStartAtTwoThousandHeads(t *testing.T) {
	o := run(t, 100, nil, untreated(t, "black-grass", "heads_per_m2: 2000", 2))[0]
	for year := range 2 {
		if x := mean(o.Column(sim.Heads, year)); x < 1000 || x > 4000 {
			t.Errorf("harvest %d: %.0f heads/m² from 2,000, expected 1,000 to 4,000", year+1, x)
		}
	}
}
