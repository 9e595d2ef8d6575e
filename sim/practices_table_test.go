package sim_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
)

// practiceGaps are rows of practices.csv that this version does not give, each with the median
// measured when it was written down. The test fails when one comes back or moves by a tenth.
var practiceGaps = map[string]float64{
	// Of what is up at drilling the residual takes half too, and most of April's plants come later.
	"burn_off_again": 0.873,
	// A pass in August saves seed from death on the surface, and brings no flush: fewer seedlings come
	// up before the drilling after more passes, not more. See direct_against_shallow.
	"stale_2": 1.03, "stale_3": 1.12, "stale_4": 1.09, "stale_5": 1.04,
	"stale_1_burnt_off": 1.21, "stale_2_burnt_off": 1.20, "stale_3_burnt_off": 1.33, "stale_4_burnt_off": 1.32, "stale_5_burnt_off": 1.32,
	// 0.14 in the first year, 0.034 in the third: the weed under the disc grows meanwhile, the
	// plough holds it, and seed below 10 cm dies as fast as above.
	"plough_yearly": 0.0087,
	// On a susceptible field the wheat's own programme takes nine in ten, which is what the untreated
	// barley leaves; with 0.6 of group 2 lost the ratio is 0.48.
	"after_spring_barley": 0.86,
	// The same three times over.
	"three_springs": 0.52,
	// Held to a third of plants from old seed (published), the field keeps a third of them when nothing
	// is shed for a year, and a little more where the fallow stirs less than a wheat; the recalled figure is below that.
	"fallow_next": 0.417,
	// As ley_bank_loss of heads.csv: seed that nobody stirs dies too slowly for the adviser's figure.
	"ley_three_years": 0.0789,
	// As in weeds.csv: the crop's factor on heads is one for all weeds.
	"hybrid_barley_rye": 0.40,
	// By a hair: heads fall with the stand in every crop by what wheat taught.
	"barley_550_seeds": 0.748,
}

// practiceRuns is the number of fields and years; the standard error of a median is then about
// a hundredth of the width of its nine in ten. (With 200 four verdicts were luck.) The seed is fixed: no false alarms.
const practiceRuns = 2000

// practiceRow is a row of testdata/published/practices.csv.
type practiceRow struct {
	name, practice, against, measure, published string
	low, high                                   float64
	used, grade, source                         string
}

func practiceRows(t *testing.T) (rows []practiceRow) {
	t.Helper()
	f, err := os.Open("../testdata/published/practices.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range all[1:] {
		low, errLow := strconv.ParseFloat(r[5], 64)
		high, errHigh := strconv.ParseFloat(r[6], 64)
		if errLow != nil || errHigh != nil || low >= high {
			t.Fatalf("practices.csv, %s: accepted %s…%s", r[0], r[5], r[6])
		}
		rows = append(rows, practiceRow{r[0], r[1], r[2], r[3], r[4], low, high, r[7], r[8], r[9]})
	}
	return rows
}

// paired is the median of what is paired replicate by replicate, and nine in ten of it.
type paired struct{ low, median, high float64 }

func pairedOf(x []float64) paired {
	x = slices.DeleteFunc(x, math.IsNaN)
	if len(x) == 0 {
		return paired{math.NaN(), math.NaN(), math.NaN()}
	}
	slices.Sort(x)
	return paired{bands.Quantile(x, 0.05), bands.Quantile(x, 0.5), bands.Quantile(x, 0.95)}
}

// figure writes a ratio, a share of yield in points, or money.
func figure(x float64, measure string) string {
	form := "%.2f"
	switch {
	case strings.HasPrefix(measure, "margin"):
		form = "%.0f"
	case strings.HasPrefix(measure, "loss"):
		form, x = "%.1f", 100*x
	case x < 0.0995:
		form = "%.3f"
	}
	text := fmt.Sprintf(form, x)
	if strings.Trim(text, "-0.") == "" {
		return "0"
	}
	return strings.Replace(text, "-", "−", 1)
}

func (p paired) words(measure string) string {
	return fmt.Sprintf("%s (%s to %s)", figure(p.median, measure), figure(p.low, measure), figure(p.high, measure))
}

// tries are the outcomes of plans.
type tries map[string]*ensemble.Outcome

// column is what is measured of a plan in its season, by replicate.
func (o tries) column(g grown, measure string) []float64 {
	of := func(m sim.Metric) []float64 { return slices.Clone(o[g.plan].Column(m, g.year)) }
	switch word, _, _ := strings.Cut(measure, " "); strings.TrimSuffix(word, ",") {
	case "plants":
		return of(sim.Plants)
	case "heads":
		return of(sim.Heads)
	case "seed":
		x := of(sim.SeedReturn)
		for r, off := range of(sim.LedgerCarriedOff) {
			x[r] -= off
		}
		return x
	case "yield":
		return of(sim.Yield)
	case "loss":
		return of(sim.YieldLoss)
	case "margin":
		return of(sim.Margin)
	}
	panic("no measure " + measure)
}

// byDifference tells whether a measure is paired by its difference.
func byDifference(measure string) bool {
	return strings.HasPrefix(measure, "margin") || strings.HasPrefix(measure, "loss")
}

func (o tries) paired(p pair, measure string) paired {
	x, y := o.column(p.with, measure), o.column(p.against, measure)
	for r := range x {
		switch {
		case byDifference(measure):
			x[r] -= y[r]
		case y[r] > 0:
			x[r] /= y[r]
		default:
			x[r] = math.NaN()
		}
	}
	return pairedOf(x)
}

// tryAll runs every plan once, all with the same luck.
func tryAll(t *testing.T, all map[string]pair) tries {
	t.Helper()
	plans := plansOf(all)
	var ms []*sim.Model
	for _, p := range plans {
		ms = append(ms, model(t, p))
	}
	out := runModels(t, ms, ensemble.Options{Replicates: practiceRuns, Seed: 11,
		Keep: []sim.Metric{sim.Plants, sim.Heads, sim.SeedReturn, sim.LedgerCarriedOff, sim.Yield, sim.YieldLoss, sim.Margin}})
	o := tries{}
	for i, p := range plans {
		o[p] = out[i]
	}
	return o
}

// TestPractices holds the practices an adviser would try against what is published or said of
// each; the ranges were committed before any was run. The median of the paired ratio to the
// baseline is judged (of margins, of the paired difference), whatever the row. At least a
// quarter of the rows must have a source from which no value of the library was set.
//
//	RUNDOWN_STAGE=long go test ./sim -run TestPractices -v
func TestPractices(t *testing.T) {
	simtest.Stage(t, "long")
	rows, all := practiceRows(t), allPractices()
	o := tryAll(t, all)
	table := "| practice | against | judged by | published or said | accepted | source | this version, median (nine in ten) | verdict " +
		"|\n|---|---|---|---|---|---|---|---|\n"
	free, freeIn, gaps := 0, 0, 0
	for _, r := range rows {
		p, ok := all[r.name]
		if !ok {
			t.Errorf("%s: no plan", r.name)
			continue
		}
		x := o.paired(p, r.measure)
		verdict := r.verdict(t, x.median)
		if out := !strings.HasPrefix(verdict, "in range"); out {
			gaps++
		} else if r.free() {
			freeIn++
		}
		if r.free() {
			free++
		}
		t.Logf("%-26s %-28s accepted %5.3g…%-5.3g %s", r.name, x.words(r.measure), r.low, r.high, verdict)
		published := r.published
		if published == "" {
			published = "–"
		}
		table += fmt.Sprintf("| %s | %s | %s | %s | %g…%g | %s | %s | %s |\n",
			r.practice, r.against, r.measure, published, r.low, r.high, r.said(), x.words(r.measure), verdict)
	}
	if len(rows) != len(all) {
		t.Errorf("%d rows, %d plans", len(rows), len(all))
	}
	if 4*free < len(rows) {
		t.Errorf("%d of %d rows have a source that set nothing; a quarter was promised", free, len(rows))
	}
	count := fmt.Sprintf("%d of %d rows in range; of %d whose source set no value, %d. ", len(rows)-gaps, len(rows), free, freeIn) + o.baseline()
	readmeBlock(t, "practices", count+table+"\n"+whatChanged(rows, all, o))
}

// baseline is what the field gives without any of the practices.
func (o tries) baseline() string {
	of := func(measure string) string {
		x := pairedOf(o.column(usual, measure))
		if measure == "loss" {
			return x.words(measure)
		}
		return fmt.Sprintf("%.0f (%.0f to %.0f)", x.median, x.low, x.high)
	}
	return fmt.Sprintf("The usual baseline, median (nine in ten): %s plants/m², %s heads/m², %s viable seeds/m² that come back, "+
		"%s %% of the yield lost, a margin of %s a hectare.\n\n", of("plants"), of("heads"), of("seed"), of("loss"), of("margin"))
}

// free tells whether the row has a source from which no value was set.
func (r *practiceRow) free() bool { return r.used == "no" && r.grade != "assumed" }

// said is the source with its grade.
func (r *practiceRow) said() string {
	if r.grade == "assumed" {
		return r.source
	}
	return r.source + "; " + r.grade
}

// verdict judges a median.
func (r *practiceRow) verdict(t *testing.T, x float64) string {
	t.Helper()
	in := x >= r.low && x <= r.high
	gap, known := practiceGaps[r.name]
	switch {
	case known && in:
		t.Errorf("%s is back in its range with %.3g: take it off the gaps", r.name, x)
	case known && math.Abs(x/gap-1) > 0.1:
		t.Errorf("%s, a gap of %.3g, is %.3g now: look again", r.name, gap, x)
	case known:
		return "**gap**"
	case !in:
		t.Errorf("%s: %.3g, accepted %g…%g (%s)", r.name, x, r.low, r.high, r.source)
		return "**fails**"
	case r.used == "yes":
		return "in range; used to set a value"
	case r.used == "source":
		return "in range; source used"
	}
	return "in range"
}

// whatChanged is the table of what every practice does to plants, heads, seed, yield lost and margin.
func whatChanged(rows []practiceRow, all map[string]pair, o tries) string {
	var b strings.Builder
	b.WriteString("| practice | against | plants | heads | seed that comes back | yield lost, points | margin, a hectare |\n|---|---|---|---|---|---|---|\n")
	told := map[pair]bool{}
	for _, r := range rows {
		p, ok := all[r.name]
		if !ok || told[p] {
			continue
		}
		told[p] = true
		fmt.Fprintf(&b, "| %s | %s |", r.practice, r.against)
		for _, m := range []string{"plants", "heads", "seed", "loss", "margin"} {
			if x := o.paired(p, m); math.IsNaN(x.median) {
				b.WriteString(" – |")
			} else {
				fmt.Fprintf(&b, " %s |", x.words(m))
			}
		}
		b.WriteString("\n")
	}
	return b.String()
}
