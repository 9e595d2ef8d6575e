package report

import (
	"fmt"
	"slices"

	"rundown/sim"
	"rundown/sim/decide"
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
	margin     []float64      // mean yearly margin, by replicate
	last       []float64      // heads at the last harvest, by replicate
	bank       []float64      // seed on the last 30 June, by replicate
	difference [][]Band       // by season and compared metric, this plan less the first; seasons that both have
	perYear    Band           // difference of the mean yearly margin
	better     decide.Chances // than the first plan, at the last harvest
	under      decide.Under   // how heads keep under the threshold
	control    []Band         // share of the seedlings that did not live to head
	needed     []Band         // share that would have held the seedbank still
	ratio      float64        // variance ratio of log heads at the last harvest, 0: no difference
	ratioMoney float64        // and of the mean yearly margin
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
		Tables:    slices.Concat([]Table{planTable(all, threshold), differenceTable(all), controlTable(all)}, headsBySeason(all), marginBySeason(all)),
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
	c := &contender{Run: r, margin: decide.MeanMargin(r.Outcome, 0)}
	n := len(r.Calendar.Seasons)
	for i := range n {
		c.seasons = append(c.seasons, summarise(r, i))
		gone, needed := decide.Controls(r.Outcome, i)
		c.control, c.needed = append(c.control, band(gone)), append(c.needed, band(needed))
	}
	c.last = r.Outcome.Column(sim.Heads, n-1)
	c.bank = r.Outcome.Column(sim.SeedbankJune, n-1)
	c.under = decide.KeepsUnder(r.Outcome, sim.Heads, threshold)
	return c
}

// leaders are the plan with the fewest heads at the end and that with the best
// margin, by their medians.
func leaders(all []*contender) (cleanest, richest *contender) {
	cleanest, richest = all[0], all[0]
	for _, c := range all {
		if median(c.last) < median(cleanest.last) {
			cleanest = c
		}
		if median(c.margin) > median(richest.margin) {
			richest = c
		}
	}
	return cleanest, richest
}

// against fills the paired comparison with the first plan.
func (c *contender) against(first *contender) {
	for i := range min(len(c.seasons), len(first.seasons)) {
		var row []Band
		for _, m := range compared {
			row = append(row, difference(c.Outcome.Column(m, i), first.Outcome.Column(m, i)))
		}
		c.difference = append(c.difference, row)
	}
	c.perYear = difference(c.margin, first.margin)
	c.better = decide.Better(c.last, c.margin, first.last, first.margin)
	c.ratio = decide.VarianceRatio(decide.Logs(c.last), decide.Logs(first.last))
	c.ratioMoney = decide.VarianceRatio(c.margin, first.margin)
}

func band(x []float64) Band { return Band(ensemble.Summarise(x)) }

// difference summarises x − y, run by run.
func difference(x, y []float64) Band { return band(decide.Differences(x, y)) }
