package sim_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/testfile"
)

// weedGaps are figures of testdata/published/weeds.csv that the defaults do not
// give, each with the figure measured when it was written down. The test fails
// when one comes back into its range or moves by more than a tenth unnoticed.
var weedGaps = map[string]float64{
	// The source is of continental springs, where all comes up at once; the UK
	// monthly course, recalled, takes nine weeks, as here. In the climate of New
	// York the model gives 7 weeks in the single year.
	"wild-oat spring_weeks": 9.5,
	// Canadian crops are cut at maturity in another calendar; the UK values, which
	// are recalled, contradict it.
	"wild-oat shed_spring_wheat": 0.83,
	// The crop's factor on heads is one for all weeds, set on black-grass; the
	// source is one trial. (0.50 while thin-sown hybrids were taken for thin wheat.)
	"italian-rye-grass hybrid_barley_heads": 0.42,
	// Plants were netted one by one and perhaps chosen large; here all that stand
	// on 10 June are counted, late ones too.
	"black-grass seeds_per_netted_plant": 377,
	// Plants of spring are counted too and bear next to nothing (a published fecundity of 0.03 for 0.05), and what a seed
	// returns a year holds the rest down: more heads a plant hardly raise it. The source is an average of plants somewhere.
	"sterile-brome seeds_per_plant": 194,
}

// weedKinds are the weeds of the library.
var weedKinds = []string{"black-grass", "italian-rye-grass", "wild-oat", "sterile-brome"}

// TestWeeds measures every figure of testdata/published/weeds.csv, which names
// the source of each, whether it was used to set a default, and the protocol.
// The bands are the ranges of the sources; where a source gives one figure, the
// range judged plausible when the default was set, or else a factor of two. Figures used to set a default are checked
// too (a default must give back what it was set from) but are no validation.
// Seeds are fixed; means over 100 replicates, half or a quarter of them for banks and
// four times as many for plants, have standard errors of a few per cent. The table is
// shown in README.md.
func TestWeeds(t *testing.T) {
	if testing.Short() {
		t.Skip("the weeds' figures take some seconds")
	}
	got := measureWeeds(t, 100)
	free, set, gaps := 0, 0, 0
	table := "| weed | figure | published | accepted | this version | verdict |\n|---|---|---|---|---|---|\n"
	for _, r := range weedRows(t) {
		name := r.weed + " " + r.figure
		x, ok := got[name]
		if !ok {
			t.Errorf("%s: not measured", name)
			continue
		}
		in := x >= r.low && x <= r.high
		gap, known := weedGaps[name]
		verdict := "in range"
		switch {
		case known && in:
			t.Errorf("%s is back in its range with %.3g: take it off the gaps", name, x)
		case known && math.Abs(x/gap-1) > 0.1:
			t.Errorf("%s, a gap of %.3g, is %.3g now: look again", name, gap, x)
		case known:
			verdict, gaps = "**gap**", gaps+1
		case !in:
			verdict = "**fails**"
			t.Errorf("%s: %.4g, accepted %.3g…%.3g (%s)", name, x, r.low, r.high, r.source)
		case r.set:
			verdict, set = "used to set a default; not counted", set+1
		default:
			free++
		}
		t.Logf("%-48s %8.3f  published %-10s %s", name, x, r.published, verdict)
		table += fmt.Sprintf("| %s | %s: %s | %s | %s | %.2g %s | %s |\n", r.weed, r.figure, r.protocol, r.published, r.accepted(), x, r.unit, verdict)
	}
	readmeBlock(t, "weeds", table)
	t.Logf("%d figures not used to set a default in range, %d used, %d gaps", free, set, gaps)
}

type weedRow struct {
	weed, figure, published, source string
	unit, protocol                  string
	low, high                       float64
	set                             bool
}

// accepted is the range in words.
func (r *weedRow) accepted() string {
	switch {
	case math.IsInf(r.high, 1):
		return fmt.Sprintf("at least %g", r.low)
	case r.low == r.high:
		return fmt.Sprint(r.low)
	}
	return fmt.Sprintf("%g…%g", r.low, r.high)
}

func weedRows(t *testing.T) (all []weedRow) {
	t.Helper()
	rows := testfile.Rows(t, "../testdata/published/weeds.csv")
	var err error
	for _, r := range rows[1:] {
		x := weedRow{weed: r[0], figure: r[1], published: r[2], source: r[7], unit: r[5], protocol: r[8], set: r[6] == "yes"}
		if x.low, err = strconv.ParseFloat(r[3], 64); err != nil {
			t.Fatal(err)
		}
		x.high = math.Inf(1)
		if r[4] != "" {
			if x.high, err = strconv.ParseFloat(r[4], 64); err != nil {
				t.Fatal(err)
			}
		}
		all = append(all, x)
	}
	return all
}

// unharmed is a library in which trials are sown on their date, a spray kills
// all that is green, so that a bank can be watched without a rain of seed, and
// all that is unshed at harvest leaves with the grain where that is asked.
func unharmed(t testing.TB, weed string, reaped bool) string {
	t.Helper()
	dir := t.TempDir()
	files := map[string]string{"herbicides/spray-off.yaml": "name: spray-off\nvalues:\n" +
		whole("kill_below_one_leaf", 1) + whole("kill_two_leaves_to_six_tillers", 1) + whole("kill_beyond_six_tillers", 1)}
	if reaped {
		files["weeds/"+weed+".yaml"] = "name: " + weed + "\nvalues:\n" + whole("carried_off_with_grain", 1)
	}
	for name, text := range files {
		file := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func whole(key string, x float64) string {
	return fmt.Sprintf("  %s: {value: %g, spread: fixed, grade: assumed, source: \"assumed: a trial\"}\n", key, x)
}

// plot is a trial of a weed, with a library of its own or "" for none. start is what stands under weed: besides species.
func plot(lib, weed, start, seasons string) string {
	if lib != "" {
		lib = "library: " + lib + "\n"
	}
	return fmt.Sprintf("%sfield: {name: Trial, area_ha: 1, soil: clay, climate: east-lowland, history: shallow-disc, work: on-its-day}\nweed: "+
		"{species: %s, %s}\nseasons:\n%s",
		lib, weed, start, seasons)
}

// measureWeeds runs the protocols on every weed.
func measureWeeds(t *testing.T, n int) map[string]float64 {
	got := map[string]float64{}
	var half, unshed [2][]float64 // of black-grass and rye-grass, by replicate
	for i, weed := range weedKinds {
		put := func(figure string, x float64) { got[weed+" "+figure] = x }
		days := weedCalendar(t, n, weed, put)
		late := weedShedding(t, n, weed, put)
		if i < 2 {
			half[i], unshed[i] = days, late
		}
		weedBank(t, n/2, weed, put)
		weedBurial(t, n/2, weed, put)
		weedDepth(t, n/4, weed, put)
		weedPlants(t, 4*n, weed, put)
		weedCeiling(t, n, weed, put)
		weedGrowth(t, 4*n, weed, put)
	}
	got["italian-rye-grass before_black-grass"] = share(half[1], half[0])
	got["italian-rye-grass sheds_after_black-grass"] = share(unshed[0], unshed[1])
	return got
}

// share is how often a is under b, in pairs.
func share(a, b []float64) float64 {
	k := 0
	for i := range a {
		if a[i] < b[i] {
			k++
		}
	}
	return float64(k) / float64(len(a))
}

// weedCalendar watches emergence through a year of wheat at a steady rain of
// seed, and gives the day by which half of what follows drilling is up.
func weedCalendar(t *testing.T, n int, weed string, put func(string, float64)) (half []float64) {
	var days []date.Day
	for d := date.Of(2026, 9, 25); d <= date.Of(2027, 6, 29); d += 7 {
		days = append(days, d)
	}
	days = append(days, date.Of(2027, 6, 29))
	var w []sim.Watch
	for _, d := range days {
		w = append(w, sim.Watch{Day: d, What: sim.WatchEmerged})
	}
	o := run(t, n, w, plot("", weed, "start: 2026-08-01, heads_per_m2: 20, trend: 1", sown("winter-wheat", "25 Sep", "tine-drill", disc)))[0]
	means := make([]float64, len(days))
	for i := range days {
		means[i] = mean(o.Watched(i))
	}
	all := means[len(means)-1]
	put("autumn_share", at(days, means, date.Of(2026, 12, 31))/all)
	spring := at(days, means, date.Of(2027, 2, 1))
	reach := func(x float64) float64 { return when(days, means, spring+x*(all-spring)) }
	put("spring_weeks", (reach(0.9)-reach(0.1))/7)
	put("median_spring_day", reach(0.5)-float64(date.Of(2026, 12, 31)))
	for r := range n {
		x := make([]float64, len(days))
		for i := range days {
			x[i] = o.Watched(i)[r]
		}
		half = append(half, when(days, x, (x[0]+x[len(x)-1])/2))
	}
	return half
}

// at reads a course on a day, by straight lines.
func at(days []date.Day, x []float64, d date.Day) float64 {
	for i := 1; i < len(days); i++ {
		if days[i] >= d {
			return x[i-1] + (x[i]-x[i-1])*float64(d-days[i-1])/float64(days[i]-days[i-1])
		}
	}
	return x[len(x)-1]
}

// when is the day on which a rising course reaches a height.
func when(days []date.Day, x []float64, height float64) float64 {
	for i := 1; i < len(x); i++ {
		if x[i] >= height && x[i] > x[i-1] {
			return float64(days[i-1]) + float64(days[i]-days[i-1])*(height-x[i-1])/(x[i]-x[i-1])
		}
	}
	return float64(days[len(days)-1])
}

// weedShedding finds the share shed before harvest from what leaves with the
// grain when all of the unshed does (of less, what is cut green would count twice), and gives
// the unshed share in wheat.
func weedShedding(t *testing.T, n int, weed string, put func(string, float64)) (unshed []float64) {
	const start = "start: 2026-08-01, heads_per_m2: 20, trend: 1"
	lib := unharmed(t, weed, true)
	for crop, drill := range map[string]string{"winter-wheat": "25 Sep", "winter-barley": "25 Sep", "spring-barley": "15 Mar", "spring-wheat": "15 Mar"} {
		if weed != "wild-oat" && drill == "15 Mar" {
			continue
		}
		o := run(t, n, nil, plot(lib, weed, start, sown(crop, drill, "tine-drill", disc)))[0]
		left := mean(o.Column(sim.LedgerCarriedOff, 0)) / mean(o.Column(sim.LedgerShed, 0))
		put("shed_"+strings.ReplaceAll(crop, "-", "_"), 1-left)
		if crop == "winter-wheat" {
			for i, x := range o.Column(sim.LedgerCarriedOff, 0) {
				unshed = append(unshed, x/o.Column(sim.LedgerShed, 0)[i])
			}
		}
	}
	return unshed
}

// weedBank is a cultivated bank without a rain of seed.
func weedBank(t *testing.T, n int, weed string, put func(string, float64)) {
	fallow := "  - crop: fallow\n    cultivate: [{date: 25 Aug, with: shallow-disc}, {date: 15 Mar, with: shallow-disc}]\n    spray_off: [10 Apr, 5 " +
		"May, 20 May, 30 May]\n"
	start := "start: 2026-07-02, seedbank_per_m2: {surface: 50, 0-5: 500, 5-10: 300, 10-15: 100, 15-20: 50}"
	o := run(t, n, nil, plot(unharmed(t, weed, false), weed, start, fallow))[0]
	put("bank_loss_year1", 1-mean(o.Column(sim.SeedbankJune, 0))/mean(o.Column(sim.LedgerStart, 0)))
}

// weedBurial ploughs fresh seed in and leaves it.
func weedBurial(t *testing.T, n int, weed string, put func(string, float64)) {
	const seed = 2000.0
	start := fmt.Sprintf("start: 2026-08-01, seedbank_per_m2: {surface: 0, fresh: %g}", seed)
	buried := date.Of(2026, 8, 5)
	left := func(stir string, seasons int, after ...date.Day) []float64 {
		var w []sim.Watch
		for _, d := range after {
			w = append(w, sim.Watch{Day: buried + d, What: sim.WatchSeeds})
		}
		plough, plain := "{date: 5 Aug, with: plough, quality: good}", ""
		text := fmt.Sprintf("  - crop: fallow\n    cultivate: [%s%s]\n    spray_off: [10 Dec, 1 Mar, 10 Apr, 5 May, 20 May, 10 Jun]\n", plough, stir)
		for range seasons - 1 {
			plain += "  - crop: fallow\n    cultivate: []\n    spray_off: [10 Dec, 1 Mar, 10 Apr, 5 May, 20 May, 10 Jun]\n"
		}
		o := run(t, n, append([]sim.Watch{{Day: buried, What: sim.WatchSeeds}}, w...), plot(unharmed(t, weed, false), weed, start, text+plain))[0]
		var shares []float64
		for i := range after {
			shares = append(shares, mean(o.Watched(i+1))/mean(o.Watched(0)))
		}
		return shares
	}
	x := left("", 4, 365, 540, 3*365)
	put("buried_left_12_months", x[0])
	put("buried_left_540_days", x[1])
	put("buried_left_3_years", x[2])
	if weed == "sterile-brome" {
		put("buried_left_12_months_disturbed", left(", {date: 15 Mar, with: tine-10}", 2, 365)[0])
	}
}

// weedDepth lays old seed in one layer and counts what comes up in a year.
func weedDepth(t *testing.T, n int, weed string, put func(string, float64)) {
	fallow := "  - crop: fallow\n    cultivate: []\n    spray_off: [10 Dec, 10 Apr, 10 May, 10 Jun]\n"
	for layer, name := range map[string]string{"10-15": "emerged_from_10_15", "15-20": "emerged_from_15_20"} {
		start := fmt.Sprintf("start: 2026-07-02, seedbank_per_m2: {surface: 0, %s: 1000}", layer)
		o := run(t, n, nil, plot(unharmed(t, weed, false), weed, start, fallow))[0]
		put(name, mean(o.Column(sim.LedgerEmerged, 0))/1000)
	}
}

// weedPlants is fecundity, and heads in one crop against another.
func weedPlants(t *testing.T, n int, weed string, put func(string, float64)) {
	const lib = ""
	few := "start: 2026-08-01, heads_per_m2: 0.2, trend: 1"
	wheat := plot(lib, weed, few, sown("winter-wheat", "25 Sep", "tine-drill", disc))
	m := model(t, wheat)
	autumn, spring, err := m.Fecundity()
	if err != nil {
		t.Fatal(err)
	}
	put("fecundity_ratio", autumn/spring)
	o := run(t, n, []sim.Watch{{Day: date.Of(2027, 6, 10), What: sim.WatchPlants}}, wheat,
		plot(lib, weed, few, sown("winter-barley", "25 Sep", "tine-drill", disc)),
		plot(lib, weed, few, sown("hybrid-winter-barley", "25 Sep", "tine-drill", disc)))
	viable := m.Calendar().Library.Find("weeds", weed).Value("viability").Central
	plants := mean(o[0].Watched(0))
	put("seeds_per_plant", mean(o[0].Column(sim.SeedReturn, 0))/viable/plants)
	put("seeds_per_netted_plant", mean(o[0].Column(sim.SeedReturn, 0))/viable/plants)
	put("removed_by_harvest", mean(o[0].Column(sim.LedgerCarriedOff, 0))/mean(o[0].Column(sim.LedgerShed, 0)))
	heads := func(o *ensemble.Outcome) float64 { return mean(o.Column(sim.Heads, 0)) }
	put("winter_barley_heads", heads(o[1])/heads(o[0]))
	put("hybrid_barley_heads", heads(o[2])/heads(o[0]))
	t.Logf("%s: %.3g plants/m², seed per plant over these", weed, plants)
}
