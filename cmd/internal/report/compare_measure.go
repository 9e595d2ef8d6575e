package report

import (
	"fmt"
	"strings"

	"rundown/sim"
)

// measure is what plans are ranked by as clean at the end: heads, or, where their
// crops differ then, seed in the soil, for heads hang on the crop that they stand in. That is seed after harvest: on 30
// June the last crop has not shed.
type measure struct {
	of     func(*contender) []float64
	form   Form
	least  string // having the least of it: "fewest heads"
	less   string // having less of it, at the end
	noun   string // in the question: "the fewest heads"
	amount string // after a number
	at     string // when that is
}

func measureOf(all []*contender) measure {
	if cropsThere(all) == "" {
		return measure{of: func(c *contender) []float64 { return c.last }, form: forms[sim.Heads], least: "fewest heads", less: "fewer heads " + atTheEnd(all),
			noun: "the fewest heads", amount: "heads per m²", at: atTheEnd(all)}
	}
	when := fmt.Sprintf("after harvest %d", all[0].seasons[all[0].end].HarvestYear)
	return measure{of: func(c *contender) []float64 { return c.bank }, form: forms[sim.SeedbankJune], least: "least seed in the soil", less: "less seed in the soil " + when,
		noun: "the least seed", amount: "seeds per m²", at: when}
}

// cropsThere names the crops that the plans have at the end where they differ. "":
// they do not.
func cropsThere(all []*contender) string {
	var crops []string
	in := map[string][]string{}
	for _, c := range all {
		crop := spoken(c.Calendar.Seasons[c.end].Courses[0].Crop.Name)
		if in[crop] == nil {
			crops = append(crops, crop)
		}
		in[crop] = append(in[crop], c.Name)
	}
	if len(crops) < 2 {
		return ""
	}
	for i, crop := range crops {
		crops[i] = crop + " in " + strings.Join(in[crop], ", ")
	}
	return fmt.Sprintf("The crops of harvest %d differ, and heads with them (%s): the plans are ranked by seed in the soil.", all[0].seasons[all[0].end].HarvestYear, strings.Join(crops, "; "))
}

// closeBehind names a plan that is nearly as clean as the cleanest and earns
// more, where that is not the one that earns most; "" where there is none. Nearly:
// at most half as much again, by the medians.
func closeBehind(all []*contender, m measure, cleanest, richest *contender, money string) string {
	var best *contender
	more := 0.0 // in margin, run by run
	for _, c := range all {
		gain := rounded10(difference(c.margin, cleanest.margin).P50)
		if c != cleanest && c != richest && median(m.of(c)) <= 1.5*median(m.of(cleanest)) && gain > more {
			best, more = c, gain
		}
	}
	if best == nil {
		return ""
	}
	return fmt.Sprintf("%s comes close: %s %s (median), and run by run %s %s more in margin than %s.", sentence(best.Name), m.form.Value(median(m.of(best))), m.amount,
		forms[sim.Margin].Value(more), money, cleanest.Name)
}
