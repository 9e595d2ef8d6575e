package sim_test

import (
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/ensemble"
)

// outcome is one row of testdata/published/outcomes.csv, written down before
// the engine was tuned.
type outcome struct {
	name, source, protocol string
	low, high              float64 // accepted
	set                    bool    // used to set a default: shown, not counted
}

func outcomes(t *testing.T) []outcome {
	t.Helper()
	f, err := os.Open("../testdata/published/outcomes.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	number := func(s string, absent float64) float64 {
		if s == "" {
			return absent
		}
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	var all []outcome
	for _, r := range rows[1:] {
		all = append(all, outcome{name: r[0], low: number(r[2], math.Inf(-1)), high: number(r[3], math.Inf(1)),
			set: r[5] == "yes", source: r[6], protocol: r[7]})
	}
	return all
}

// gaps are outcomes that this version does not reproduce, recorded with what it
// gives; the test fails if one of them comes back into its range unnoticed.
var gaps = map[string]bool{
	// 0.31 on good ploughing: the 5 % that the plough leaves on top and the 2 % that
	// bypasses it still weigh in a bank that a fast-growing weed keeps young.
	"plough_fresh_share": true,
	// 0.47: no mechanism here makes seed on the surface of undisturbed soil fare as
	// well as seed stirred in; the grey sources may speak of fields, not of plots.
	"direct_against_shallow": true,
}

func TestPublished(t *testing.T) {
	n := 400
	if testing.Short() {
		t.Skip("published outcomes take some seconds")
	}
	got := measure(t, n)
	bad := 0
	for _, o := range outcomes(t) {
		x, ok := got[o.name]
		if !ok {
			t.Errorf("%s: not measured", o.name)
			continue
		}
		verdict := "in range"
		in := x >= o.low && x <= o.high
		switch {
		case o.set:
			verdict = "used to set"
		case gaps[o.name] && in:
			t.Errorf("%s is back in its range with %.3g: take it off the gaps", o.name, x)
		case gaps[o.name]:
			verdict, bad = "GAP", bad+1
		case !in:
			verdict = "FAILS"
			t.Errorf("%s: %.3g, accepted %.3g…%.3g (%s)", o.name, x, o.low, o.high, o.source)
		}
		t.Logf("%-28s %7.3f  %6.2f…%-6.2f %-11s %s", o.name, x, o.low, o.high, verdict, o.source)
	}
	for _, k := range []string{"growth shallow-disc", "growth plough", "old share shallow-disc", "kill to stand still shallow-disc", "kill to stand still plough",
		"plough never inverted before", "week before 25 September", "week after 31 October", "growth free"} {
		t.Logf("%-34s %7.3f  printed, no bar", k, got[k])
	}
	if bad > 2 {
		t.Errorf("%d gaps; at most two are allowed", bad)
	}
}

// measure runs the protocols.
func measure(t *testing.T, n int) map[string]float64 {
	got := map[string]float64{}
	for _, f := range []func(*testing.T, int, map[string]float64){lutmanDates, lutmanPlough, mossShares, seedFates, bankLoss, growth} {
		f(t, n, got)
	}
	return got
}

// trialLibrary makes clay that always carries a drill: trials are sown on their date.
func trialLibrary(t testing.TB) string {
	dir := t.TempDir()
	if err := os.MkdirAll(filepath.Join(dir, "soils"), 0o755); err != nil {
		t.Fatal(err)
	}
	text := "name: clay\nvalues:\n"
	for _, k := range []string{"workable_drilling", "workable_cultivation", "workable_spraying"} {
		text += "  " + k + ": {value: 1.9, spread: fixed, grade: assumed, source: \"assumed: trials are sown on their date\"}\n"
	}
	if err := os.WriteFile(filepath.Join(dir, "soils", "clay.yaml"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

// trial is a plan on trial ground. start is what stands under weed: besides species.
func trial(t testing.TB, history, start, seasons string) string {
	return fmt.Sprintf("library: %s\nfield: {name: Trial, area_ha: 1, soil: clay, climate: east-lowland, history: %s}\nweed: {species: black-grass, %s}\nseasons:\n%s",
		trialLibrary(t), history, start, seasons)
}

// sown is a season without herbicide in the crop, sprayed off the day before drilling.
func sown(name, drill, with, cultivate string) string {
	return fmt.Sprintf("  - crop: %s\n    cultivate: [%s]\n    spray_off: [{days_before_drilling: 1}]\n    drill: {date: %s, latest: %s, with: %s}\n    herbicides: []\n",
		name, cultivate, drill, map[bool]string{true: "30 Apr", false: "31 Dec"}[strings.HasSuffix(drill, "Mar")], with)
}

const disc = "{date: 25 Aug, with: shallow-disc}"

func run(t testing.TB, n int, w []sim.Watch, plans ...string) []*ensemble.Outcome {
	t.Helper()
	var ms []*sim.Model
	for _, p := range plans {
		ms = append(ms, model(t, p))
	}
	o, err := ensemble.Run(context.Background(), ms, ensemble.Options{Replicates: n, Seed: 11, Watches: w})
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// falls are the paired falls 1 − a/b, sorted.
func falls(a, b []float64) []float64 {
	var r []float64
	for i := range a {
		if !math.IsNaN(a[i]) && b[i] > 0 {
			r = append(r, 1-a[i]/b[i])
		}
	}
	slices.Sort(r)
	return r
}

func mean(x []float64) float64 { return ensemble.Summarise(x).Mean }

// lutmanDates: drilling dates and spring sowing (Lutman et al. 2013).
func lutmanDates(t *testing.T, n int, got map[string]float64) {
	const start = "start: 2026-08-15, heads_per_m2: 15"
	dates := []string{"25 Sep", "18 Sep", "2 Oct", "9 Oct", "16 Oct", "23 Oct", "31 Oct", "7 Nov"}
	plants := map[string]float64{}
	var first []float64
	for _, d := range dates {
		o := run(t, n, nil, trial(t, "shallow-disc", start, sown("winter-wheat", d, "tine-drill", disc)))
		x := o[0].Column(sim.Plants, 0)
		plants[d] = mean(x)
		switch d {
		case "25 Sep":
			first = x
		case "31 Oct":
			got["late_drilling"] = mean(falls(x, first))
			t.Logf("31 October: fall of the means %.3f", 1-mean(x)/mean(first))
		}
	}
	weeks := 36.0 / 7
	got["late_drilling_week"] = 1 - math.Pow(1-got["late_drilling"], 1/weeks)
	got["week before 25 September"] = 1 - plants["25 Sep"]/plants["18 Sep"]
	got["week after 31 October"] = 1 - plants["7 Nov"]/plants["31 Oct"]
	o := run(t, n, nil, trial(t, "shallow-disc", start, sown("spring-wheat", "20 Mar", "tine-drill", disc)))
	got["spring_sowing"] = mean(falls(o[0].Column(sim.Plants, 0), first))
}

// lutmanPlough: plough against shallow tillage over histories and rain trends.
func lutmanPlough(t *testing.T, n int, got map[string]float64) {
	histories := map[string][6]bool{ // ploughed 6, 5, … 1 years ago
		"never": {}, "3 years ago": {3: true}, "6 years ago": {0: true},
		"rotational": {1: true, 3: true, 5: true}, "yearly": {true, true, true, true, true, true},
	}
	plain := model(t, trial(t, "shallow-disc", "start: 2026-08-15, heads_per_m2: 40", sown("winter-wheat", "25 Sep", "tine-drill", disc)))
	var all []float64
	for name, ploughed := range histories {
		for _, trend := range []float64{0.5, 1, 2} {
			const rain = 2000.0
			tillage, rains := make([]string, 6), make([]float64, 6)
			for k := range 6 {
				tillage[k] = "shallow-disc"
				if ploughed[k] {
					tillage[k] = "plough"
				}
				rains[k] = rain * math.Pow(trend, -float64(6-k))
			}
			bank, err := plain.OldBank(tillage, rains)
			if err != nil {
				t.Fatal(err)
			}
			start := fmt.Sprintf("start: 2026-08-15, seedbank_per_m2: {surface: %.1f, 0-5: %.1f, 5-10: %.1f, 10-15: %.1f, 15-20: %.1f, fresh: %v}",
				bank[0], bank[1], bank[2], bank[3], bank[4], rain)
			o := run(t, n/4, nil,
				trial(t, "shallow-disc", start, sown("winter-wheat", "25 Sep", "tine-drill", "{date: 5 Sep, with: plough}")),
				trial(t, "shallow-disc", start, sown("winter-wheat", "25 Sep", "tine-drill", disc)))
			r := falls(o[0].Column(sim.Plants, 0), o[1].Column(sim.Plants, 0))
			if name == "never" && trend == 1 {
				got["plough never inverted before"] = mean(r)
			}
			t.Logf("plough, history %-12s trend %.1f: mean %.2f (%.2f–%.2f)", name, trend, mean(r), ensemble.Quantile(r, 0.05), ensemble.Quantile(r, 0.95))
			all = append(all, r...)
		}
	}
	slices.Sort(all)
	got["plough_reduction"] = mean(all)
	got["plough_spread"] = ensemble.Quantile(all, 0.95) - ensemble.Quantile(all, 0.05)
}

// mossShares: plants from fresh seed (Moss 1980).
func mossShares(t *testing.T, n int, got map[string]float64) {
	const start = "start: 2026-08-15, heads_per_m2: 40"
	direct := sown("winter-wheat", "25 Sep", "disc-drill", "")
	april := func(year int) []sim.Watch { return []sim.Watch{{Day: date.Of(year, 4, 2), What: sim.WatchFreshShare}} }
	six := trial(t, "disc-drill", start, strings.Repeat(direct, 6))
	got["direct_fresh_share"] = mean(run(t, n/2, april(2032), six)[0].Watched(0))
	var trials []float64
	for _, history := range []string{"plough", "shallow-disc"} {
		for _, trend := range []string{"1", "3"} {
			o := run(t, n/2, append(april(2027), april(2028)...), trial(t, history, start+", trend: "+trend, direct+direct))
			trials = append(trials, mean(o[0].Watched(0)), mean(o[0].Watched(1)))
			t.Logf("direct drilled after %s, rain ×%s: fresh share %.2f, %.2f", history, trend, mean(o[0].Watched(0)), mean(o[0].Watched(1)))
		}
	}
	got["direct_fresh_share_trials"] = mean(trials)
	ploughed := sown("winter-wheat", "25 Sep", "tine-drill", "{date: 5 Sep, with: plough, quality: good}")
	got["plough_fresh_share"] = mean(run(t, n/2, april(2032), trial(t, "plough", start, strings.Repeat(ploughed, 6)))[0].Watched(0))
	shallow := sown("winter-wheat", "25 Sep", "tine-drill", disc)
	o := run(t, n, nil, trial(t, "disc-drill", start+", trend: 1", direct), trial(t, "shallow-disc", start+", trend: 1", shallow))
	got["direct_against_shallow"] = mean(o[0].Column(sim.Plants, 0)) / mean(o[1].Column(sim.Plants, 0))
}

// seedFates: fresh seed from shedding to spring.
func seedFates(t *testing.T, n int, got map[string]float64) {
	const start = "start: 2026-08-15, heads_per_m2: 1"
	deep := sown("winter-wheat", "25 Sep", "tine-drill", "{date: 25 Aug, with: deep-tine}")
	w := []sim.Watch{{Day: date.Of(2027, 4, 2), What: sim.WatchPlants}, {Day: date.Of(2027, 4, 2), What: sim.WatchFreshShare}}
	o := run(t, n, w, trial(t, "deep-tine", start, deep))
	fresh := 0.0
	for i, x := range o[0].Watched(0) {
		if s := o[0].Watched(1)[i]; x > 0 {
			fresh += x * s / float64(n)
		}
	}
	got["plants_per_head"] = fresh
	// Emergence through the year, and fresh seed in late September, with a bank at
	// a steady rain under shallow tillage; the season is that of 1 August on.
	dates := []date.Day{date.Of(2026, 9, 25), date.Of(2026, 9, 30), date.Of(2026, 10, 31), date.Of(2026, 12, 31), date.Of(2027, 6, 29)}
	w = nil
	for _, d := range dates {
		w = append(w, sim.Watch{Day: d, What: sim.WatchEmerged}, sim.Watch{Day: d, What: sim.WatchFresh})
	}
	o = run(t, n, w, trial(t, "shallow-disc", "start: 2026-08-01, heads_per_m2: 40, trend: 1", sown("winter-wheat", "25 Sep", "tine-drill", disc)))
	year := mean(o[0].Watched(8))
	got["emerged_september"] = mean(o[0].Watched(2)) / year
	got["emerged_october"] = mean(o[0].Watched(4)) / year
	got["autumn_share"] = mean(o[0].Watched(6)) / year
	const rain = 1000.0
	o = run(t, n, []sim.Watch{{Day: date.Of(2026, 8, 20), What: sim.WatchTopWater}, {Day: date.Of(2026, 8, 31), What: sim.WatchTopWater},
		{Day: date.Of(2026, 9, 8), What: sim.WatchTopWater}, {Day: date.Of(2026, 9, 12), What: sim.WatchSurface}},
		trial(t, "shallow-disc", fmt.Sprintf("start: 2026-08-01, seedbank_per_m2: {surface: 0, fresh: %v}", rain), sown("winter-wheat", "25 Sep", "tine-drill", "")))
	got["surface_six_weeks"] = mean(o[0].Watched(3)) / rain
	got["surface_six_weeks_dry"] = driest(o[0]) / rain
	o = run(t, n, []sim.Watch{{Day: date.Of(2026, 9, 24), What: sim.WatchFresh}},
		trial(t, "shallow-disc", fmt.Sprintf("start: 2026-07-28, seedbank_per_m2: {surface: 0, fresh: %v}", rain), sown("winter-wheat", "25 Sep", "tine-drill", disc)))
	got["fresh_alive_september"] = mean(o[0].Watched(0)) / rain
}

// driest is the mean of the surface seed over the tenth of replicates with the driest topsoil.
func driest(o *ensemble.Outcome) float64 {
	type pair struct{ water, seed float64 }
	var all []pair
	for i := range o.Replicates {
		all = append(all, pair{o.Watched(0)[i] + o.Watched(1)[i] + o.Watched(2)[i], o.Watched(3)[i]})
	}
	slices.SortFunc(all, func(a, b pair) int {
		if a.water < b.water {
			return -1
		}
		return 1
	})
	var sum float64
	for _, p := range all[:len(all)/10] {
		sum += p.seed
	}
	return sum / float64(len(all)/10)
}

// bankLoss: a cultivated bank without rain of seed.
func bankLoss(t *testing.T, n int, got map[string]float64) {
	fallow := "  - crop: fallow\n    cultivate: [{date: 25 Aug, with: shallow-disc}, {date: 15 Mar, with: shallow-disc}]\n    spray_off: [10 Apr, 5 May, 20 May, 30 May]\n"
	plain := model(t, trial(t, "shallow-disc", "start: 2026-08-15, heads_per_m2: 40", fallow))
	bank, err := plain.OldBank(slices.Repeat([]string{"shallow-disc"}, 6), []float64{1000, 1000, 1000, 1000, 1000, 1000})
	if err != nil {
		t.Fatal(err)
	}
	start := fmt.Sprintf("start: 2026-07-02, seedbank_per_m2: {surface: %.1f, 0-5: %.1f, 5-10: %.1f, 10-15: %.1f, 15-20: %.1f}", bank[0], bank[1], bank[2], bank[3], bank[4])
	o := run(t, n, nil, trial(t, "shallow-disc", start, strings.Repeat(fallow, 3)))[0]
	before := mean(o.Column(sim.LedgerStart, 0))
	for s := range 3 {
		after := mean(o.Column(sim.SeedbankJune, s))
		got[fmt.Sprintf("bank_loss_year%d", s+1)] = 1 - after/before
		before = after
	}
}

// growth: what no bar is set for.
func growth(t *testing.T, n int, got map[string]float64) {
	m := model(t, trial(t, "shallow-disc", "start: 2026-08-15, heads_per_m2: 40", sown("winter-wheat", "25 Sep", "tine-drill", disc)))
	for _, k := range []string{"shallow-disc", "plough"} {
		r, old, err := m.Growth(k)
		if err != nil {
			t.Fatal(err)
		}
		got["growth "+k], got["old share "+k], got["kill to stand still "+k] = r, old, 1-1/r
	}
}
