package sim_test

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/simtest"
	"rundown/sim/testfile"
)

const (
	usualFallow = "  - {crop: fallow}\n"
	usualLey    = "  - {crop: grass-ley, years: 3}\n"
	ploughed    = "  - crop: winter-wheat\n    cultivate: [{date: 25 Aug, with: plough}]\n    herbicides: []\n"
)

// headGaps are figures of testdata/published/heads.csv that the defaults do not give,
// each as measured when it was written down.
var headGaps = map[string]float64{
	// What no herbicide touches loses some 0.6 a year under a sward here even where nothing
	// heads: old seed that nobody stirs mostly stays, and dies at buried_death. The
	// adviser's figure is of trade press and may count seedlings, not seed.
	"ley_bank_loss": 0.59,
	// A fallow that is sprayed on 28 May and returns next to nothing asks for seed that
	// sets late, these notes for seed that sets at once; one date cannot serve both.
	"patch_7_june": 0.20,
}

// TestHeads measures the figures of testdata/published/heads.csv, of black-grass on
// trial ground: 200 replicates on one seed, so that means hold within a few per cent.
// The ranges were written before the rule was built.
func TestHeads(t *testing.T) {
	if !simtest.Updating(simtest.Documents) {
		simtest.Stage(t, "long")
	}
	got := measureHeads(t, 200)
	rows := testfile.Rows(t, "../testdata/published/heads.csv")
	table := "| outcome | published | accepted | this version | verdict |\n|---|---|---|---|---|\n"
	for _, r := range rows[1:] {
		x, ok := got[r[0]]
		low, errLow := strconv.ParseFloat(r[2], 64)
		high, errHigh := strconv.ParseFloat(r[3], 64)
		if !ok || errLow != nil || errHigh != nil {
			t.Fatalf("row %v: measured %v", r, ok)
		}
		gap, known := headGaps[r[0]]
		in, verdict := x >= low && x <= high, "in range"
		switch {
		case known && in:
			t.Errorf("%s is back in its range with %.3g: take it off the gaps", r[0], x)
		case known && math.Abs(x/gap-1) > 0.1:
			t.Errorf("%s, a gap of %.3g, is %.3g now: look again", r[0], gap, x)
		case known:
			verdict = "**gap**"
		case !in:
			verdict = "**fails**"
			t.Errorf("%s: %.3g, accepted %s…%s (%s)", r[0], x, r[2], r[3], r[6])
		}
		t.Logf("%-20s %.3f, accepted %s…%s, %s", r[0], x, r[2], r[3], verdict)
		table += fmt.Sprintf("| %s | %s | %s…%s | %.3g %s | %s |\n", r[7], r[1], r[2], r[3], x, r[4], verdict)
	}
	readmeBlock(t, "heads", table)
}

func measureHeads(t *testing.T, n int) map[string]float64 {
	got := map[string]float64{}
	on := func(m *sim.Model, d date.Day) float64 {
		m.MoveLast(d)
		return lifts(t, m, n)
	}
	never := date.Of(2027, 9, 30)
	bare := model(t, worked("black-grass", "30", fmt.Sprintf(workedFallow, "1 Jun")))
	got["fallow_return"] = lifts(t, model(t, worked("black-grass", "30", usualFallow)), n) / on(bare, never)
	got["burn_off_late_may"] = on(bare, date.Of(2027, 5, 25)) / on(bare, date.Of(2027, 4, 20))
	got["fallow_bank_loss"] = 1 - banks(t, n, "30", usualFallow, 1)[1]
	got["ley_bank_loss"] = 1 - math.Cbrt(banks(t, n, "300", usualLey, 3)[3])
	patch := model(t, worked("black-grass", "0.25", fmt.Sprintf(workedWheat, "{date: 1 Jun, with: patch-spray}")))
	whole, inside := on(patch, never), patch.Calendar().Library.Find("implements", "patch-spray").Value("head_removal").Central
	for name, d := range map[string]date.Day{"patch_7_june": date.Of(2027, 6, 7), "patch_25_june": date.Of(2027, 6, 25)} {
		got[name] = 1 - (1-on(patch, d)/whole)/inside
	}
	cut := byDay(t, "black-grass", "25", workedWheat, "{date: 1 Jun, with: cut-whole-crop}", n)
	least := 0
	for i := range cut {
		if cut[i] < cut[least] {
			least = i
		}
	}
	got["cut_least_day"] = float64(firstDay + date.Day(least) - date.Of(2027, 1, 1) + 1)
	return got
}

// banks is what of the seed of 14 August before the first season is left a year on,
// and two, and so on, under seasons of black-grass after so many heads.
func banks(t *testing.T, n int, heads, seasons string, years int) (left []float64) {
	var w []sim.Watch
	for y := range years + 1 {
		w = append(w, sim.Watch{Day: date.Of(2026+y, 8, 14), What: sim.WatchSeeds})
	}
	o := run(t, n, w, worked("black-grass", heads, seasons+ploughed))[0]
	for k := range w {
		left = append(left, mean(o.Watched(k))/mean(o.Watched(0)))
	}
	return left
}

// A ley and a fallow year by year, for README.md.
func TestLeyAndFallow(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a second or two")
	}
	table := "| from | season | plants/m² | heads/m² in mid-June | seed that comes back | seed in the soil on 14 August after, of that before " +
		"|\n|---|---|---|---|---|---|\n"
	for _, x := range []struct {
		heads, name, seasons string
		years                int
	}{{"30", "fallow", usualFallow, 1}, {"300", "fallow", usualFallow, 1}, {"300", "ley", usualLey, 3}} {
		left := banks(t, 200, x.heads, x.seasons, x.years)
		o := run(t, 200, nil, worked("black-grass", x.heads, x.seasons+ploughed))[0]
		of := func(m sim.Metric, i int) float64 { return mean(o.Column(m, i)) }
		for i := range x.years + 1 {
			name, share := fmt.Sprintf("%s, year %d", x.name, i+1), ""
			if i == x.years {
				name = "wheat after it, ploughed, no herbicide in the crop"
			} else {
				share = fmt.Sprintf("%.2f", left[i+1])
			}
			table += fmt.Sprintf("| %s heads/m² | %s | %.3g | %.3g | %.0f | %s |\n",
				x.heads, name, of(sim.Plants, i), of(sim.Heads, i), of(sim.SeedReturn, i)-of(sim.LedgerCarriedOff, i), share)
		}
		for i := range x.years - 1 {
			if of(sim.Heads, i+1) > 0.6*of(sim.Heads, i) {
				t.Errorf("a ley of %d years has %.3g heads/m² after %.3g: it should clear itself", i+2, of(sim.Heads, i+1), of(sim.Heads, i))
			}
		}
	}
	t.Log("\n" + table)
	readmeBlock(t, "ley", table)
}
