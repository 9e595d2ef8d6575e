package findings

import (
	"fmt"
	"slices"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/study"
)

// comparePage is what the page of a comparison says beyond its text.
func comparePage(x *comparison, r *report.Report) *report.Page {
	first := x.all[0]
	c := first.Calendar
	pictures, tables := r.Pictures[:4], r.Tables // what sprays kill stands after them
	decision := pictures[3]
	p := &report.Page{
		Field:    fieldLine(first.Run),
		Question: fmt.Sprintf("Which of %d plans leaves %s of %s, and what does it cost?", len(x.all), most(x, "less seed", "the least seed"), weedName(c)),
		Keys:     compareKeys(x),
		Main:     &decision,
		Scale:    compareScale(c),
		Assumed:  assumedChapter(first.Run, first.Forecast),
	}
	plans := report.Chapter{ID: "plans", Title: "The plans", Words: []string{
		"All plans start from the same field and meet the same weather, seasons and luck, run by run. Work stands on its planned day; the pale box is " +
			"the days between which nine runs in ten drilled."}}
	var all [][]study.Season
	foldedAway := false
	for _, q := range x.all {
		all = append(all, q.Seasons)
		plans.Pictures = append(plans.Pictures, calendarPictures(q.Run, q.Seasons)...)
		plans.Tables = append(plans.Tables, pageWork(calendarName(q.Run)+": what happened to the work", q.Seasons)...)
		foldedAway = foldedAway || isFolded(q.Seasons)
	}
	for i := range plans.Tables[:max(0, len(plans.Tables)-1)] {
		plans.Tables[i].Legend = "" // the last one's stands for all
	}
	if foldedAway {
		plans.Words = append(plans.Words, foldedWords)
	}
	plans.Words = append(plans.Words, paleWords(all...)...)
	words := []string{"What is compared between two plans is the difference run by run, since both meet the same weather: it is known better than either band."}
	for _, text := range []string{closeBehind(x, yearly(x)), cropsThere(x)} {
		if text != "" {
			words = append(words, text)
		}
	}
	if x.Unequal {
		words = append(words, fmt.Sprintf("The plans differ in length; they are set against each other %s, the last that all of them have.", atTheEnd(x)))
	}
	p.Chapters = []report.Chapter{
		{ID: "outcome", Title: "Where each plan leads", Words: words, Tables: slices.Concat(tables[:2], betterBySeason(x))},
		plans,
		{ID: "bands", Title: "Season by season", Words: []string{"Each plan has a panel of its own; the grey lines are the middle runs of the others."},
			Pictures: pictures[:2], Tables: headsBySeason(x)},
		{ID: "money", Title: "The money", Words: []string{"The margin is yield times price less the crop's costs and the passes and sprays that were " +
			"really done. " + priceYears(pricesOf(x))}, Pictures: pictures[2:3],
			Tables: slices.Concat(valueTables(x), spentPlans(x), marginBySeason(x), []report.Table{costsOf(x)})},
		{ID: "control", Title: "How much control it takes", Tables: tables[2:3]},
	}
	if t := comparedResistance(x); t != nil {
		p.Chapters = slices.Insert(p.Chapters, 3, report.Chapter{ID: "resistance", Title: "Resistance", Words: compact(evolvingWays, unpictured(x)),
			Pictures: r.Pictures[4:], Tables: t})
	}
	return p
}

// mostKeys is how many plans have their margin at the head of a page: the first, the cleanest
// and the one that earns most, where there are more.
const mostKeys = 3

// compareKeys are what plans earn; the answer above has their seed.
func compareKeys(x *comparison) (keys []report.KeyNumber) {
	for i, c := range x.all {
		if len(x.all) > mostKeys && i != 0 && i != x.Cleanest && i != x.Richest {
			continue
		}
		b := aroundMean(perBand(x.area(), band(c.Yearly)))
		step := forms[sim.Margin].Step(b.P95-b.P05, b.P50)
		keys = append(keys, report.KeyNumber{Name: sentence(c.Name) + " earns, on average", Unit: yearly(x), Value: report.Rounded(b.P50, step),
			Range: report.Rounded(b.P05, step) + " to " + report.Rounded(b.P95, step)})
	}
	return keys
}

// pricesOf are those of all plans.
func pricesOf(x *comparison) []dear {
	var plans []*rotations.Calendar
	for _, c := range x.all {
		plans = append(plans, c.Calendar)
	}
	return plannedPrices(plans...)
}

// costsOf sets the accounts of the plans under each other.
func costsOf(x *comparison) report.Table {
	var names []string
	var plans [][]study.Season
	for _, c := range x.all {
		names, plans = append(names, spoken(c.Name)), append(plans, c.Seasons)
	}
	return costTable(x.all[0].Calendar, names, plans...)
}
