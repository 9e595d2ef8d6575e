package sim_test

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"rundown/params"
	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/herbicide"
	"rundown/sim/simtest"
	"rundown/sim/testfile"
)

// active is a row of testdata/published/actives.csv, written before the model had
// any difference between weeds.
type active struct {
	figure, weed, published, unit, source, protocol string
	low, high                                       float64
	set                                             bool
}

func actives(t *testing.T) (all []active) {
	t.Helper()
	rows := testfile.Rows(t, "../testdata/published/actives.csv")
	for _, r := range rows[1:] {
		low, err := strconv.ParseFloat(r[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		high, err := strconv.ParseFloat(r[4], 64)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, active{figure: r[0], weed: r[1], published: r[2], low: low, high: high, unit: r[5], set: r[6] == "yes", source: r[7], protocol: r[8]})
	}
	return all
}

// TestActives measures every row: what a herbicide does to each weed. Seeds are fixed;
// a fall in plants over 200 paired runs has a standard error of one to two per cent.
func TestActives(t *testing.T) {
	if testing.Short() {
		t.Skip("herbicides on four weeds take some seconds")
	}
	got := measureActives(t, 200)
	table := "| weed | figure | said | accepted | this version | verdict |\n|---|---|---|---|---|---|\n"
	for _, r := range actives(t) {
		x, ok := got[r.weed+" "+r.figure]
		verdict := "in range"
		switch {
		case !ok:
			t.Errorf("%s %s: not measured", r.weed, r.figure)
		case x < r.low || x > r.high:
			verdict = "**fails**"
			t.Errorf("%s %s: %.3g, accepted %.3g…%.3g (%s)", r.weed, r.figure, x, r.low, r.high, r.source)
		case r.set:
			verdict = "used to set a default; not counted"
		}
		said := r.published
		if said == "" {
			said = "–"
		}
		table += fmt.Sprintf("| %s | %s: %s | %s | %.2f…%.2f | %.2f %s | %s |\n", r.weed, r.figure, r.protocol, said, r.low, r.high, x, r.unit, verdict)
	}
	t.Log("\n" + table)
	readmeBlock(t, "actives", table)
}

// sprayed is a season with some herbicides, sprayed on their day as trials are: heads enough to count and few enough not to crowd.
func sprayed(weed, crop, cultivate, drill, herbicides string) string {
	return fmt.Sprintf("field: {name: Actives, area_ha: 10, soil: clay-loam, climate: east-lowland, work: on-its-day}\nweed: {species: %s, start: "+
		"2026-08-01, heads_per_m2: 5, trend: 1}\nseasons:\n"+
		"  - crop: %s\n    cultivate: [%s]\n    spray_off: [{days_before_drilling: 1}]\n    drill: {%s, with: tine-drill}\n    herbicides: [%s]\n", weed,
		crop, cultivate, drill, herbicides)
}

// controls are the mean falls in plants on some days by each list of herbicides.
func controls(t *testing.T, n int, weed, crop, cultivate, drill string, days []date.Day, herbicides ...string) [][]float64 {
	t.Helper()
	var w []sim.Watch
	for _, d := range days {
		w = append(w, sim.Watch{Day: d, What: sim.WatchPlants})
	}
	plans := []string{sprayed(weed, crop, cultivate, drill, "")}
	for _, h := range herbicides {
		plans = append(plans, sprayed(weed, crop, cultivate, drill, h))
	}
	o := run(t, n, w, plans...)
	out := make([][]float64, len(herbicides))
	for i := range herbicides {
		for k := range days {
			out[i] = append(out[i], 1-mean(o[i+1].Watched(k))/mean(o[0].Watched(k)))
		}
	}
	return out
}

const (
	discedAugust = "{date: 25 Aug, with: shallow-disc}"
	wheatDrill   = "date: 29 Sep, latest: 10 Nov, seeds_per_m2: 350"
	stackSpray   = "{programme: autumn-residual-stack, days_after_drilling: 2}"
)

func measureActives(t *testing.T, n int) map[string]float64 {
	got := map[string]float64{}
	december, april := date.Of(2026, 12, 15), date.Of(2027, 4, 20)
	for _, weed := range weedKinds {
		c := controls(t, n, weed, "winter-wheat", discedAugust, wheatDrill, []date.Day{december, april}, stackSpray)[0]
		got[weed+" stack_december"], got[weed+" stack_april"] = c[0], c[1]
		got[weed+" stack_against_black-grass"] = c[0] / got["black-grass stack_december"]
		t.Logf("%s: the stack takes %.2f in December, %.2f by 20 April", weed, c[0], c[1])
	}
	may := []date.Day{date.Of(2027, 5, 20)}
	c := controls(t, n, "wild-oat", "spring-barley", discedAugust, "date: 10 Mar, latest: 20 Apr, seeds_per_m2: 400", may,
		"{programme: residual-granule, days_after_drilling: 2}", "{programme: contact-acc-cereals, date: 5 May}")
	got["wild-oat granule_spring"], got["wild-oat acc_cereals_spring"] = c[0][0], c[1][0]
	february := []date.Day{date.Of(2027, 2, 15)}
	benzamide := "{programme: rape-residual, date: 5 Nov, latest: 31 Jan}"
	c = controls(t, n, "black-grass", "winter-oilseed-rape", "{date: 10 Aug, with: tine-10}", "date: 22 Aug, latest: 10 Sep, seeds_per_m2: 60", february,
		benzamide, "{programme: contact-acc, date: 1 Oct}, "+benzamide)
	got["black-grass rape_alone"], got["black-grass rape_with_acc"] = c[0][0], c[1][0]
	got["black-grass rape_over_stack"] = c[1][0] / got["black-grass stack_december"]
	return got
}

// The library and the engine agree on how many residual actives a programme may hold.
func TestMostResiduals(t *testing.T) {
	if params.MostResiduals != herbicide.MaxActives {
		t.Errorf("the library allows %d residual actives in a programme, the engine %d", params.MostResiduals, herbicide.MaxActives)
	}
}

// A residual is as strong in a plan with wild-oat as in one with black-grass: what its
// published control says is of black-grass, whatever weed the field has.
func TestEfficacyIsNotThePlansWeeds(t *testing.T) {
	solved := func(weed string) [][]float64 {
		return simtest.Model(t, sprayed(weed, "winter-wheat", discedAugust, wheatDrill, stackSpray)).Efficacies()
	}
	want := solved("black-grass")
	for _, weed := range weedKinds[1:] {
		if got := solved(weed); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: efficacies %v; in black-grass %v", weed, got, want)
		}
	}
}

// Twelve programmes in a season all act, each on what the others leave: nothing is
// dropped without a word. Each takes at least a fiftieth of what is left; one that is dropped takes none.
func TestNoProgrammeIsDropped(t *testing.T) {
	var sprays []string
	var falls []float64
	for k := range 12 {
		sprays = append(sprays, fmt.Sprintf("{programme: spring-residual, days_after_drilling: %d}", 2+k/4))
		if k >= 7 {
			c := controls(t, 40, "black-grass", "winter-wheat", discedAugust, wheatDrill, []date.Day{date.Of(2026, 12, 15)}, strings.Join(sprays, ", "))
			falls = append(falls, c[0][0])
		}
	}
	for k := range falls[1:] {
		if left := (1 - falls[k+1]) / (1 - falls[k]); left > 0.98 {
			t.Errorf("programme %d leaves %.3f of what the others leave", k+9, left)
		}
	}
	t.Logf("falls in plants with 8 to 12 programmes: %.4f", falls)
}

// A burn-off kills the cover that it meets, though the plan has another day for that:
// it drinks no more, so the soil is to the last bit as under a cover destroyed on that
// day. At most ten of 100 years may differ, in which the spray waited longer than it may.
func TestBurnOffKillsACover(t *testing.T) {
	season := func(cover, sprays string) string {
		return "field: {name: Cover, area_ha: 10, soil: sandy-loam, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, " +
			"heads_per_m2: 40, trend: 1}\nseasons:\n" +
			"  - {crop: spring-barley, cover: {mix: oats-legumes, sow: 20 Aug, " + cover + "}, cultivate: [], spray_off: [" + sprays + "], herbicides: []}\n"
	}
	days := watchDaily(date.Of(2026, 12, 1), date.Of(2027, 3, 10), 10, sim.WatchTopWater, sim.WatchLowerWater)
	o := run(t, 100, days, season("destroy: 15 Mar", ""), season("destroy: 15 Mar", "1 Nov"), season("destroy: 1 Nov", ""))
	alike := func(a, b int) (n int) {
		for r := range o[a].Replicates {
			same := 1
			for k := range days {
				if o[a].Watched(k)[r] != o[b].Watched(k)[r] {
					same = 0
				}
			}
			n += same
		}
		return n
	}
	sprayed, alone := alike(1, 2), alike(0, 1)
	t.Logf("of 100 runs the soil is from December on as under a cover destroyed in November in %d, as under one left alone in %d", sprayed, alone)
	if sprayed < 90 || alone > 10 {
		t.Errorf("sprayed off in November, the soil is as under a cover destroyed then in %d of 100 runs, as under one left alone in %d", sprayed, alone)
	}
}
