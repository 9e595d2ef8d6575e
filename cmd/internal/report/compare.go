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

// contender is one plan of a comparison, against the first. Plans are ranked by
// what they have at the end: the last harvest that all of them have.
type contender struct {
	Run
	seasons    []season
	end        int              // season of the end
	soFar      [][]float64      // margin up to a season, by season and replicate
	margin     []float64        // mean yearly margin to the end, by replicate
	last       []float64        // heads at the end, by replicate
	bank       []float64        // seed in the soil after the last harvest, its own rain included, by replicate
	difference [][]Band         // by season and compared metric, this plan less the first; seasons that both have
	sumLess    []Band           // difference of the margin so far, by season
	better     []decide.Chances // than the first plan, by season: heads of the season, margin so far
	perYear    Band             // difference of the mean yearly margin
	under      decide.Under     // how heads keep under the threshold to the end
	control    []Band           // share of the seedlings that did not live to head
	needed     []Band           // share that would have held the seedbank still
	ratio      float64          // variance ratio of log heads at the last harvest, 0: no difference
	ratioMoney float64          // and of the mean yearly margin
}

// Compare assembles the report of plans under common random numbers.
func Compare(runs []Run, threshold float64) *Report {
	all := make([]*contender, len(runs))
	end := len(runs[0].Calendar.Seasons) - 1
	for _, r := range runs {
		end = min(end, len(r.Calendar.Seasons)-1)
	}
	for i, r := range runs {
		all[i] = newContender(r, end, threshold)
		all[i].against(all[0])
	}
	warnings := compareWarnings(all)
	r := &Report{
		Title:     fmt.Sprintf("%s: %d plans compared", runs[0].Calendar.Name, len(runs)),
		Subtitle:  forecastSubtitle(runs[0]) + " Every plan meets the same weather, seasons and luck.",
		Sentences: compareSentences(all, threshold),
		Tables:    slices.Concat([]Table{planTable(all, threshold), differenceTable(all), controlTable(all)}, headsBySeason(all), marginBySeason(all), betterBySeason(all)),
		Pictures:  comparePictures(all, threshold),
		Warnings:  warnings,
		Cautions:  Cautions(),
		Document:  compareDocument(all, threshold, warnings),
		Plans:     plansOf(runs...),
	}
	r.Page = func() *Page { return comparePage(all, r) }
	return r
}

func newContender(r Run, end int, threshold float64) *contender {
	c := &contender{Run: r, end: end, soFar: decide.MarginSoFar(r.Outcome)}
	c.margin = scaled(c.soFar[end], 1/float64(end+1))
	for i := range r.Calendar.Seasons {
		c.seasons = append(c.seasons, summarise(r, i))
		gone, needed := decide.Controls(r.Outcome, i)
		c.control, c.needed = append(c.control, band(gone)), append(c.needed, band(needed))
	}
	c.last = r.Outcome.Column(sim.Heads, end)
	c.bank = r.Outcome.Column(sim.Seedbank, end)
	c.under = decide.KeepsUnder(r.Outcome, sim.Heads, threshold, end+1)
	return c
}

// unequal tells whether plans end in different years.
func unequal(all []*contender) bool {
	return slices.ContainsFunc(all, func(c *contender) bool { return len(c.seasons) != len(all[0].seasons) })
}

// atTheEnd names the end of a comparison.
func atTheEnd(all []*contender) string {
	if unequal(all) {
		return fmt.Sprintf("at harvest %d", all[0].seasons[all[0].end].HarvestYear)
	}
	return "at the end"
}

// leaders are the plan that is cleanest at the end and that with the best margin,
// by their medians.
func leaders(all []*contender) (cleanest, richest *contender) {
	m := measureOf(all)
	cleanest, richest = all[0], all[0]
	for _, c := range all {
		if median(m.of(c)) < median(m.of(cleanest)) {
			cleanest = c
		}
		if median(c.margin) > median(richest.margin) {
			richest = c
		}
	}
	return cleanest, richest
}

// yearly is the unit of the margin to the end, the mean of the seasons up to it.
func yearly(all []*contender) string {
	if all[0].end == 0 {
		return all[0].Calendar.Currency + "/ha"
	}
	return all[0].Calendar.Currency + "/ha a year"
}

// against fills the paired comparison with the first plan.
func (c *contender) against(first *contender) {
	for i := range min(len(c.seasons), len(first.seasons)) {
		var row []Band
		for _, m := range compared {
			row = append(row, difference(c.Outcome.Column(m, i), first.Outcome.Column(m, i)))
		}
		c.difference = append(c.difference, row)
		c.sumLess = append(c.sumLess, difference(c.soFar[i], first.soFar[i]))
		c.better = append(c.better, decide.Better(c.Outcome.Column(sim.Heads, i), c.soFar[i], first.Outcome.Column(sim.Heads, i), first.soFar[i]))
	}
	c.perYear = difference(c.margin, first.margin)
	c.ratio = decide.VarianceRatio(decide.Logs(c.last), decide.Logs(first.last))
	c.ratioMoney = decide.VarianceRatio(c.margin, first.margin)
}

func band(x []float64) Band { return Band(ensemble.Summarise(x)) }

// difference summarises x − y, run by run.
func difference(x, y []float64) Band { return band(decide.Differences(x, y)) }
