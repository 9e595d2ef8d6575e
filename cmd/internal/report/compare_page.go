package report

import (
	"fmt"
	"slices"

	"rundown/sim"
	"rundown/sim/study"
)

// comparePage is what the page of a comparison says beyond its text.
func comparePage(x *comparison, r *Report) *Page {
	first := x.all[0]
	c := first.Calendar
	pictures, tables := r.Pictures, r.Tables
	decision := pictures[len(pictures)-1]
	p := &Page{
		Field:    fieldLine(first.Run),
		Question: fmt.Sprintf("Which of %d plans leaves %s of %s, and what does it cost?", len(x.all), measureOf(x).noun, c.Weed.Name),
		Answer:   []Verdict{cleanestVerdict(x), costVerdict(x)},
		Main:     &decision,
		Assumed:  assumedChapter(first.Run, first.Forecast),
	}
	plans := Chapter{ID: "plans", Title: "The plans", Words: []string{
		"All plans start from the same field and meet the same weather, seasons and luck, run by run. Work stands on its planned day; the pale box is the days between which nine runs in ten drilled."}}
	for _, q := range x.all {
		plans.Pictures = append(plans.Pictures, calendarPictures(q.Run, q.Seasons)...)
	}
	words := []string{"What is compared between two plans is the difference run by run, since both meet the same weather: it is known better than either band."}
	for _, text := range []string{closeBehind(x, measureOf(x), yearly(x)), cropsThere(x)} {
		if text != "" {
			words = append(words, text)
		}
	}
	if x.Unequal {
		words = append(words, fmt.Sprintf("The plans differ in length; they are set against each other %s, the last that all of them have.", atTheEnd(x)))
	}
	p.Chapters = []Chapter{
		{ID: "outcome", Title: "Where each plan leads", Words: words, Tables: slices.Concat(tables[:2], betterBySeason(x))},
		plans,
		{ID: "bands", Title: "Season by season", Words: []string{"Each plan has a panel of its own; the grey lines are the medians of the others."}, Pictures: pictures[:2], Tables: headsBySeason(x)},
		{ID: "money", Title: "The money", Words: []string{"The margin is yield times price less the crop's costs and the passes and sprays that were really done."}, Pictures: pictures[2 : len(pictures)-1], Tables: append(marginBySeason(x), costsOf(x))},
		{ID: "control", Title: "How much control it takes", Tables: tables[2:3]},
	}
	return p
}

// costsOf sets the accounts of the plans under each other.
func costsOf(x *comparison) Table {
	var names []string
	var plans [][]study.Season
	for _, c := range x.all {
		names, plans = append(names, spoken(c.Name)), append(plans, c.Seasons)
	}
	return costTable(x.all[0].Calendar.Currency, names, plans...)
}

// cleanestVerdict names the plan with the lowest median at the end, and says how
// often it is the cleanest of all.
func cleanestVerdict(x *comparison) Verdict {
	best, m := x.all[x.Cleanest], measureOf(x)
	of := x.Measure(best.Contender)
	if x.Wins < 0.5 && len(x.all) == 2 {
		other := x.all[1-x.Cleanest]
		return Verdict{"Neither plan is clearly the cleaner", fmt.Sprintf(": by the medians it is %s, %s %s %s%s, but run by run %s has less in %s of 100.",
			spoken(best.Name), m.form.Value(median(of)), m.amount, m.at, rangeOf(m.form, of), spoken(other.Name), Of100(1-x.Wins))}
	}
	return Verdict{fmt.Sprintf("%s is %s to be the cleanest", sentence(spoken(best.Name)), likelihood(x.Wins, x.Replicates)), fmt.Sprintf(": %s %s %s%s, the least of all plans in %s of 100 runs.",
		m.form.Value(median(of)), m.amount, m.at, rangeOf(m.form, of), Of100(x.Wins))}
}

// costVerdict sets the cleanest plan against the one that earns most.
func costVerdict(x *comparison) Verdict {
	clean, rich := leaders(x)
	money := yearly(x)
	write := func(x float64) string { return forms[sim.Margin].Value(rounded10(x)) }
	earned := fmt.Sprintf("%s %s%s", write(median(rich.Yearly)), money, rangeOf(forms[sim.Margin], rich.Yearly))
	if clean == rich {
		return Verdict{"It costs nothing", fmt.Sprintf(": the same plan also has the best median margin, %s.", earned)}
	}
	return Verdict{fmt.Sprintf("It is %s to cost margin", likelihood(x.Dearer, x.Replicates)), fmt.Sprintf(": against %s, which earns %s, it gives up %s%s, and earns less in %s of 100 runs.",
		spoken(rich.Name), earned, write(x.Paid.P50), nineInTen(write(x.Paid.P05), write(x.Paid.P95)), Of100(x.Dearer))}
}
