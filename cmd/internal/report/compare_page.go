package report

import (
	"fmt"
	"slices"

	"rundown/sim"
)

// comparePage is what the page of a comparison says beyond its text.
func comparePage(all []*contender, r *Report) *Page {
	first := all[0]
	c := first.Calendar
	pictures, tables := r.Pictures, r.Tables
	decision := pictures[len(pictures)-1]
	p := &Page{
		Field:    fieldLine(first.Run),
		Question: fmt.Sprintf("Which of %d plans leaves %s of %s, and what does it cost?", len(all), measureOf(all).noun, c.Weed.Name),
		Answer:   []Verdict{cleanestVerdict(all), costVerdict(all)},
		Main:     &decision,
		Assumed:  assumedChapter(first.Run),
	}
	plans := Chapter{ID: "plans", Title: "The plans", Words: []string{
		"All plans start from the same field and meet the same weather, seasons and luck, run by run. Work stands on its planned day; the pale box is the days between which nine runs in ten drilled."}}
	for _, q := range all {
		plans.Pictures = append(plans.Pictures, calendarPictures(q.Run, q.seasons)...)
	}
	words := []string{"What is compared between two plans is the difference run by run, since both meet the same weather: it is known better than either band."}
	cleanest, richest := leaders(all)
	for _, text := range []string{closeBehind(all, measureOf(all), cleanest, richest, yearly(all)), cropsThere(all)} {
		if text != "" {
			words = append(words, text)
		}
	}
	if unequal(all) {
		words = append(words, fmt.Sprintf("The plans differ in length; they are set against each other %s, the last that all of them have.", atTheEnd(all)))
	}
	p.Chapters = []Chapter{
		{ID: "outcome", Title: "Where each plan leads", Words: words, Tables: slices.Concat(tables[:2], betterBySeason(all))},
		plans,
		{ID: "bands", Title: "Season by season", Words: []string{"Each plan has a panel of its own; the grey lines are the medians of the others."}, Pictures: pictures[:2], Tables: headsBySeason(all)},
		{ID: "money", Title: "The money", Words: []string{"The margin is yield times price less the crop's costs and the passes and sprays that were really done."}, Pictures: pictures[2 : len(pictures)-1], Tables: append(marginBySeason(all), costsOf(all))},
		{ID: "control", Title: "How much control it takes", Tables: tables[2:3]},
	}
	return p
}

// costsOf sets the accounts of the plans under each other.
func costsOf(all []*contender) Table {
	var names []string
	var plans [][]season
	for _, c := range all {
		names, plans = append(names, spoken(c.Name)), append(plans, c.seasons)
	}
	return costTable(all[0].Calendar.Currency, names, plans...)
}

// cleanestVerdict names the plan with the lowest median at the end, and says how
// often it is the cleanest of all.
func cleanestVerdict(all []*contender) Verdict {
	best, _ := leaders(all)
	m := measureOf(all)
	of := m.of(best)
	wins := 0.0
	for k := range of {
		least, ties := true, 1.0
		for _, c := range all {
			switch other := m.of(c); {
			case c == best:
			case other[k] < of[k]:
				least = false
			case other[k] == of[k]:
				ties++
			}
		}
		if least {
			wins += 1 / ties
		}
	}
	wins /= float64(len(of))
	if wins < 0.5 && len(all) == 2 {
		other := all[0]
		if best == all[0] {
			other = all[1]
		}
		return Verdict{"Neither plan is clearly the cleaner", fmt.Sprintf(": by the medians it is %s, %s %s %s%s, but run by run %s has less in %s of 100.",
			spoken(best.Name), m.form.Value(median(of)), m.amount, m.at, rangeOf(m.form, of), spoken(other.Name), Of100(1-wins))}
	}
	return Verdict{fmt.Sprintf("%s is %s to be the cleanest", sentence(spoken(best.Name)), likelihood(wins, all[0].Replicates)), fmt.Sprintf(": %s %s %s%s, the least of all plans in %s of 100 runs.",
		m.form.Value(median(of)), m.amount, m.at, rangeOf(m.form, of), Of100(wins))}
}

// costVerdict sets the cleanest plan against the one that earns most.
func costVerdict(all []*contender) Verdict {
	clean, rich := leaders(all)
	money := yearly(all)
	write := func(x float64) string { return forms[sim.Margin].Value(rounded10(x)) }
	earned := fmt.Sprintf("%s %s%s", write(median(rich.margin)), money, rangeOf(forms[sim.Margin], rich.margin))
	if clean == rich {
		return Verdict{"It costs nothing", fmt.Sprintf(": the same plan also has the best median margin, %s.", earned)}
	}
	paid := difference(rich.margin, clean.margin)
	dearer := share(len(clean.margin), func(k int) bool { return rich.margin[k] > clean.margin[k] })
	return Verdict{fmt.Sprintf("It is %s to cost margin", likelihood(dearer, all[0].Replicates)), fmt.Sprintf(": against %s, which earns %s, it gives up %s%s, and earns less in %s of 100 runs.",
		spoken(rich.Name), earned, write(paid.P50), nineInTen(write(paid.P05), write(paid.P95)), Of100(dearer))}
}
