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
	form   Form
	least  string // having the least of it: "fewest heads"
	less   string // having less of it, at the end
	noun   string // in the question: "the fewest heads"
	amount string // after a number
	at     string // when that is
}

func measureOf(x *comparison) measure {
	if x.SameCrop {
		return measure{form: forms[sim.Heads], least: "fewest heads", less: "fewer heads " + atTheEnd(x),
			noun: "the fewest heads", amount: "heads per m²", at: atTheEnd(x)}
	}
	when := fmt.Sprintf("after harvest %d", x.all[0].Seasons[x.End].HarvestYear)
	return measure{form: forms[sim.SeedbankJune], least: "least seed in the soil", less: "less seed in the soil " + when,
		noun: "the least seed", amount: "seeds per m²", at: when}
}

// cropsThere names the crops that the plans have at the end where they differ. "":
// they do not.
func cropsThere(x *comparison) string {
	if x.SameCrop {
		return ""
	}
	var crops []string
	in := map[string][]string{}
	for _, c := range x.all {
		crop := spoken(c.Calendar.Seasons[x.End].Courses[0].Crop.Name)
		if in[crop] == nil {
			crops = append(crops, crop)
		}
		in[crop] = append(in[crop], c.Name)
	}
	for i, crop := range crops {
		crops[i] = crop + " in " + strings.Join(in[crop], ", ")
	}
	return fmt.Sprintf("The crops of harvest %d differ, and heads with them (%s): the plans are ranked by seed in the soil.", x.all[0].Seasons[x.End].HarvestYear, strings.Join(crops, "; "))
}

// closeBehind names a plan that is nearly as clean as the cleanest and earns
// more, where that is not the one that earns most; "" where there is none.
func closeBehind(x *comparison, m measure, money string) string {
	if x.Close < 0 {
		return ""
	}
	best, cleanest := x.all[x.Close], x.all[x.Cleanest]
	return fmt.Sprintf("%s comes close: %s %s (median), and run by run %s %s more in margin than %s.", sentence(best.Name), m.form.Value(median(x.Measure(best.Contender))), m.amount,
		forms[sim.Margin].Value(x.CloseBy), money, cleanest.Name)
}
