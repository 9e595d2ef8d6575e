package findings

import (
	"fmt"
	"math"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/study"
)

// Verdicts of a comparison.
const (
	plansAlike = "alike" // no run tells them apart
	plansOne   = "one"   // one plan is cleanest and earns most
	plansTrade = "trade" // what is cleanest does not earn most
)

func compareAnswer(x *comparison) *report.Answer {
	a := &report.Answer{Verdict: plansTrade, Facts: report.Object{{"cleanest", x.all[x.Cleanest].Name}, {"most_profitable", x.all[x.Richest].Name},
		{"about_as_clean", x.Near}}}
	switch {
	case x.Alike:
		a.Verdict = plansAlike
	case x.Cleanest == x.Richest:
		a.Verdict = plansOne
	}
	var plans []report.Object
	for _, c := range x.all {
		plans = append(plans, append(report.Object{{"name", c.Name}}, againstObject(c.Against)...))
	}
	a.Facts = append(a.Facts, report.Member{"plans", plans})
	if x.Worth >= 0 {
		a.Facts = append(a.Facts, report.Member{"worth_most", x.all[x.Worth].Name})
	}
	if x.Alike {
		a.Sentences = compact("The plans cannot be told apart: seed at the end and margin are the same in every run.", noResistance(x.all[0].Run))
		return a
	}
	besides, left := besidesWords(x)
	if left > 0 {
		a.Aside = report.Aside{Behind: besides, Words: moreDifferences(left) + " with --full"}
	}
	rest := compact(worthWords(x), besides, endsOfPlans(x), resistanceOfPlans(x))
	if len(x.all) == 2 {
		a.Sentences = append(append(changedPlans(x), twoPlans(x)...), rest...)
		return a
	}
	a.Sentences = manyPlans(x, changedPlans(x), rest)
	return a
}

// againstObject is what one way of farming has more or less than another.
func againstObject(g study.Against) report.Object {
	return report.Object{{"heads_difference", g.Heads}, {"seed_difference", g.Seed}, {"margin_difference_per_ha_year", g.MarginYear},
		{"margin_difference_field_year", g.MarginField}, {"cleaner_share", g.Cleaner}, {"earns_more_share", g.EarnsMore}}
}

// changedPlans say of the plan whose crop goes in least how often that is.
func changedPlans(x *comparison) []string {
	var worst *contender
	least, told := 1.0, 0
	for _, c := range x.all {
		list := c.Forecast.Answer.Changed
		if len(list) > 0 {
			told++
		}
		for _, ch := range list {
			if ch.Planned < least {
				least, worst = ch.Planned, c
			}
		}
	}
	if worst == nil {
		return nil
	}
	name := worst.Name
	if told == len(x.all) {
		name += " (the others alike)"
	}
	text := changedWords(worst.Seasons, worst.Forecast.Answer.Changed)
	return []string{fmt.Sprintf("%s: %s", sentence(name), strings.ToLower(text[:1])+text[1:])}
}

func cleanestWords(x *comparison) string {
	clean, other, t := x.all[x.Cleanest].Name, x.all[x.Other].Name, x.Trade
	form := forms[sim.SeedbankJune]
	if t.Seed > 0 || t.Cleaner < 0.5 { // the middles say one thing, most runs another
		return fmt.Sprintf("%s has the least seed by the middle run, though %s ends with less in %s: neither is surely cleaner.", sentence(clean), other,
			ofRuns(1-t.Cleaner))
	}
	if x.Near {
		return nearWords(x)
	}
	ends, others := form.Value(median(x.all[x.Cleanest].Contender.Seed)), form.Value(median(x.all[x.Other].Contender.Seed))
	if math.Abs(t.Seed) < form.Least || ends == others {
		return fmt.Sprintf("%s is %s by a hair: less seed than %s in %s.", sentence(clean),
			most(x, "cleaner", "cleanest"), other, ofRuns(t.Cleaner))
	}
	return fmt.Sprintf("%s is %s: it ends with %s seeds per m² where %s has %s, and with fewer in %s.", sentence(clean),
		most(x, "cleaner", "cleanest"), ends, other, others, ofRuns(t.Cleaner))
}

// nearWords say that nobody who walks the field could tell the two apart, however sure the
// difference is.
func nearWords(x *comparison) string {
	clean, other, form := x.all[x.Cleanest], x.all[x.Other], forms[sim.SeedbankJune]
	a, b := form.Value(median(clean.Contender.Seed)), form.Value(median(other.Contender.Seed))
	ends := fmt.Sprintf("about %s seeds per m²", a)
	if a != b {
		ends = fmt.Sprintf("%s and %s seeds per m²", a, b)
	}
	return fmt.Sprintf("%s and %s end about as clean: with %s; %s has fewer in %s.", sentence(clean.Name), other.Name, ends, clean.Name,
		ofRuns(x.Trade.Cleaner))
}

// most is the word for the one of two plans, or of more.
func most(x *comparison, ofTwo, ofMore string) string {
	if len(x.all) == 2 {
		return ofTwo
	}
	return ofMore
}

// tradeWords are what the cleanest plan costs, or brings besides.
func tradeWords(x *comparison) string {
	c := x.all[0].Run.Calendar
	t, other, it, also := x.Trade, x.all[x.Other].Name, "It", " also"
	if x.Near {
		it, also = sentence(x.all[x.Cleanest].Name), ""
	}
	each := " a year"
	if x.End == 0 {
		each = ""
	}
	field := fmt.Sprintf("%s for the %s", fieldMoney(math.Abs(t.MarginField)), sizeOf(c.Area, c.AreaHa))
	switch {
	case math.Abs(t.MarginYear) <= t.MarginError:
		return fmt.Sprintf("These runs cannot tell their margins apart: %s earns more than %s in %s of 100.", x.all[x.Cleanest].Name, other,
			report.Of100(t.EarnsMore))
	case math.Abs(t.MarginYear) < study.WorthSaying:
		return fmt.Sprintf("They earn about as much: %s more than %s in %s.", x.all[x.Cleanest].Name, other, ofRuns(t.EarnsMore))
	case t.MarginYear < 0:
		return fmt.Sprintf("%s earns about %s %s%s less than %s, %s; %s earns more in %s.", it, pounds(c.Area, -t.MarginYear), perArea(c), each, other,
			field, other, ofRuns(1-t.EarnsMore))
	}
	return fmt.Sprintf("%s%s earns about %s %s%s more than %s, %s, and more in %s.", it, also, pounds(c.Area, t.MarginYear), perArea(c), each, other,
		field, ofRuns(t.EarnsMore))
}

// ownWords set the cleanest plan against the first, which is the grower's own, where nothing
// else does.
func ownWords(x *comparison) string {
	if x.Cleanest == 0 || x.Other == 0 {
		return ""
	}
	own, clean, c := x.all[0].Name, x.all[x.Cleanest], x.all[0].Run.Calendar
	a := clean.Against
	money := "earns about as much"
	if math.Abs(a.MarginYear) > a.MarginError && math.Abs(a.MarginYear) >= study.WorthSaying {
		more := "more"
		if a.MarginYear < 0 {
			more = "less"
		}
		money = fmt.Sprintf("earns about %s %s %s", pounds(c.Area, math.Abs(a.MarginYear)), yearly(x), more)
	}
	return fmt.Sprintf("Against %s, the first plan, %s %s and ends with less seed in %s.", own, clean.Name, money, ofRuns(a.Cleaner))
}

// endsOfPlans say where the plans end on different crops.
func endsOfPlans(x *comparison) string {
	if x.SameCrop {
		return ""
	}
	return "The plans end on different crops: part of the difference in seed is theirs."
}
