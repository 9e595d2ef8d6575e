package sim_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/sim"
)

// seedbedGaps are figures of testdata/published/seedbeds.csv that the defaults do not give, each with what was
// measured when it was written down. The test fails when one comes back into its range or moves by more than a tenth unnoticed.
var seedbedGaps = map[string]float64{
	// One site and year. In the mean August of the eastern climate the skin of the ground, under straw too, is too dry
	// for most of the seed before September, and meanwhile it dies; the weather of that summer is not known.
	"brome_stubble":        0.38,
	"brome_stubble_august": 0.34,
	// The direction is given, half of the size: with more of it alive and up on the stubble it would be nearer.
	"brome_disced_april": 0.82,
	// What the plough bypasses and what comes up from 5–10 cm; the source found none.
	"brome_ploughed_april": 0.103,
}

// TestSeedbeds measures every figure of testdata/published/seedbeds.csv: passes without glyphosate, and seed on
// the surface under straw. The ranges were written down before the model was run on them. Seeds are fixed; 400
// replicates, of the wild-oat 200, have standard errors below 3 % in paired ratios. The table is shown in README.md.
func TestSeedbeds(t *testing.T) {
	if testing.Short() {
		t.Skip("the seedbeds' figures take some seconds")
	}
	got := map[string]float64{}
	staleSeedbeds(t, 400, got)
	falseSeedbedsInTime(t, 200, got)
	wildOatDirect(t, 200, got)
	bromeTilled(t, 400, got)
	bromeOnStubble(t, 200, got)
	table := "| outcome | published | accepted | source | this version | verdict |\n|---|---|---|---|---|---|\n"
	for _, o := range outcomes(t, "seedbeds.csv") {
		x, ok := got[o.name]
		if !ok {
			t.Errorf("%s: not measured", o.name)
			continue
		}
		in, verdict := x >= o.low && x <= o.high, "in range"
		gap, known := seedbedGaps[o.name]
		switch {
		case known && in:
			t.Errorf("%s is back in its range with %.3g: take it off the gaps", o.name, x)
		case known && math.Abs(x/gap-1) > 0.1:
			t.Errorf("%s, a gap of %.3g, is %.3g now: look again", o.name, gap, x)
		case known:
			verdict = "**gap**"
		case !in:
			verdict = "**fails**"
			t.Errorf("%s: %.3g, accepted %.3g…%.3g (%s)", o.name, x, o.low, o.high, o.source)
		case o.set:
			verdict = "used to set a default; not counted"
		}
		t.Logf("%-26s %7.3f  %6.2f…%-6.2f %s", o.name, x, o.low, o.high, verdict)
		table += fmt.Sprintf("| %s | %s | %s | %s | %.2f %s | %s |\n", o.protocol, o.published, o.accepted(), o.source, x, o.unit, verdict)
	}
	readmeBlock(t, "seedbeds", table)
}

// unsprayed is winter wheat without any spray after passes of the shallow disc.
func unsprayed(drill string, passes ...string) string {
	var all []string
	for _, p := range passes {
		all = append(all, "{date: "+p+", with: shallow-disc}")
	}
	return strings.Replace(sown("winter-wheat", drill, "tine-drill", strings.Join(all, ", ")), "[{days_before_drilling: 1}]", "[]", 1)
}

// staleSeedbeds: shallow passes before drilling, no glyphosate.
func staleSeedbeds(t *testing.T, n int, got map[string]float64) {
	const start = "start: 2026-08-01, heads_per_m2: 15, trend: 1"
	plants := func(season string) float64 {
		return mean(run(t, n, nil, trial(t, "shallow-disc", start, season))[0].Column(sim.Plants, 0))
	}
	once := plants(unsprayed("25 Sep", "25 Aug"))
	for name, season := range map[string]string{
		"stale_10_september":   unsprayed("25 Sep", "25 Aug", "10 Sep"),
		"stale_24_september":   unsprayed("25 Sep", "25 Aug", "24 Sep"),
		"stale_delay":          unsprayed("16 Oct", "25 Aug", "25 Sep"),
		"delay_and_two_passes": unsprayed("16 Oct", "25 Aug", "25 Sep", "15 Oct"),
	} {
		got[name] = plants(season) / once
	}
	t.Logf("16 October, nothing more: %.3f", plants(unsprayed("16 Oct", "25 Aug"))/once)
}

// falseSeedbedsInTime: six years with a false seedbed every year, under glyphosate and a residual programme.
func falseSeedbedsInTime(t *testing.T, n int, got map[string]float64) {
	heads := func(passes string) float64 {
		season := strings.Replace(sown("winter-wheat", "25 Sep", "tine-drill", passes),
			"herbicides: []", "herbicides: [{days_after_drilling: 2, programme: autumn-residual-stack}]", 1)
		return mean(run(t, n, nil, trial(t, "shallow-disc", "start: 2026-08-01, heads_per_m2: 100", strings.Repeat(season, 6)))[0].Column(sim.Heads, 5))
	}
	one, two := heads(disc), heads(disc+", {date: 14 Sep, with: shallow-disc}")
	t.Logf("heads of the sixth year: one disc %.0f, two %.0f", one, two)
	got["false_seedbeds_in_time"] = two / one
}

// wildOatDirect: five years of spring barley for grain without tillage.
func wildOatDirect(t *testing.T, n int, got map[string]float64) {
	course := func(season string) (x []float64) {
		o := run(t, n, nil, plot("", "wild-oat", "start: 2026-08-01, heads_per_m2: 5", strings.Repeat(season, 5)))[0]
		for s := range 5 {
			x = append(x, mean(o.Column(sim.Plants, s)))
		}
		return x
	}
	direct := course(sown("spring-barley", "15 Mar", "disc-drill", ""))
	t.Logf("wild-oat, direct-drilled barley: %.1f plants/m²; disced %.1f", direct, course(sown("spring-barley", "15 Mar", "tine-drill", disc)))
	t.Logf("wild-oat, direct-drilled wheat: %.1f; disced %.1f",
		course(sown("winter-wheat", "25 Sep", "disc-drill", "")), course(sown("winter-wheat", "25 Sep", "tine-drill", disc)))
	got["wild_oat_barley_direct"] = direct[4] / direct[0]
}

// bromeTilled: brome in wheat after the plough, the disc and the direct drill.
func bromeTilled(t *testing.T, n int, got map[string]float64) {
	plants := func(season string) float64 {
		return mean(run(t, n, nil, plot("", "sterile-brome", "start: 2026-08-01, heads_per_m2: 5", season))[0].Column(sim.Plants, 0))
	}
	direct := plants(sown("winter-wheat", "25 Sep", "disc-drill", ""))
	got["brome_disced_april"] = plants(sown("winter-wheat", "25 Sep", "tine-drill", disc)) / direct
	got["brome_ploughed_april"] = plants(sown("winter-wheat", "25 Sep", "tine-drill", "{date: 5 Sep, with: plough, quality: good}")) / direct
}

// bromeOnStubble: fresh seed on stubble under chopped straw that nothing stirs.
func bromeOnStubble(t *testing.T, n int, got map[string]float64) {
	const seed = 2000.0
	days := []date.Day{date.Of(2027, 8, 29), date.Of(2027, 12, 31), date.Of(2028, 6, 29)}
	var w []sim.Watch
	for _, d := range days {
		w = append(w, sim.Watch{Day: d, What: sim.WatchEmerged})
	}
	// The wheat before is cut first, so that the seed lies on its stubble.
	season := "  - crop: fallow\n    cultivate: []\n    spray_off: [10 Jun]\n"
	o := run(t, n, w, plot("", "sterile-brome", fmt.Sprintf("start: 2027-07-15, seedbank_per_m2: {surface: 0, fresh: %g}", seed), season))[0]
	all := mean(o.Watched(2))
	got["brome_stubble"] = all / seed
	got["brome_stubble_august"] = mean(o.Watched(0)) / all
	got["brome_stubble_spring"] = 1 - mean(o.Watched(1))/all
}
