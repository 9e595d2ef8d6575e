package sim_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/simtest"
)

// What the variable cost pays for is the seed rate of usual practice, and the
// usual stand is what can come of it.
func TestSeedRatesAreThoseOfUsualPractice(t *testing.T) {
	lib := simtest.Library(t)
	for _, name := range lib.Names("crops") {
		if lib.Find("crops", name).Text["season"] == "none" {
			continue
		}
		c := simtest.Calendar(t, lib, fmt.Sprintf("field: {area_ha: 1, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: "+
			"2026-08-01, heads_per_m2: 1}\nseasons:\n  - crop: %s\n", name))
		course := slices.IndexFunc(c.Seasons[0].Courses, func(c rotations.Course) bool { return c.Drill != nil })
		crop := lib.Find("crops", name)
		rate, stand := crop.Value("seed_rate").Central, crop.Value("usual_stand").Central
		if course < 0 || c.Seasons[0].Courses[course].Drill.SeedsPerM2 != rate {
			t.Errorf("%s: its usual practice does not sow the %g seeds/m² of seed_rate", name, rate)
		}
		if x := stand / rate / crop.Value("establishment").Central; math.Abs(x-1) > 0.1 {
			t.Errorf("%s: a usual stand of %g plants/m² is %.2f of what its usual seed gives", name, stand, x)
		}
	}
}

// Seed is no longer free, nor plants without worth: wheat without weeds earns
// most somewhere between 200 and 500 seeds/m² (common practice, no source: 250–450),
// a twentieth of that yields well under three quarters of a full crop, and 2,000
// cost more than they give. The same field-years throughout, so that differences
// need few of them.
func TestSeedRateHasAnOptimum(t *testing.T) {
	rates := []float64{20, 50, 100, 200, 350, 500, 800, 2000}
	var plans []string
	for _, x := range rates {
		plans = append(plans, plot("", "black-grass", "start: 2026-08-01, heads_per_m2: 0.001",
			fmt.Sprintf("  - crop: winter-wheat\n    drill: {date: 25 Sep, latest: 31 Dec, with: tine-drill, seeds_per_m2: %g}\n", x)))
	}
	o := run(t, 200, nil, plans...)
	best, usual := 0, mean(o[4].Column(sim.Yield, 0))
	var yields []float64
	for i, x := range rates {
		y, m := mean(o[i].Column(sim.Yield, 0)), mean(o[i].Column(sim.Margin, 0))
		yields = append(yields, y/usual)
		t.Logf("%5g seeds/m²: %.2f t/ha, margin %.0f", x, y, m)
		if m > mean(o[best].Column(sim.Margin, 0)) {
			best = i
		}
	}
	if rates[best] < 200 || rates[best] > 500 {
		t.Errorf("the best margin is at %g seeds/m², expected between 200 and 500", rates[best])
	}
	if yields[0] > 0.75 || yields[3] < 0.93 {
		t.Errorf("20 and 200 seeds/m² yield %.2f and %.2f of 350, expected at most 0.75 and at least 0.93", yields[0], yields[3])
	}
	if yields[7] > yields[5] {
		t.Errorf("2,000 seeds/m² yield %.3f of a usual crop, 500 %.3f: a stand so thick must lose", yields[7], yields[5])
	}
}
