package main

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// comparedWith is what compare says of a plan against the first, worked out from the
// forecasts of both: a replicate meets the same luck in every command.
func comparedWith(first, other *table, area float64, end int) map[string]float64 {
	years := len(first.years)
	yearly := func(x *table) []float64 {
		out := make([]float64, len(x.number["margin_per_ha"][x.years[0]]))
		for _, y := range x.years {
			for k, m := range x.number["margin_per_ha"][y] {
				out[k] += m / float64(years)
			}
		}
		return out
	}
	a, b := yearly(first), yearly(other)
	seedA, seedB := first.number["seed_after_per_m2"][first.years[end]], other.number["seed_after_per_m2"][other.years[end]]
	last := first.years[years-1]
	return map[string]float64{"margin_difference_per_ha_year": average(b) - average(a), "margin_difference_field_year": area * (average(b) - average(a)),
		"cleaner_share": lessThan(seedB, seedA), "earns_more_share": lessThan(a, b), "seed_difference": middleOf(seedB, seedA),
		"heads_difference": middleOf(other.number["heads_per_m2"][last], first.number["heads_per_m2"][last])}
}

// middleOf is the median of differences, by the formula of Hyndman and Fan's type 8.
func middleOf(x, y []float64) float64 {
	var d []float64
	for k := range x {
		if !math.IsNaN(x[k] - y[k]) {
			d = append(d, x[k]-y[k])
		}
	}
	slices.Sort(d)
	h := (float64(len(d))+1.0/3)/2 + 1.0/3
	i := int(h)
	if i >= len(d) {
		return d[len(d)-1]
	}
	return d[i-1] + (h-float64(i))*(d[i]-d[i-1])
}

// compare holds what the forecasts of its plans hold.
func TestCompareAnswer(t *testing.T) {
	numbersAlone(t)
	head := fmt.Sprintf(knownHead, 9.0, "heads_per_m2: {low: 15, high: 60}")
	plans := map[string]string{
		"loose":  head + strings.Repeat(loose, 4),
		"spring": head + strings.Repeat(tight, 4),
		"turn":   head + loose + tight + loose + tight,
	}
	files := map[string]string{}
	for name, text := range plans {
		files[name+".yaml"] = text
	}
	inFolder(t, files)
	x := map[string]*table{}
	for name := range plans {
		if got := run(t, strings.Fields("forecast "+name+".yaml --replicates 60 --quiet --replicates-csv --out "+name)...); got.code != exitDone {
			t.Fatal(got.stderr)
		}
		x[name] = readReplicates(t, name+"/replicates.csv")
	}
	got := run(t, strings.Fields("compare loose.yaml spring.yaml turn.yaml --replicates 60 --json")...)
	a, _ := answerOf(t, got.stdout)
	for i, each := range a.Facts["plans"].([]any) {
		plan := each.(map[string]any)
		name := []string{"loose", "spring", "turn"}[i]
		if plan["name"] != name {
			t.Fatalf("plan %d is %v", i, plan["name"])
		}
		for key, want := range comparedWith(x["loose"], x[name], 9, 3) {
			if !near(plan[key].(float64), want) {
				t.Errorf("%s: %s is %v, want %v", name, key, plan[key], want)
			}
		}
	}
	cleanest, richest, least, most := "", "", math.Inf(1), math.Inf(-1)
	for name, p := range x {
		zero := make([]float64, 60)
		if seed := middleOf(p.number["seed_after_per_m2"][p.years[3]], zero); seed < least {
			cleanest, least = name, seed
		}
		sum := 0.0
		for _, y := range p.years {
			sum += average(p.number["margin_per_ha"][y])
		}
		if sum > most {
			richest, most = name, sum
		}
	}
	if a.Facts["cleanest"] != cleanest || a.Facts["most_profitable"] != richest || a.Verdict != map[bool]string{true: "one",
		false: "trade"}[cleanest == richest] {
		t.Errorf("%s: %v and %v; want %s and %s", a.Verdict, a.Facts["cleanest"], a.Facts["most_profitable"], cleanest, richest)
	}
}

// What the plans do differently besides what they are called is named, and what their
// names say is not.
func TestCompareNamesConfounders(t *testing.T) {
	head := fmt.Sprintf(knownHead, 9.0, "heads_per_m2: 40")
	const with, without = "  - {crop: spring-barley, cover: {mix: mustard, sow: 25 Sep, destroy: 1 Feb}, " +
		"spray_off: [10 Sep, 12 Mar], drill: {date: 20 Mar}}\n",
		"  - {crop: spring-barley, spray_off: [12 Mar], drill: {date: 20 Mar}}\n"
	inFolder(t, map[string]string{"with-cover.yaml": head + with, "without-cover.yaml": head + without, "early.yaml": head + loose,
		"late.yaml": head + strings.Replace(loose, "12 Sep", "12 Oct", 1)})
	got := run(t, strings.Fields("compare with-cover.yaml without-cover.yaml --replicates 40 --brief")...)
	text := strings.Join(strings.Fields(got.stdout), " ")
	if !strings.Contains(text, "Besides what their names say") || !strings.Contains(text, "burn-off in spring barley") || strings.Contains(text, "mustard") {
		t.Errorf("one spray more comes with the cover: %s", text)
	}
	got = run(t, strings.Fields("compare early.yaml late.yaml --replicates 40 --brief")...)
	if text := strings.Join(strings.Fields(got.stdout), " "); strings.Contains(text, "drilled") || strings.Contains(text, "burn-off") {
		t.Errorf("the plans differ in the date that their names say: %s", text)
	}
}

// drilling and compare say the same of two dates, to the last digit: the plans of the dates
// as drilling writes them, and, where nothing else moves, plans that differ in the date alone.
func TestDrillingAgreesWithCompare(t *testing.T) {
	simtest.Stage(t, "answers")
	numbersAlone(t)
	head := fmt.Sprintf(knownHead, 9.0, "heads_per_m2: {low: 15, high: 60}")
	const wheat = "  - {crop: winter-wheat, cultivate: [{date: 25 Aug, with: shallow-disc}], spray_off: [8 Sep, {days_before_drilling: 3}], " +
		"drill: {date: 25 Sep, latest: 10 Nov}, otherwise: spring-barley}\n"
	text := head + strings.Repeat(wheat, 2) + tight
	inFolder(t, map[string]string{"plan.yaml": text, "later.yaml": strings.ReplaceAll(text, "25 Sep, latest", "15 Oct, latest")})
	against := func(args string) map[string]map[string]any {
		got := run(t, strings.Fields("drilling plan.yaml --from 2026-09-25 --to 2026-11-14 --every 10d --replicates 60 --json "+args)...)
		if got.code != exitDone {
			t.Fatal(got.stderr)
		}
		_, all := answerOf(t, got.stdout)
		out := map[string]map[string]any{}
		for _, d := range all["dates"].([]any) {
			date := d.(map[string]any)
			out[date["date"].(string)] = date["against_planned"].(map[string]any)
		}
		return out
	}
	compared := func(a, b string) map[string]any {
		got := run(t, "compare", a, b, "--replicates", "60", "--json")
		if got.code != exitDone {
			t.Fatal(got.stderr)
		}
		answer, _ := answerOf(t, got.stdout)
		return answer.Facts["plans"].([]any)[1].(map[string]any)
	}
	same := func(what string, a, b map[string]any) {
		for key, x := range a {
			if b[key] != x {
				t.Errorf("%s: %s is %v by drilling, %v by compare", what, key, x, b[key])
			}
		}
	}
	along := against("--out out")
	for _, day := range []string{"2026-10-05", "2026-11-14"} { // the second is beyond the latest day
		same(day, along[day], compared("out/plan-2026-09-25.yaml", "out/plan-"+day+".yaml"))
	}
	same("the date alone", against("--move none")["2026-10-15"], compared("plan.yaml", "later.yaml"))
	if fmt.Sprint(along["2026-09-25"]) != "map[cleaner_share:0.5 earns_more_share:0.5 heads_difference:0 margin_difference_field_year:0 "+
		"margin_difference_per_ha_year:0 seed_difference:0]" {
		t.Errorf("the planned date against itself: %v", along["2026-09-25"])
	}
}

// The answer of a sweep, worked out from the forecasts of the plans that it writes.
func TestDrillingAnswer(t *testing.T) {
	inFull(t)
	simtest.NotRacing(t)
	numbersAlone(t)
	head := fmt.Sprintf(knownHead, 9.0, "heads_per_m2: {low: 15, high: 60}")
	const wheat = "  - {crop: winter-wheat, drill: {date: 15 Sep, latest: 25 Oct}, otherwise: spring-barley}\n"
	inFolder(t, map[string]string{"plan.yaml": head + strings.Repeat(wheat, 3)})
	got := run(t, strings.Fields("drilling plan.yaml --from 2026-09-15 --to 2026-11-04 --every 10d --replicates 80 --goes-in 70 --json --out out")...)
	if got.code != exitDone {
		t.Fatal(got.stderr)
	}
	a, all := answerOf(t, got.stdout)
	planned := forecastOf(t, "out/plan-2026-09-15.yaml", 80)
	best, most := "", math.Inf(-1)
	for _, d := range all["dates"].([]any) {
		day := d.(map[string]any)["date"].(string)
		x := forecastOf(t, "out/plan-"+day+".yaml", 80)
		in, margin := 0.0, 0.0
		for _, y := range x.years {
			margin += average(x.number["margin_per_ha"][y])
			for _, crop := range x.text["crop"][y] {
				if crop == "winter-wheat" {
					in += 1 / float64(80*len(x.years))
				}
			}
		}
		if have := d.(map[string]any)["goes_in_share"].(float64); !near(have, in) {
			t.Errorf("%s goes in in %v, want %v", day, have, in)
		}
		if d.(map[string]any)["own_latest_day"] != (day > "2026-10-25") {
			t.Errorf("%s has a latest day of its own: %v", day, d.(map[string]any)["own_latest_day"])
		}
		if in >= 0.7-1e-9 && margin > most {
			best, most = day, margin
		}
	}
	if a.Facts["planned"] != "2026-09-15" || a.Facts["best"] != best {
		t.Fatalf("best %v, want %s", a.Facts["best"], best)
	}
	x := forecastOf(t, "out/plan-"+best+".yaml", 80)
	var ratios []float64
	for k := range 80 {
		sum := [2]float64{}
		for _, y := range x.years {
			sum[0] += planned.number["heads_per_m2"][y][k]
			sum[1] += x.number["heads_per_m2"][y][k]
		}
		ratios = append(ratios, sum[1]/sum[0])
	}
	first := planned.years[0]
	for key, want := range map[string]float64{"heads_ratio": middleOf(ratios, make([]float64, 80)),
		"margin_difference_per_ha_year": comparedWith(planned, x, 9, 2)["margin_difference_per_ha_year"],
		"margin_difference_this_season": average(x.number["margin_per_ha"][first]) - average(planned.number["margin_per_ha"][first])} {
		if !near(a.Facts[key].(float64), want) {
			t.Errorf("%s is %v, want %v", key, a.Facts[key], want)
		}
	}
}

func forecastOf(t *testing.T, plan string, runs int) *table {
	t.Helper()
	if got := run(t, "forecast", plan, "--replicates", fmt.Sprint(runs), "--quiet", "--replicates-csv", "--out", "of"); got.code != exitDone {
		t.Fatal(got.stderr)
	}
	return readReplicates(t, "of/replicates.csv")
}

// What update says of the way to go is what the histories that it keeps have: from the
// June last counted to the plan's end.
func TestUpdateAnswer(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	simtest.NotRacing(t)
	numbersAlone(t)
	copyExamples(t, "counted-field.yaml", "counted-field.csv")
	shareRuns(t)
	got := run(t, strings.Fields("update counted-field.yaml counted-field.csv --replicates 40 --posterior past.json --json --quiet")...)
	if got.code != exitDone {
		t.Fatal(got.stderr)
	}
	a, all := answerOf(t, got.stdout)
	if got := run(t, strings.Fields("forecast counted-field.yaml --posterior past.json --replicates-csv --out out --quiet")...); got.code != exitDone {
		t.Fatal(got.stderr)
	}
	x := readReplicates(t, "out/replicates.csv")
	before, after := x.number["seed_after_per_m2"]["2029"], x.number["seed_after_per_m2"]["2032"]
	if want := lessThan(after, before); !near(a.Facts["ends_lower_share"].(float64), want) {
		t.Errorf("ends lower in %v, want %v", a.Facts["ends_lower_share"], want)
	}
	if word := wordFor(lessThan(after, before), 40); !strings.Contains(strings.Join(a.Sentences, " "), verdictWords[word]) {
		t.Errorf("%q: %v", word, a.Sentences)
	}
	counted := all["counted"].([]any)
	last := counted[len(counted)-1].(map[string]any)
	for key, band := range map[string]string{"now_per_m2": "after", "before_per_m2": "before"} {
		if want := last[band].(map[string]any)["p50"]; a.Facts[key] != want {
			t.Errorf("%s is %v, want %v", key, a.Facts[key], want)
		}
	}
	withinLines(t, 32, "update counted-field.yaml counted-field.csv --replicates 40")
}

// drivers names the inputs with the largest totals, in order.
func TestDriversAnswer(t *testing.T) {
	inFull(t)
	simtest.NotRacing(t)
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	shareRuns(t)
	got := run(t, strings.Fields("drivers plan.yaml --replicates 16 --json --quiet")...)
	a, all := answerOf(t, got.stdout)
	var paths []any
	for _, each := range all["inputs"].([]any)[:3] {
		paths = append(paths, each.(map[string]any)["name"])
	}
	if fmt.Sprint(a.Facts["first"]) != fmt.Sprint(paths) {
		t.Errorf("first %v, want %v", a.Facts["first"], paths)
	}
	for k, total := range a.Facts["totals"].([]any) {
		if k > 0 && total.(float64) > a.Facts["totals"].([]any)[k-1].(float64) {
			t.Errorf("totals rise: %v", a.Facts["totals"])
		}
	}
	withinLines(t, 36, "drivers plan.yaml --replicates 16 --quiet")
}

// Of quadrats that differ it is said that they do.
func TestCountsAnswer(t *testing.T) {
	rows := "date,zone,kind,quadrat_m2,count\n"
	for i := range 20 {
		rows += fmt.Sprintf("2027-04-12,left,plants,0.25,%d\n2027-04-12,right,plants,0.25,%d\n", 30+i%5, i%3)
	}
	inFolder(t, map[string]string{"counts.csv": rows})
	for args, want := range map[string]string{"counts counts.csv": "counted", "counts counts.csv --compare zone": "differ"} {
		a, _ := answerOf(t, run(t, strings.Fields(args+" --json")...).stdout)
		if a.Verdict != want || (a.Facts["sides_differ"] == true) != (want == "differ") {
			t.Errorf("%s: %s, %v", args, a.Verdict, a.Facts["sides_differ"])
		}
	}
}

func withinLines(t *testing.T, lines int, args string) {
	t.Helper()
	t.Setenv("COLUMNS", "100")
	if got := run(t, strings.Fields(args)...); got.code != exitDone || strings.Count(got.stdout, "\n") > lines {
		t.Errorf("%s: exit %d, more than %d lines\n%s", args, got.code, lines, got.stdout)
	}
}

func copyExamples(t *testing.T, names ...string) {
	t.Helper()
	files := map[string]string{}
	for _, name := range names {
		text, err := os.ReadFile("../../examples/" + name)
		if err != nil {
			t.Fatal(err)
		}
		files[name] = string(text)
	}
	inFolder(t, files)
}
