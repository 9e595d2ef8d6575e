package sim_test

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
	"rundown/sim/stand"
)

// TestWaiting measures what stands behind early or late drilling, row by row of
// testdata/published/waiting.csv, and shows the table in README.md.
func TestWaiting(t *testing.T) {
	if testing.Short() {
		t.Skip("rows on early and late drilling take some seconds")
	}
	got := map[string]float64{}
	for _, f := range []func(*testing.T, int, map[string]float64){emergenceByGround, afterNewYear, residualByDate, dryAutumn, lossOverHeads, februaryHeads} {
		f(t, 300, got)
	}
	table := judge(t, "waiting.csv", waitingGaps, got)
	t.Log("\n" + table)
	readmeBlock(t, "waiting", table)
}

// waitingGaps are rows that this version does not reproduce.
var waitingGaps = map[string]bool{
	// 0.335, a hair over a third: the spring's share of ready seed is as small as the
	// published autumn share allows, and what sleeps again in winter comes up in spring too.
	"november_new_year": true,
}

// emergenceByGround: the season's seedlings by date, on ground that nothing stirs and on
// ground disced in August, with a bank at a steady rain.
func emergenceByGround(t *testing.T, n int, got map[string]float64) {
	days := []date.Day{date.Of(2026, 10, 15), date.Of(2026, 10, 31), date.Of(2026, 12, 31), date.Of(2027, 6, 29)}
	var w []sim.Watch
	for _, d := range days {
		w = append(w, sim.Watch{Day: d, What: sim.WatchEmerged})
	}
	fallow := "  - crop: fallow\n    cultivate: [%s]\n    spray_off: [10 Jun]\n"
	const start = "start: 2026-08-01, heads_per_m2: 40, trend: 1"
	o := run(t, n, w, trial(t, "shallow-disc", start, fmt.Sprintf(fallow, "")), trial(t, "shallow-disc", start, fmt.Sprintf(fallow, disc)))
	share := func(i, day int) float64 { return mean(o[i].Watched(day)) / mean(o[i].Watched(3)) } // of all seedlings of all fields
	got["untouched_mid_october"], got["untouched_october"], got["untouched_new_year"] = share(0, 0), share(0, 1), 1-share(0, 2)
	got["disced_mid_october"] = share(1, 0)
}

// afterNewYear: plants of a late-November sowing that came up after New Year: what comes up
// from sowing to New Year and what was spared at sowing, against what comes up later, each
// by its survival to April.
func afterNewYear(t *testing.T, n int, got map[string]float64) {
	const start = "start: 2026-08-15, heads_per_m2: 15"
	w := []sim.Watch{{Day: date.Of(2026, 11, 20), What: sim.WatchPlants}, {Day: date.Of(2026, 11, 20), What: sim.WatchEmerged},
		{Day: date.Of(2026, 12, 31), What: sim.WatchEmerged}, {Day: date.Of(2027, 3, 31), What: sim.WatchEmerged}}
	o := run(t, n, w, trial(t, "shallow-disc", start, sown("winter-wheat", "20 Nov", "tine-drill", disc)))[0]
	survival := func(key string) float64 { return simtest.Library(t).Find("weeds", "black-grass").Value(key).Central }
	before := (mean(o.Watched(0)) + mean(o.Watched(2)) - mean(o.Watched(1))) * survival("survival_autumn")
	after := (mean(o.Watched(3)) - mean(o.Watched(2))) * survival("survival_spring")
	got["november_new_year"] = after / (before + after)
}

// residualByDate: control by programmes over drilling dates.
func residualByDate(t *testing.T, n int, got map[string]float64) {
	control := func(programme, drill string) float64 {
		const start = "start: 2026-08-15, heads_per_m2: 40"
		bare := sown("winter-wheat", drill, "tine-drill", disc)
		with := strings.Replace(bare, "herbicides: []", "herbicides: [{programme: "+programme+", days_after_drilling: 2}]", 1)
		o := run(t, n, []sim.Watch{{Day: date.Of(2027, 2, 15), What: sim.WatchPlants}}, trial(t, "shallow-disc", start, with), trial(t, "shallow-disc", start, bare))
		return 1 - mean(o[0].Watched(0))/mean(o[1].Watched(0))
	}
	for name, programme := range map[string]string{"stack": "autumn-residual-stack", "cineole": "autumn-residual-cineole"} {
		early, late := control(programme, "15 Sep"), control(programme, "15 Oct")
		t.Logf("%s: drilled 15 September %.3f, 15 October %.3f", name, early, late)
		got[name+"_slope"] = late - early
	}
}

// dryAutumn: a record of twenty normal years of the climate, and the same with 0.35 of the
// rain of the autumn that counts.
func dryAutumn(t *testing.T, n int, got map[string]float64) {
	lib := simtest.Library(t)
	days := func(dry bool) string {
		var b strings.Builder
		b.WriteString("date,tmin_c,tmax_c,rain_mm\n")
		for d := date.Of(2025, 1, 1); d <= date.Of(2029, 12, 31); d++ {
			k := d.Year()*1000 + int(d)
			season := -math.Cos(2 * math.Pi * float64(d-date.Of(d.Year(), 1, 20)) / 365.25)
			wet := 0.0
			if (k*7919)%5 < 2 {
				wet = 4 // some 580 mm a year
			}
			if _, m, _ := d.Date(); dry && d.Year() == 2026 && m >= time.September && m <= time.November {
				wet *= 0.35
			}
			fmt.Fprintf(&b, "%v,%.1f,%.1f,%.1f\n", d, 5.5+5.5*season, 13.5+7.5*season, wet)
		}
		return b.String()
	}
	plan := func(herbicides string) string {
		p := trial(t, "shallow-disc", "start: 2026-08-15, heads_per_m2: 40",
			strings.Replace(sown("winter-wheat", "25 Sep", "tine-drill", disc), "herbicides: []", herbicides, 1))
		return strings.Replace(p, "climate: east-lowland", "weather: w.csv, latitude: 52", 1)
	}
	control := func(record string) float64 {
		var ms []*sim.Model
		for _, h := range []string{"herbicides: [{programme: autumn-residual-stack, days_after_drilling: 2}]", "herbicides: []"} {
			c := simtest.WithWeather(t, lib, plan(h), record)
			m, err := sim.New(c)
			if err != nil {
				t.Fatal(err)
			}
			ms = append(ms, m)
		}
		o := runModels(t, ms, ensemble.Options{Replicates: n, Seed: 11})
		return 1 - mean(o[0].Column(sim.Plants, 0))/mean(o[1].Column(sim.Plants, 0))
	}
	normal, dry := control(days(false)), control(days(true))
	t.Logf("stack, autumn normal %.3f, dry %.3f", normal, dry)
	got["dry_autumn"] = normal - dry
}

// lossOverHeads: loss by classes of heads and drilling dates, untreated and half treated, so
// that every class is met on every date; and by the curve alone at 3,000 heads.
func lossOverHeads(t *testing.T, n int, got map[string]float64) {
	classes := []struct {
		name     string
		from, to float64
	}{{"loss_25", 20, 31}, {"loss_100", 80, 125}, {"loss_500", 400, 625}, {"loss_1000", 800, 1250}}
	sum, byDate := map[string][]float64{}, map[string][]float64{}
	for _, d := range []string{"15 Sep", "25 Sep", "10 Oct", "20 Oct", "5 Nov"} {
		at := map[string][]float64{}
		for _, heads := range []string{"3", "20", "120", "700"} {
			o := run(t, n, nil, trial(t, "shallow-disc", "start: 2026-08-15, heads_per_m2: "+heads, sown("winter-wheat", d, "tine-drill", disc)))[0]
			loss := o.Column(sim.YieldLoss, 0)
			for r, h := range o.Column(sim.Heads, 0) {
				for _, c := range classes {
					if h >= c.from && h <= c.to && !math.IsNaN(loss[r]) {
						at[c.name] = append(at[c.name], loss[r])
					}
				}
			}
		}
		for _, c := range classes {
			if len(at[c.name]) >= 10 {
				m := mean(at[c.name])
				byDate[c.name] = append(byDate[c.name], m)
				sum[c.name] = append(sum[c.name], m)
				t.Logf("drilled %-6s %-9s %.3f (%d runs)", d, c.name, m, len(at[c.name]))
			}
		}
	}
	for _, c := range classes {
		got[c.name] = mean(sum[c.name])
	}
	lo, hi := math.Inf(1), 0.0
	for _, x := range byDate["loss_100"] {
		lo, hi = min(lo, x), max(hi, x)
	}
	got["loss_dates"] = hi - lo
	weed := simtest.Library(t).Find("weeds", "black-grass")
	p := stand.Params{LossPerHead: weed.Value("yield_loss_per_head").Central, MaxLoss: weed.Value("yield_loss_max").Central,
		PatchinessK: weed.Value("patchiness_k").Central}
	most := weed.Value("max_heads").Central
	uncrowded := 3000.0
	if most > 3000 {
		uncrowded = 3000 / (1 - 3000/most)
	}
	got["loss_3000"] = p.YieldLoss(uncrowded, 1)
}

// februaryHeads: heads of a plant of 1 February, at central values.
func februaryHeads(t *testing.T, _ int, got map[string]float64) {
	w := simtest.Library(t).Find("weeds", "black-grass")
	got["february_heads"] = w.Value("heads_per_plant").Central * w.Value("fecundity_february").Central
}

// A burn-off is drawn anew for every pass, so that a second one meets survivors of the first:
// of plants in March fewer are left after two than after one in every run, and the share that
// outlives one differs from run to run.
func TestBurnOffsAreDrawnForEachPass(t *testing.T) {
	season := func(sprays string) string {
		return trial(t, "shallow-disc", "start: 2026-08-15, heads_per_m2: 40", "  - crop: fallow\n    cultivate: []\n    spray_off: ["+sprays+"]\n")
	}
	w := []sim.Watch{{Day: date.Of(2027, 3, 20), What: sim.WatchPlants}, {Day: date.Of(2027, 3, 21), What: sim.WatchPlants},
		{Day: date.Of(2027, 3, 29), What: sim.WatchPlants}}
	o := run(t, 200, w, season("20 Mar, 1 Jun"), season("20 Mar, 28 Mar, 1 Jun"))
	lived, first := map[float64]bool{}, o[0].Watched(0)
	for r := range first {
		lived[math.Round(1000*o[0].Watched(1)[r]/first[r])] = true
		if one, two := o[0].Watched(2)[r], o[1].Watched(2)[r]; two >= one {
			t.Errorf("run %d: %.2f plants/m² after two burn-offs, %.2f after one", r, two, one)
		}
	}
	if len(lived) < 30 {
		t.Errorf("only %d shares outlive a burn-off in 200 runs: it is not drawn for each", len(lived))
	}
}

// Residual control is the same whatever weather the plan has: it is solved in one known place.
// A field of another soil and climate has the efficacy of the first, to the bit.
func TestControlIsSolvedInOnePlace(t *testing.T) {
	plan := trial(t, "shallow-disc", "start: 2026-08-15, heads_per_m2: 40", sown("winter-wheat", "25 Sep", "tine-drill", disc))
	plan = strings.Replace(plan, "herbicides: []", "herbicides: [{programme: autumn-residual-stack, days_after_drilling: 2}]", 1)
	here := model(t, plan)
	there := model(t, strings.NewReplacer("soil: clay", "soil: sandy-loam", "climate: east-lowland", "climate: west-maritime").Replace(plan))
	a, b := here.Efficacies(), there.Efficacies()
	if len(a) == 0 || !reflect.DeepEqual(a, b) {
		t.Errorf("logits %v in the east on clay, %v in the west on sandy loam", a, b)
	}
}
