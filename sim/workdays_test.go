package sim_test

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/ensemble"
	"rundown/sim/testfile"
)

// workGaps are rows of testdata/published/work.csv that this version does not
// give, each with its figure. The test fails when one comes back into its range
// or moves by more than 0.02 unnoticed.
var workGaps = map[string]float64{
	// One fit day is enough, so what lets four in five crops of 20 October in lets in
	// nearly all of 1 October. Autumns that are wet as a whole would part the two;
	// records do not have enough of them (TestAutumnsHangTogetherAsInRecords).
	"fit_day_autumn": 0.99, "wheat_1_october": 0.983,
	// Two autumns of 400, on 3 October: rain reaches the subsoil of clay later than
	// that of clay loam, and a subsoil that is still dry bears.
	"order_of_soils": -0.005,
}

// workRuns is how many autumns a row is looked at over; the standard error of a
// share of 0.9 is 0.015.
const workRuns = 400

// bareAfterWheat is ground disced in August and left for spring barley.
func bareAfterWheat(soil, climate string) string {
	return fmt.Sprintf("field: {name: Bare, area_ha: 10, soil: %s, climate: %s}\nweed: {species: black-grass, start: 2026-08-15, heads_per_m2: 1, "+
		"trend: 1}\nseasons:\n"+
		"  - {crop: spring-barley, cultivate: [{date: 25 Aug, with: shallow-disc}], spray_off: [], drill: {date: 28 May, latest: 30 May}, herbicides: []}\n",
		soil, climate)
}

// plannedFor is winter wheat planned for a day, to be in by another.
func plannedFor(soil, climate, day, latest string) string {
	return fmt.Sprintf("field: {name: Wheat, area_ha: 10, soil: %s, climate: %s}\nweed: {species: black-grass, start: 2026-08-15, heads_per_m2: 1, "+
		"trend: 1}\nseasons:\n"+
		"  - {crop: winter-wheat, cultivate: [{date: 25 Aug, with: shallow-disc}], spray_off: [{days_before_drilling: 1}], drill: {date: %s, latest: %s, "+
		"with: tine-drill}, herbicides: []}\n",
		soil, climate, day, latest)
}

// inTime is the share of autumns in which the planned crop was drilled.
func inTime(t *testing.T, plan string) float64 {
	t.Helper()
	n := 0.0
	for _, c := range run(t, workRuns, nil, plan)[0].Column(sim.Course, 0) {
		if c == 0 {
			n++
		}
	}
	return n / workRuns
}

// anyDay is the share of runs in which one of some watches saw a fit day.
func anyDay(o *ensemble.Outcome, w []sim.Watch, from, to date.Day) float64 {
	n := 0.0
	for r := range o.Replicates {
		for k, x := range w {
			if x.Day >= from && x.Day <= to && o.Watched(k)[r] == 1 {
				n++
				break
			}
		}
	}
	return n / float64(o.Replicates)
}

// measureWork runs the protocols of testdata/published/work.csv.
func measureWork(t *testing.T) map[string]float64 {
	got := map[string]float64{}
	w := watchDaily(date.Of(2026, 9, 25), date.Of(2026, 11, 10), 1, sim.WatchWorkable)
	spring := watchDaily(date.Of(2027, 2, 1), date.Of(2027, 5, 27), 1, sim.WatchWorkable)
	o := run(t, workRuns, append(slices.Clone(w), spring...), bareAfterWheat("clay", "east-lowland"))[0]
	got["fit_day_autumn"] = anyDay(o, w, date.Of(2026, 9, 25), date.Of(2026, 11, 10))
	o = run(t, workRuns, spring, bareAfterWheat("clay", "east-lowland"))[0]
	first := firstWorkable(t, o, spring)
	got["first_spring_day"] = first[len(first)/2]
	t.Logf("first day in spring on clay: nine in ten from day %.0f to %.0f", bands.Quantile(first, 0.05), bands.Quantile(first, 0.95))
	got["wheat_1_october"] = inTime(t, plannedFor("clay", "east-lowland", "1 Oct", "15 Nov"))
	got["wheat_20_october"] = inTime(t, plannedFor("clay", "east-lowland", "20 Oct", "15 Nov"))
	got["order_of_soils"] = orderOfSoils(t)
	return got
}

// workSoils are soils of rising clay, the lightest first.
var workSoils = []string{"sand", "sandy-loam", "loam", "clay-loam", "clay"}

// orderOfSoils is the least lead of a lighter soil over the next heavier, in the
// share of years in which a date carries a drill. Every soil meets the same
// weather and has its central values.
func orderOfSoils(t *testing.T) float64 {
	w := watchDaily(date.Of(2026, 9, 1), date.Of(2027, 4, 28), 1, sim.WatchWorkable)
	central := ensemble.Options{Replicates: workRuns, Seed: 11, Watches: w, Central: true}
	var shares [][]float64
	for _, name := range workSoils {
		o := runModels(t, []*sim.Model{model(t, bareAfterWheat(name, "east-lowland"))}, central)[0]
		s := make([]float64, len(w))
		for k := range w {
			s[k] = mean(o.Watched(k))
		}
		shares = append(shares, s)
	}
	least, where := math.Inf(1), ""
	for i := 1; i < len(shares); i++ {
		for k := range w {
			if lead := shares[i-1][k] - shares[i][k]; lead < least {
				least, where = lead, fmt.Sprintf("%s over %s on %v", workSoils[i-1], workSoils[i], w[k].Day)
			}
		}
	}
	t.Logf("least lead %.4f, %s", least, where)
	return least
}

// TestDaysFitForWork holds the days fit for work against the rows of
// testdata/published/work.csv, written before this rule was run on them; what
// practice says, since nobody has published it. Seeds are fixed.
func TestDaysFitForWork(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	got := measureWork(t)
	table := "| what practice says | accepted | this version | verdict |\n|---|---|---|---|\n"
	for _, r := range testfile.Rows(t, "../testdata/published/work.csv")[1:] {
		name, low, high := r[0], bound(t, r[1], math.Inf(-1)), bound(t, r[2], math.Inf(1))
		x, ok := got[name]
		if !ok {
			t.Errorf("%s: not measured", name)
			continue
		}
		in := x >= low && x <= high
		gap, known := workGaps[name]
		t.Logf("%-18s %8.3f  accepted %g…%g  gap %v", name, x, low, high, known)
		verdict := map[bool]string{true: "in range", false: "**gap**"}[in]
		if in && r[6] == "yes" {
			verdict = "used to set a default; not counted"
		}
		o := outcome{low: low, high: high}
		table += fmt.Sprintf("| %s | %s | %.3g %s | %s |\n", r[5], o.accepted(), x, r[3], verdict)
		switch {
		case known && in:
			t.Errorf("%s is back in its range with %.3g: take it off the gaps", name, x)
		case known && math.Abs(x-gap) > 0.02:
			t.Errorf("%s, a gap of %.3g, is %.3g now: look again", name, gap, x)
		case !known && !in:
			t.Errorf("%s: %.3g, accepted %g…%g (%s)", name, x, low, high, r[5])
		}
	}
	readmeBlock(t, "work", table+"\n")
}

// bound is a bound of a row; none where the field is empty.
func bound(t *testing.T, text string, none float64) float64 {
	t.Helper()
	if text == "" {
		return none
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// Work on its day waits for nothing: a crop planned for a wet month is drilled on
// the day in every run, and no day is waited.
func TestWorkOnItsDay(t *testing.T) {
	plan := plannedFor("clay", "west-maritime", "10 Dec", "20 Dec")
	o := run(t, 50, nil, strings.Replace(plan, "climate: west-maritime", "climate: west-maritime, work: on-its-day", 1), plan)
	for r, on := range o[0].Column(sim.DrilledOn, 0) {
		if on != float64(date.Of(2026, time.December, 10)) || o[0].Column(sim.WaitedDays, 0)[r] != 0 {
			t.Fatalf("run %d: drilled on day %v, waited %v days", r, on, o[0].Column(sim.WaitedDays, 0)[r])
		}
	}
	if w := mean(o[1].Column(sim.WaitedDays, 0)); w < 1 {
		t.Errorf("the same plan waits only %.2f days for the ground: it shows nothing", w)
	}
}
