package sim_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/ensemble"
)

// measure runs the protocols of the published outcomes with n replicates.
func measure(t *testing.T, n int) map[string]float64 {
	got := map[string]float64{}
	for _, f := range []func(*testing.T, int, map[string]float64){lutmanDates, lutmanPlough, mossShares, seedFates, bankLoss, growth} {
		f(t, n, got)
	}
	return got
}

// drillings are the dates a week's fall in plants is worked out for.
var drillings = []string{"18 Sep", "25 Sep", "2 Oct", "9 Oct", "16 Oct", "23 Oct", "31 Oct", "7 Nov", "14 Nov"}

// lutmanDates: drilling dates and spring sowing (Lutman et al. 2013). Plants are
// counted on 1 April as in every report, and for the shape of the fall also on
// 15 February, before the seedlings of late winter that no autumn date touches. The
// shape takes ten times the replicates.
func lutmanDates(t *testing.T, n int, got map[string]float64) {
	n *= 10
	const start = "start: 2026-08-15, heads_per_m2: 15"
	april, february := map[string]float64{}, map[string]float64{}
	var first []float64
	var plans []string
	for _, d := range drillings {
		plans = append(plans, trial(t, "shallow-disc", start, sown("winter-wheat", d, "tine-drill", disc)))
	}
	plans = append(plans, trial(t, "shallow-disc", start, sown("spring-wheat", "20 Mar", "tine-drill", disc)))
	all := run(t, n, []sim.Watch{{Day: date.Of(2027, 2, 15), What: sim.WatchPlants}}, plans...) // together they take their weather once
	for i, d := range drillings {
		x := all[i].Column(sim.Plants, 0)
		april[d], february[d] = mean(x), mean(all[i].Watched(0))
		switch d {
		case "25 Sep":
			first = x
		case "31 Oct":
			got["late_drilling"] = mean(falls(x, first))
			t.Logf("31 October: fall of the means %.3f", 1-mean(x)/mean(first))
		}
	}
	weekly := func(fall float64) float64 { return 1 - math.Pow(1-fall, 7.0/36) }
	got["late_drilling_week"] = weekly(got["late_drilling"])
	// The shape: a week's fall over the mean week's between the two dates.
	before := func(x map[string]float64) float64 {
		return (1 - x["25 Sep"]/x["18 Sep"]) / weekly(1-x["31 Oct"]/x["25 Sep"])
	}
	after := func(x map[string]float64) float64 {
		return (1 - x["7 Nov"]/x["31 Oct"]) / weekly(1-x["31 Oct"]/x["25 Sep"])
	}
	got["late_drilling_before"], got["late_drilling_after"] = before(february), after(february)
	got["before, counted 1 April"], got["after, counted 1 April"] = before(april), after(april)
	got["31 October, counted 15 February"] = 1 - february["31 Oct"]/february["25 Sep"]
	for i, d := range drillings[1:] {
		days := 7.0
		if d == "31 Oct" {
			days = 8
		}
		was := drillings[i]
		got["week to "+d+", 1 April"] = 1 - math.Pow(april[d]/april[was], 7/days)
		got["week to "+d+", 15 February"] = 1 - math.Pow(february[d]/february[was], 7/days)
	}
	got["spring_sowing"] = mean(falls(all[len(drillings)].Column(sim.Plants, 0), first))
}

// lutmanPlough: plough against shallow tillage over histories and rain trends.
func lutmanPlough(t *testing.T, n int, got map[string]float64) {
	histories := map[string][6]bool{ // ploughed 6, 5, … 1 years ago
		"never": {}, "3 years ago": {3: true}, "6 years ago": {0: true},
		"rotational": {0: true, 2: true, 4: true}, "yearly": {true, true, true, true, true, true},
	}
	const rain = 2000.0
	// The bank is written as uncertain, so that every history can set it in theta.
	start := fmt.Sprintf("start: 2026-08-15, seedbank_per_m2: {surface: %[1]s, 0-5: %[1]s, 5-10: %[1]s, 10-15: %[1]s, 15-20: %[1]s, fresh: %[2]v}",
		"{low: 1, high: 2}", rain)
	models := []*sim.Model{
		model(t, trial(t, "shallow-disc", start, sown("winter-wheat", "25 Sep", "tine-drill", "{date: 5 Sep, with: plough}"))),
		model(t, trial(t, "shallow-disc", start, sown("winter-wheat", "25 Sep", "tine-drill", disc))),
	}
	var all []float64
	for name, ploughed := range histories {
		for _, trend := range []float64{0.5, 1, 2} {
			tillage, rains := make([]string, 6), make([]float64, 6)
			for k := range 6 {
				tillage[k] = "shallow-disc"
				if ploughed[k] {
					tillage[k] = "plough"
				}
				rains[k] = rain * math.Pow(trend, -float64(6-k))
			}
			bank, err := models[1].OldBank(tillage, rains)
			if err != nil {
				t.Fatal(err)
			}
			o := runModels(t, models, ensemble.Options{Replicates: n / 4, Seed: 11, Case: func(w *sim.Worker, k int, r *sim.Replicate) {
				w.DrawTheta(11, uint32(k), r.Theta)
				for l, v := range w.Model().Calendar().Seedbank {
					r.Theta[w.Model().Calendar().Space.Index(v.Path)] = bank[l]
				}
			}})
			r := falls(o[0].Column(sim.Plants, 0), o[1].Column(sim.Plants, 0))
			if name == "never" && trend == 1 {
				got["plough never inverted before"] = mean(r)
			}
			t.Logf("plough, history %-12s trend %.1f: mean %.2f (%.2f–%.2f)", name, trend, mean(r), bands.Quantile(r, 0.05), bands.Quantile(r, 0.95))
			all = append(all, r...)
		}
	}
	slices.Sort(all)
	got["plough_reduction"] = mean(all)
	got["plough_spread"] = bands.Quantile(all, 0.95) - bands.Quantile(all, 0.05)
}

// mossShares: plants from fresh seed (Moss 1980).
func mossShares(t *testing.T, n int, got map[string]float64) {
	n *= 5
	const start = "start: 2026-08-15, heads_per_m2: 40"
	direct := sown("winter-wheat", "25 Sep", "disc-drill", "")
	april := func(year int) []sim.Watch { return []sim.Watch{{Day: date.Of(year, 4, 2), What: sim.WatchFreshShare}} }
	six := trial(t, "disc-drill", start, strings.Repeat(direct, 6))
	got["direct_fresh_share"] = mean(run(t, n, april(2032), six)[0].Watched(0))
	var trials []float64
	for _, history := range []string{"plough", "shallow-disc"} {
		for _, trend := range []string{"1", "3"} {
			o := run(t, n, append(april(2027), april(2028)...), trial(t, history, start+", trend: "+trend, direct+direct))
			trials = append(trials, mean(o[0].Watched(0)), mean(o[0].Watched(1)))
			t.Logf("direct drilled after %s, rain ×%s: fresh share %.2f, %.2f", history, trend, mean(o[0].Watched(0)), mean(o[0].Watched(1)))
		}
	}
	got["direct_fresh_share_trials"] = mean(trials)
	got["lowest of the trials"], got["highest of the trials"] = slices.Min(trials), slices.Max(trials)
	ploughed := sown("winter-wheat", "25 Sep", "tine-drill", "{date: 5 Sep, with: plough, quality: good}")
	got["plough_fresh_share"] = mean(run(t, n, april(2032), trial(t, "plough", start, strings.Repeat(ploughed, 6)))[0].Watched(0))
	got["plough_fresh_share, steady"] = mean(run(t, n, april(2027), trial(t, "plough", start+", trend: 1", ploughed))[0].Watched(0))
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
		trial(t, "shallow-disc", fmt.Sprintf("start: 2026-07-28, seedbank_per_m2: {surface: 0, fresh: %v}", rain),
			sown("winter-wheat", "25 Sep", "tine-drill", disc)))
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

// fallowRun is three years of a cultivated bank without rain of seed.
func fallowRun(t *testing.T, n int) *ensemble.Outcome {
	fallow := "  - crop: fallow\n    cultivate: [{date: 25 Aug, with: shallow-disc}, {date: 15 Mar, with: shallow-disc}]\n    spray_off: [10 Apr, 5 " +
		"May, 20 May, 30 May]\n"
	plain := model(t, trial(t, "shallow-disc", "start: 2026-08-15, heads_per_m2: 40", fallow))
	bank, err := plain.OldBank(slices.Repeat([]string{"shallow-disc"}, 6), []float64{1000, 1000, 1000, 1000, 1000, 1000})
	if err != nil {
		t.Fatal(err)
	}
	start := fmt.Sprintf("start: 2026-07-02, seedbank_per_m2: {surface: %.1f, 0-5: %.1f, 5-10: %.1f, 10-15: %.1f, 15-20: %.1f}",
		bank[0], bank[1], bank[2], bank[3], bank[4])
	return run(t, n, nil, trial(t, "shallow-disc", start, strings.Repeat(fallow, 3)))[0]
}

// bankLoss: a cultivated bank without rain of seed.
func bankLoss(t *testing.T, n int, got map[string]float64) {
	o := fallowRun(t, n)
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
	// And as a field would show it: heads of a harvest over those of the one before.
	wheat := sown("winter-wheat", "25 Sep", "tine-drill", disc)
	o := run(t, n, nil, trial(t, "shallow-disc", "start: 2026-08-15, heads_per_m2: 0.01", wheat+wheat))[0]
	var factor []float64
	for k, first := range o.Column(sim.Heads, 0) {
		factor = append(factor, o.Column(sim.Heads, 1)[k]/first)
	}
	slices.Sort(factor)
	for name, q := range map[string]float64{"low": 0.05, "median": 0.5, "high": 0.95} {
		got["growth of heads, "+name] = bands.Quantile(factor, q)
	}
}
