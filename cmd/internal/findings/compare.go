package findings

import (
	"fmt"
	"slices"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim/decide"
	"rundown/sim/study"
)

// CompareFormat names the JSON that compare writes. Within a format keys are only added.
const CompareFormat = "rundown.compare/1"

// CompareRun is what the report of a comparison is made from.
type CompareRun struct {
	Runs  []Run // of the plans, in order
	Found *study.Compare
}

// contender is one plan of a comparison.
type contender struct {
	Run
	*study.Contender
}

// comparison is a comparison with the names of its plans.
type comparison struct {
	*study.Compare
	all []*contender
}

func newComparison(r CompareRun) *comparison {
	x := &comparison{Compare: r.Found}
	for i, run := range r.Runs {
		x.all = append(x.all, &contender{run, r.Found.Plans[i]})
	}
	return x
}

// Compare assembles the report of plans under common random numbers.
func Compare(run CompareRun) *report.Report {
	x := newComparison(run)
	first := run.Runs[0]
	warnings := compareWarnings(x)
	r := &report.Report{
		Title:     fmt.Sprintf("%s: %d plans compared", first.Calendar.Name, len(run.Runs)),
		Subtitle:  forecastSubtitle(first) + " Every plan meets the same weather, seasons and luck." + behindPlans(x),
		Answer:    compareAnswer(x),
		Short:     shortPlans(x),
		Lines:     40,
		Sentences: compareSentences(x),
		Tables: slices.Concat([]report.Table{planTable(x), differenceTable(x), controlTable(x)}, valueTables(x), headsBySeason(x), marginBySeason(x),
			betterBySeason(x), spentPlans(x), comparedResistance(x)),
		Pictures: comparePictures(x),
		Warnings: warnings,
		Cautions: Cautions(),
		Method:   bandsMethod(),
		Document: compareDocument(x, warnings),
		Made:     first.made(first.Replicates),
		Plans:    plansOf(run.Runs...),
	}
	if f := comparedKills(x); f != nil {
		r.Pictures = append(r.Pictures, report.Picture{Name: "resistance", Figure: f})
	}
	r.Page = func() *report.Page { return comparePage(x, r) }
	return r
}

// area is the unit of land in which the plans are shown, the first one's.
func (x *comparison) area() rotations.Area { return x.all[0].Calendar.Area }

// atTheEnd names the end of a comparison.
func atTheEnd(x *comparison) string {
	if x.Unequal {
		return fmt.Sprintf("at harvest %d", x.all[0].Seasons[x.End].HarvestYear)
	}
	return "at the end"
}

// yearly is the unit of the margin to the end, the mean of the seasons up to it.
func yearly(x *comparison) string {
	if x.End == 0 {
		return perArea(x.all[0].Calendar)
	}
	return perArea(x.all[0].Calendar) + " a year"
}

// difference summarises x − y, run by run.
func difference(x, y []float64) report.Band { return band(decide.Differences(x, y)) }
