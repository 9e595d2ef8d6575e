package report

import (
	"fmt"
	"math"
	"strings"

	"rundown/sim"
	"rundown/sim/ensemble"
)

// CompareFormat names the JSON that compare writes. Within a format keys are only added.
const CompareFormat = "rundown.compare/1"

// compared are the metrics whose paired differences are reported.
var compared = []sim.Metric{sim.Plants, sim.Heads, sim.SeedReturn, sim.SeedbankJune, sim.Yield, sim.Margin}

// contender is one plan of a comparison, against the first.
type contender struct {
	Run
	seasons    []season
	margin     []float64 // mean yearly margin, by replicate
	last       []float64 // heads at the last harvest, by replicate
	bank       []float64 // seed on the last 30 June, by replicate
	difference [][]Band  // by season and compared metric, this plan less the first
	perYear    Band      // difference of the mean yearly margin
	fewer      float64   // chance of fewer heads at the last harvest than the first plan (ties count half)
	more       float64   // chance of a better margin
	both       float64   // chance of both
	under      float64   // chance that heads end under the threshold
	underFrom  int       // harvest year from which the median stays under it; 0: never
	control    []Band    // share of what came up that was gone when plants were counted
	needed     []Band    // share that would have held the seedbank still
	ratio      float64   // variance of the difference of log heads, independent runs over paired
}

// Compare assembles the report of plans under common random numbers.
func Compare(runs []Run, threshold float64) *Report {
	all := make([]*contender, len(runs))
	for i, r := range runs {
		all[i] = newContender(r, threshold)
		all[i].against(all[0])
	}
	warnings := compareWarnings(all)
	r := &Report{
		Title:     fmt.Sprintf("%s: %d plans compared", runs[0].Calendar.Name, len(runs)),
		Subtitle:  forecastSubtitle(runs[0]) + " Every plan meets the same weather, seasons and luck.",
		Sentences: compareSentences(all, threshold),
		Tables:    []Table{planTable(all, threshold), differenceTable(all), controlTable(all)},
		Pictures:  comparePictures(all, threshold),
		Warnings:  warnings,
		Cautions:  Cautions(),
		Document:  compareDocument(all, threshold, warnings),
		Plans:     plansOf(runs...),
	}
	r.Page = func() *Page { return comparePage(all, r) }
	return r
}

func newContender(r Run, threshold float64) *contender {
	c := &contender{Run: r}
	n := len(r.Calendar.Seasons)
	for i := range n {
		c.seasons = append(c.seasons, summarise(r, i))
		control, needed := controls(r.Outcome, i)
		c.control, c.needed = append(c.control, control), append(c.needed, needed)
	}
	c.last = r.Outcome.Column(sim.Heads, n-1)
	c.bank = r.Outcome.Column(sim.SeedbankJune, n-1)
	c.margin = make([]float64, r.Replicates)
	for i := range n {
		for k, x := range r.Outcome.Column(sim.Margin, i) {
			c.margin[k] += x / float64(n)
		}
	}
	c.under = share(len(c.last), func(k int) bool { return c.last[k] < threshold })
	for i := n - 1; i >= 0 && c.seasons[i].bands[sim.Heads].P50 < threshold; i-- {
		c.underFrom = c.seasons[i].HarvestYear
	}
	return c
}

// controls are the share of a season's seedlings gone by the day plants are
// counted, from whatever cause, and the share that would have held the seedbank
// still had seed return been in proportion to the plants left.
func controls(o *ensemble.Outcome, i int) (control, needed Band) {
	var have, want []float64
	up, plants := o.Column(sim.PlantsEmerged, i), o.Column(sim.Plants, i)
	start, end, shed := o.Column(sim.LedgerStart, i), o.Column(sim.LedgerEnd, i), o.Column(sim.LedgerShed, i)
	for k := range up {
		if !(up[k] > 0) || math.IsNaN(plants[k]) {
			continue
		}
		left := min(plants[k]/up[k], 1)
		have = append(have, 1-left)
		if lost := start[k] + shed[k] - end[k]; shed[k] > 0 {
			want = append(want, max(0, 1-left*lost/shed[k]))
		}
	}
	return Band(ensemble.Summarise(have)), Band(ensemble.Summarise(want))
}

// against fills the paired comparison with the first plan, over the seasons both have.
func (c *contender) against(first *contender) {
	for i := range min(len(c.seasons), len(first.seasons)) {
		var row []Band
		for _, m := range compared {
			row = append(row, difference(c.Outcome.Column(m, i), first.Outcome.Column(m, i)))
		}
		c.difference = append(c.difference, row)
	}
	c.perYear = difference(c.margin, first.margin)
	n := float64(len(c.last))
	for k := range c.last {
		a := half(first.last[k], c.last[k])
		b := half(c.margin[k], first.margin[k])
		c.fewer += a / n
		c.more += b / n
		c.both += min(a, b) / n
	}
	c.ratio = varianceRatio(c.last, first.last)
}

// half is 1 where x is the greater, ½ at a tie, 0 otherwise.
func half(x, y float64) float64 {
	switch {
	case x > y:
		return 1
	case x == y:
		return 0.5
	}
	return 0
}

// difference summarises x − y, run by run.
func difference(x, y []float64) Band {
	d := make([]float64, len(x))
	for k := range x {
		d[k] = x[k] - y[k]
	}
	return Band(ensemble.Summarise(d))
}

// varianceRatio is how many times as many independent runs would be needed for
// the same precision of the difference of log(1 + x): (Var X + Var Y)/Var(X − Y).
// It is 0 where the plans do not differ at all.
func varianceRatio(x, y []float64) float64 {
	var a, b, d []float64
	for k := range x {
		if p, q := math.Log1p(x[k]), math.Log1p(y[k]); !math.IsNaN(p) && !math.IsNaN(q) {
			a, b, d = append(a, p), append(b, q), append(d, p-q)
		}
	}
	if v := variance(d); v > 0 {
		return (variance(a) + variance(b)) / v
	}
	return 0
}

func variance(x []float64) float64 {
	m, s := mean(x), 0.0
	for _, v := range x {
		s += (v - m) * (v - m)
	}
	return s / float64(max(1, len(x)-1))
}

func compareSentences(all []*contender, threshold float64) []string {
	fewest, richest := all[0], all[0]
	for _, c := range all {
		if median(c.last) < median(fewest.last) {
			fewest = c
		}
		if median(c.margin) > median(richest.margin) {
			richest = c
		}
	}
	money := all[0].Calendar.Currency + "/ha a year"
	out := []string{fmt.Sprintf("Fewest heads at the end: %s, %s per m²%s; under %s in %s of 100 runs.", fewest.Name,
		forms[sim.Heads].Value(median(fewest.last)), rangeOf(forms[sim.Heads], fewest.last), shortest(threshold), Of100(fewest.under))}
	out = append(out, fmt.Sprintf("Best margin: %s, %s %s%s.", richest.Name, forms[sim.Margin].Value(rounded10(median(richest.margin))), money, rangeOf(forms[sim.Margin], richest.margin)))
	if fewest != richest {
		paid := difference(richest.margin, fewest.margin)
		out = append(out, fmt.Sprintf("The cleaner field costs %s %s in margin against %s%s.", forms[sim.Margin].Value(rounded10(paid.P50)), money, richest.Name,
			nineInTen(forms[sim.Margin].Value(rounded10(paid.P05)), forms[sim.Margin].Value(rounded10(paid.P95)))))
	} else if len(all) > 1 {
		out = append(out, fmt.Sprintf("%s is best on both counts.", sentence(fewest.Name)))
	}
	return out
}

func rounded10(x float64) float64 { return math.Round(x/10) * 10 }

func median(x []float64) float64 { return ensemble.Summarise(x).P50 }

func rangeOf(f Form, x []float64) string {
	b := ensemble.Summarise(x)
	if f.Even {
		return nineInTen(f.Value(rounded10(b.P05)), f.Value(rounded10(b.P95)))
	}
	return nineInTen(f.Value(b.P05), f.Value(b.P95))
}

func planTable(all []*contender, threshold float64) Table {
	t := Table{
		Title: "Where each plan leads",
		Keys:  1,
		Columns: []Column{{Head: "Plan"}, {Head: "Heads at the end", Unit: "per m²", Band: true}, {Head: "Seed in soil", Unit: "per m², last 30 June", Band: true},
			{Head: "Margin", Unit: all[0].Calendar.Currency + "/ha a year", Band: true}, {Head: "Margin in all", Unit: all[0].Calendar.Currency + "/ha", Right: true},
			{Head: "Under " + shortest(threshold), Unit: "of 100 runs", Right: true}, {Head: "Median under", Unit: "from harvest", Right: true}},
		Legend: "180 (40–620): half of the runs are below 180, nine in ten are between 40 and 620.",
	}
	for _, c := range all {
		from := "–"
		if c.underFrom > 0 {
			from = fmt.Sprint(c.underFrom)
		}
		t.Rows = append(t.Rows, Row{Cells: []string{c.Name,
			forms[sim.Heads].Band(Band(ensemble.Summarise(c.last))), forms[sim.SeedbankJune].Band(Band(ensemble.Summarise(c.bank))),
			forms[sim.Margin].Band(Band(ensemble.Summarise(c.margin))), forms[sim.Margin].Value(rounded10(median(c.margin) * float64(len(c.seasons)))),
			Of100(c.under), from}})
	}
	return t
}

func differenceTable(all []*contender) Table {
	t := Table{
		Title: "Against " + all[0].Name + ", run by run",
		Keys:  1,
		Columns: []Column{{Head: "Plan"}, {Head: "Heads at the end", Unit: "per m², difference", Band: true}, {Head: "Margin", Unit: all[0].Calendar.Currency + "/ha a year, difference", Band: true},
			{Head: "Fewer heads", Unit: "of 100 runs", Right: true}, {Head: "More margin", Unit: "of 100 runs", Right: true}, {Head: "Both", Unit: "of 100 runs", Right: true}},
	}
	for _, c := range all[1:] {
		last := Band(ensemble.Summarise(nil))
		if len(c.difference) > 0 {
			last = difference(c.last, all[0].last)
		}
		t.Rows = append(t.Rows, Row{Cells: []string{c.Name, Form{Digits: 2, Least: 0.01, Even: true}.Band(last), forms[sim.Margin].Band(c.perYear),
			Of100(c.fewer), Of100(c.more), Of100(c.both)}})
	}
	return t
}

func controlTable(all []*contender) Table {
	t := Table{
		Title:   "Control from all causes, and what would have held the seedbank still",
		Keys:    1,
		Columns: []Column{{Head: "Plan"}},
		Legend:  "Medians, in per cent of the seedlings that came up in the season: gone by the day plants are counted / needed to stand still, if seed return is in proportion to the plants left.",
	}
	longest := 0
	for _, c := range all {
		longest = max(longest, len(c.seasons))
	}
	for i := range longest {
		head := "–"
		for _, c := range all {
			if i < len(c.seasons) {
				head = fmt.Sprint(c.seasons[i].HarvestYear)
			}
		}
		t.Columns = append(t.Columns, Column{Head: head, Right: true})
	}
	for _, c := range all {
		cells := []string{c.Name}
		for i := range longest {
			if i >= len(c.seasons) || c.control[i].N == 0 || c.needed[i].N == 0 {
				cells = append(cells, "–")
				continue
			}
			cells = append(cells, fmt.Sprintf("%.1f/%.1f", 100*c.control[i].P50, 100*c.needed[i].P50))
		}
		t.Rows = append(t.Rows, Row{Cells: cells})
	}
	return t
}

// compareWarnings say where a ranking is within Monte Carlo error, and how
// many runs would settle it.
func compareWarnings(all []*contender) []Warning {
	var out []Warning
	for _, c := range all[1:] {
		for _, x := range []struct {
			what string
			p    float64
		}{{"fewer heads", c.fewer}, {"more margin", c.more}} {
			se := math.Sqrt(0.25 / float64(c.Replicates))
			if d := math.Abs(x.p - 0.5); d > 0 && d < 1.96*se {
				need := math.Ceil(math.Pow(1.96*0.5/d, 2)/1000) * 1000
				text := fmt.Sprintf("Whether %s or %s has %s is within the error of %d runs; about %s would settle it.", c.Name, all[0].Name, x.what, c.Replicates, rounded(min(need, 1e6), 1000))
				out = append(out, Warning{Code: "ranking-within-error", Text: text})
			}
		}
	}
	for _, c := range all[1:] {
		if c.ratio > 0 {
			out = append(out, Warning{Code: "paired-design", Text: fmt.Sprintf("Pairing %s with %s run by run is worth %s times as many independent runs for the difference in (log) heads.", c.Name, all[0].Name, rounded(c.ratio, 0.1))})
		}
	}
	seen := map[string]bool{}
	for _, c := range all {
		for _, w := range forecastWarnings(c.Run, c.seasons) {
			if w.Code == "resistance" || w.Code == "cover-not-modelled" {
				if !seen[w.Code] {
					out = append(out, Warning{Code: w.Code, Text: w.Text})
				}
				seen[w.Code] = true
			}
		}
	}
	for _, c := range all {
		if missed := missedCrops(c); missed != "" {
			out = append(out, Warning{Code: "planned-crop-not-drilled", Text: sentence(c.Name) + ": not drilled in time in so many of 100 runs: " + missed + "."})
		}
	}
	return out
}

func missedCrops(c *contender) string {
	var parts []string
	for _, s := range c.seasons {
		if s.drilled != nil && s.drilled.share < 0.95 {
			parts = append(parts, fmt.Sprintf("%s %d %s", spoken(s.crop), s.HarvestYear, Of100(1-s.drilled.share)))
		}
	}
	return strings.Join(parts, "; ")
}
