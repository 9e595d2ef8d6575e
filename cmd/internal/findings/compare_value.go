package findings

import (
	"fmt"
	"slices"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim/decide"
	"rundown/sim/study"
)

// worthWords say which plan is worth most with what the seed that it leaves costs.
func worthWords(x *comparison) string {
	if x.Worth < 0 {
		return ""
	}
	best, money := x.all[x.Worth], perArea(x.all[0].Calendar)
	next := -1
	for i, c := range x.all {
		if i != x.Worth && (next < 0 || mean(c.Value.Year) > mean(x.all[next].Value.Year)) {
			next = i
		}
	}
	more := decide.Differences(best.Value.Year, x.all[next].Value.Year)
	if mean(more) <= decide.MeanError(more) {
		return fmt.Sprintf("With what their seed costs afterwards, these runs cannot tell %s and %s apart.", best.Name, x.all[next].Name)
	}
	return fmt.Sprintf("With what its seed costs afterwards, %s is worth most: about %s %s a year more than %s.", best.Name, pounds(x.area(), mean(more)),
		money, x.all[next].Name)
}

// valueColumns are what the usual table of plans says of their worth.
func valueColumns(x *comparison, t *report.Table) {
	if x.Worth < 0 {
		return
	}
	t.Columns = append(t.Columns, report.Column{Head: "Seed left", Unit: "costs a year", Right: true}, report.Column{Head: "Worth", Unit: "a year", Right: true})
	for i, c := range x.all {
		t.Rows[i].Cells = append(t.Rows[i].Cells, pounds(x.area(), mean(c.Value.LeftAYear())), pounds(x.area(), mean(c.Value.Year)))
	}
}

// valueTables is what each plan is worth, part by part.
func valueTables(x *comparison) []report.Table {
	if x.Worth < 0 {
		return nil
	}
	first := x.all[0]
	each := perArea(first.Calendar) + " a year"
	t := report.Table{Title: "With what the seed left behind costs", Keys: 1,
		Columns: []report.Column{{Head: "Plan"}, {Head: "Margin", Unit: each, Band: true}, {Head: "Taken afterwards", Unit: each + " of it", Band: true},
			{Head: "Seed left costs", Unit: each, Band: true}, {Head: "Worth", Unit: each, Band: true}, {Head: "Less " + first.Name, Unit: each, Band: true}},
		Legend: strings.Join(afterwardsWords(x), " ") + " 180 (40–620): the average is 180; nine runs in ten are between 40 and 620. " +
			"Margin counts later years for less here, so that it is not quite the average of the answer."}
	for i, c := range x.all {
		less := "–"
		if i > 0 {
			less = averaged(x.area(), difference(c.Value.Year, first.Value.Year))
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{c.Name, averaged(x.area(), band(c.Value.Margin)), averaged(x.area(), band(c.Value.Later)),
			averaged(x.area(), band(c.Value.LeftAYear())), averaged(x.area(), band(c.Value.Year)), less}})
	}
	return []report.Table{t}
}

// afterwardsWords say how a plan is valued.
func afterwardsWords(x *comparison) []string {
	c := x.all[0].Calendar
	all, err := c.Continued(rotations.Behind{})
	if err != nil {
		return nil // it was run, so it can be continued
	}
	return []string{
		fmt.Sprintf("Behind every plan %s grown. What the weed takes of %s yield there, against clean ground, is charged to the plan.", cropsBehind(all),
			itsOrTheir(all.After)),
		fmt.Sprintf("A sum counts for %s %% less for each year that it comes later; each column is the equal sum in every year of the plan that comes to "+
			"the same.", report.Shortest(100*c.Discount)),
		"How long one looks on decides much: seed that outlives those crops costs nothing here."}
}

// behindPlans names what is grown behind every plan, where that decides what seed costs.
func behindPlans(x *comparison) string {
	if x.Worth < 0 {
		return ""
	}
	return behindEvery(x.all[0].Calendar, "plan")
}

// behindEvery names what is grown behind every plan or rotation.
func behindEvery(c *rotations.Calendar, what string) string {
	all, err := c.Continued(rotations.Behind{})
	if err != nil {
		return "" // it was run, so it can be continued
	}
	return fmt.Sprintf(" Behind every %s %s grown.", what, cropsBehind(all))
}

func itsOrTheir(n int) string {
	if n == 1 {
		return "its"
	}
	return "their"
}

// cropsBehind names what is grown behind a plan: four seasons of winter wheat.
func cropsBehind(c *rotations.Calendar) string {
	var crops []string
	for _, s := range c.Seasons[len(c.Seasons)-c.After:] {
		crops = append(crops, spoken(s.Courses[0].Crop.Name))
	}
	switch {
	case len(crops) == 1:
		return "one season of " + crops[0] + " is"
	case len(slices.Compact(slices.Clone(crops))) == 1:
		return fmt.Sprintf("%s seasons of %s are", numeral(len(crops)), crops[0])
	}
	return strings.Join(crops, ", ") + " are"
}

// numeral is a small number as it is spoken.
func numeral(n int) string {
	words := []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
}

// worthObject is what a plan is worth; a study that was not asked for it has none.
func worthObject(v *study.Value) report.Object {
	if v == nil {
		return nil
	}
	return report.Object{{"left_behind_per_ha", band(v.Left)}, {"left_behind_per_ha_year", band(v.LeftAYear())},
		{"discounted_margin_per_ha_year", band(v.Margin)}, {"value_per_ha_year", band(v.Year)}, {"taken_afterwards_per_ha_year", band(v.Later)}}
}
