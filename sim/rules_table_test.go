package sim_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
)

// ruleGaps are rows of testdata/published/rules.csv that this version does not reproduce.
var ruleGaps = map[string]bool{
	// 3.7 plants/m². A plant that stands in March costs 0.4 % of the yield here (ADAS in the trade press: 100 heads/m² 13 %, eight
	// heads to a plant); the source's 33 are a tenth of that if its product cost £15. Grain pays for a spray with 0.19 t here.
	"T1": true,
	// 0.25, flat from 0.06 to 0.5: the seed that a plant leaves costs more here than its yield does. The papers are not re-read.
	"T2": true,
	// 0.07, and 0.02 to 0.14 over the flat part.
	"T3": true,
	// 0.25, flat from 0.06 to 1: as for black-grass.
	"T4": true,
	// 0.19: half of the seasons are sprayed where the formula says 0.67. It is of a weed without memory; here what was left in the
	// soil two years ago comes up beside last year's seed, so that a sprayed year takes less of what is to come.
	"T6": true,
}

// TestRules measures what is published of thresholds, row by row of
// testdata/published/rules.csv, and shows the table in README.md.
func TestRules(t *testing.T) {
	if testing.Short() {
		t.Skip("thresholds take half a minute")
	}
	got := map[string]float64{}
	blackGrass := wheatOf("black-grass", "12 Oct", "autumn-residual-stack", "programme: spring-contact, date: 10 Mar")
	wildOat := wheatOf("wild-oat", "1 Nov", "residual-granule", "programme: contact-acc-cereals, date: 1 May")
	got["T1"] = oneSeason(t, blackGrass)
	got["T2"] = longTerm(t, blackGrass)
	got["T3"] = got["T2"] / got["T1"]
	got["T4"] = longTerm(t, wildOat)
	howOften(t, got)
	lib := simtest.Library(t)
	grain, spray := lib.Find("crops", "winter-wheat").Value("price").Central, lib.Find("herbicides", "spring-contact").Value("cost").Central
	t.Logf("a spray costs %.2f t of grain here (%.0f over %.0f); the source's pass and product at £6 and more over £70: 0.09 and more", spray/grain,
		spray, grain)
	table, _ := judged(t, "rules.csv", ruleGaps, got)
	t.Log("\n" + table)
	readmeBlock(t, "rules", table)
}

// wheatOf is winter wheat every year with one contact spray in March, as wanted: with the
// field, the heads at the start, what the spray hangs on and how many seasons to be filled in.
func wheatOf(weed, drill, residual, contact string) func(heads float64, spray string, seasons int) string {
	stack := "{programme: " + residual + ", days_after_drilling: 2}, "
	return func(heads float64, spray string, seasons int) string {
		if spray != "" {
			spray = "{" + contact + spray + "}"
		}
		herbicides := strings.TrimSuffix(stack+spray, ", ")
		return fmt.Sprintf(`field: {name: invented, area_ha: 10, soil: clay, climate: east-lowland}
weed: {species: %s, start: 2026-08-01, heads_per_m2: %v}
counting: {quadrats: all}
seasons:
  - crop: winter-wheat
    cultivate: [{date: 25 Aug, with: shallow-disc}]
    drill: {date: %s, with: tine-drill}
    herbicides: [%s]
repeat: %d
`, weed, heads, drill, herbicides, seasons)
	}
}

// byPlants is a spray that hangs on the plants nine days before: those of 1 March before 10 March.
func byPlants(threshold float64) string {
	return fmt.Sprintf(", if: {plants_per_m2: {above: %v}, seen_days_before: 9}", threshold)
}

// oneSeason is the density on 1 March, unsprayed, at which the spray earns what it costs in
// its season: between the densities of a ladder of starts, on the log scale.
func oneSeason(t *testing.T, plan func(float64, string, int) string) float64 {
	t.Helper()
	march := []sim.Watch{{Day: date.Of(2027, 3, 1), What: sim.WatchPlants}}
	last, lastGain := 0.0, 0.0
	for heads := 1.0; heads < 4000; heads *= 2 {
		models := []*sim.Model{model(t, plan(heads, "", 1)), model(t, plan(heads, " ", 1))}
		o := runModels(t, models, ensemble.Options{Replicates: 200, Seed: 11, Central: true, Watches: march})
		plants := mean(o[0].Watched(0))
		gain := mean(o[1].Column(sim.Margin, 0)) - mean(o[0].Column(sim.Margin, 0))
		t.Logf("%g heads before: %.2f plants on 1 March, spraying earns %.1f", heads, plants, gain)
		if gain > 0 && lastGain < 0 {
			return last * math.Pow(plants/last, -lastGain/(gain-lastGain))
		}
		last, lastGain = plants, gain
	}
	t.Errorf("no density pays for the spray in its season")
	return math.NaN()
}

// longTerm is the threshold with the highest mean margin of seasons 6 to 30.
func longTerm(t *testing.T, plan func(float64, string, int) string) float64 {
	t.Helper()
	const seasons, from = 30, 5
	for _, spray := range []string{"", " "} {
		o := runModels(t, []*sim.Model{model(t, plan(0.02, spray, 5))}, ensemble.Options{Replicates: 60, Seed: 11, Central: true})[0]
		growth := 0.0
		for k := range o.Replicates {
			growth += math.Log(o.Column(sim.SeedAfter, 4)[k]/math.Max(o.Column(sim.SeedAfter, 1)[k], 1e-9)) / 3 / float64(o.Replicates)
		}
		t.Logf("growth a year, sprayed %v: %.2f", spray != "", math.Exp(growth))
	}
	best, most := 0.0, math.Inf(-1)
	for x := 0.0625; x < 200; x *= 2 {
		o := runModels(t, []*sim.Model{model(t, plan(12, byPlants(x), seasons))}, ensemble.Options{Replicates: 40, Seed: 11, Central: true})[0]
		margin := 0.0
		for s := from; s < seasons; s++ {
			margin += mean(o.Column(sim.Margin, s)) / (seasons - from)
		}
		t.Logf("threshold %g: margin %.1f", x, margin)
		if margin > most {
			best, most = x, margin
		}
	}
	return best
}

// howOften is the share of seasons sprayed under thresholds of 1, 3 and 10 where the luck is
// frozen and nothing crowds.
func howOften(t *testing.T, got map[string]float64) {
	t.Helper()
	const settled = 10
	text := func(spray string) string {
		return `  - crop: winter-wheat
    cultivate: [{date: 25 Aug, with: shallow-disc}]
    spray_off: [{days_before_drilling: 1}]
    drill: {date: 12 Oct, latest: 31 Dec, with: tine-drill, seeds_per_m2: 250}
    herbicides: [{programme: autumn-residual-stack, days_after_drilling: 2}` + spray + "]\n"
	}
	growth := func(spray, start string) float64 {
		rec := limitOf(t, 100, "start: 2026-08-01, "+start, text(spray)+"repeat: 8\n").run(t)
		return math.Pow(rec[7][sim.SeedAfter]/rec[2][sim.SeedAfter], 1.0/5)
	}
	const sprayed = ", {programme: spring-contact, date: 10 Mar}"
	up, down := growth("", "heads_per_m2: 1"), growth(sprayed, "heads_per_m2: 3000")
	want := math.Log(up) / (math.Log(up) - math.Log(down))
	low, high, far := 1.0, 0.0, 0.0
	for _, x := range []float64{1, 3, 10} {
		l := limitOf(t, 100, "start: 2026-08-01, heads_per_m2: 5", text(", {programme: spring-contact, date: 10 Mar"+byPlants(x)+"}")+"repeat: 60\ncounting: "+
			"{quadrats: all}\n")
		share := l.sprayed(t, settled)
		t.Logf("threshold %g: sprayed in %.2f of the seasons; expected %.2f (growth %.2f unsprayed, %.3f sprayed)", x, share, want, up, down)
		low, high, far = math.Min(low, share), math.Max(high, share), math.Max(far, math.Abs(share-want))
	}
	got["T5"], got["T6"] = high-low, far
}

// sprayed is the share of seasons after the first few in which the contact spray was called for.
func (l *limit) sprayed(t *testing.T, from int) float64 {
	t.Helper()
	w, err := l.m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	sky, rec := l.m.NewSky(), l.m.NewRecord(0)
	rec.Work = l.m.NewFates()
	sky.Fill(l.m, 1, 0)
	if err := w.Run(sim.Replicate{Seed: 1, Streams: sim.StreamsOf(0), Theta: l.theta}, sky, nil, rec); err != nil {
		t.Fatal(err)
	}
	done, all := 0.0, 0.0
	for id, x := range l.m.Work() {
		s := l.m.Calendar().SeasonAt(x.At)
		if x.Is != sim.Operation || x.Season < from || s.Courses[x.Course].Operations[x.Index].If == nil {
			continue
		}
		if all++; rec.Work[id].Why == sim.Made {
			done++
		}
	}
	return done / all
}
