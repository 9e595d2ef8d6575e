package findings

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/study"
)

// twoPlans say which of two plans is cleaner, and what that costs.
func twoPlans(x *comparison) []string { return compact(cleanestWords(x), tradeWords(x)) }

// manyPlans say of three plans or more where each ends, in seed and in money, and then what lies
// between the cleanest and the one that it is set against. Where there is no room for
// all, the ends of the orders are told.
func manyPlans(x *comparison, before, behind []string) []string {
	var said []string
	for _, try := range []struct{ all, own, money bool }{{true, true, true}, {true, false, true}, {false, true, true}, {false, false, true}, {}} {
		parts := [][]string{before, seedOrder(x, try.all), nil, pairWords(x), nil, behind}
		if try.money {
			parts[2] = []string{moneyOrder(x, try.all)}
		}
		if try.own {
			parts[4] = []string{ownWords(x)}
		}
		if said = compact(slices.Concat(parts...)...); report.AnswerFits(said) {
			break
		}
	}
	return said
}

// order is the plans by a number, the least first.
func (x *comparison) order(by func(c *contender) float64) []*contender {
	list := slices.Clone(x.all)
	slices.SortStableFunc(list, func(a, b *contender) int {
		switch d := by(a) - by(b); {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	return list
}

// listed is so much of an order as has room: early-wheat 5, late-wheat 7 and two-springs 9. The
// second verb goes with those behind the first.
func listed(list []*contender, all bool, verb string, value func(c *contender) string) string {
	var parts []string
	for i, c := range list {
		if i == 0 {
			parts = append(parts, c.Name+verb+value(c))
			continue
		}
		parts = append(parts, c.Name+" "+value(c))
	}
	n := len(parts) - 1
	if text := strings.Join(parts[:n], ", ") + " and " + parts[n]; n > 0 && all && len(strings.Fields(text)) <= mostWords/2 {
		return text
	}
	last := list[n]
	between := "one lies"
	if n > 1 {
		between = numeral(n) + " lie"
	}
	return fmt.Sprintf("%s%s%s, and %s between", last.Name, verb, value(last), between)
}

// seedOrder says which plan is cleanest, and the seed at the end of all.
func seedOrder(x *comparison, all bool) []string {
	form := forms[sim.SeedbankJune]
	list := x.order(func(c *contender) float64 { return median(c.Contender.Seed) })
	i := slices.Index(list, x.all[x.Cleanest])
	list = slices.Insert(slices.Delete(list, i, i+1), 0, x.all[x.Cleanest])
	seed := func(c *contender) string { return form.Value(median(c.Contender.Seed)) }
	if t := x.Trade; t.Seed > 0 || t.Cleaner < 0.5 || x.Near || math.Abs(t.Seed) < form.Least {
		return []string{cleanestWords(x), fmt.Sprintf("Seeds per m² at the end: %s.", listed(list, all, " ", seed))}
	}
	return []string{fmt.Sprintf("%s is cleanest: it ends with %s seeds per m²; %s.", sentence(list[0].Name), seed(list[0]),
		listed(list[1:], all, " has ", seed))}
}

// moneyOrder says which plan earns most, and what all earn.
func moneyOrder(x *comparison, all bool) string {
	list := x.order(func(c *contender) float64 { return -mean(c.Yearly) })
	money := func(c *contender) string { return pounds(x.area(), mean(c.Yearly)) }
	most := "earns most"
	if d := decide.Differences(list[0].Yearly, list[1].Yearly); mean(d) <= decide.MeanError(d) {
		most = "comes first by margin"
	}
	return fmt.Sprintf("%s %s, about %s %s; %s.", sentence(list[0].Name), most, money(list[0]), yearly(x), listed(list[1:], all, " earns ", money))
}

// pairWords are what the cleanest plan costs, or brings besides, against the one that matters most.
func pairWords(x *comparison) []string {
	c, t := x.all[0].Run.Calendar, x.Trade
	clean, other := x.all[x.Cleanest].Name, x.all[x.Other].Name
	less := fmt.Sprintf("Against %s, %s has less seed in %s", other, clean, ofRuns(t.Cleaner))
	and := " and"
	if x.Near { // how often is said already
		less, and = fmt.Sprintf("Against %s, %s", other, clean), ""
	}
	if math.Abs(t.MarginYear) <= t.MarginError || math.Abs(t.MarginYear) < study.WorthSaying {
		if x.Near {
			return []string{tradeWords(x)}
		}
		return []string{less + ".", tradeWords(x)}
	}
	more, who, than, odds := "more", clean, other, t.EarnsMore
	if t.MarginYear < 0 {
		more, who, than, odds = "less", other, clean, 1-t.EarnsMore
	}
	return []string{fmt.Sprintf("%s%s earns about %s %s %s, %s for the %s.", less, and, pounds(c.Area, math.Abs(t.MarginYear)), yearly(x), more,
		fieldMoney(math.Abs(t.MarginField)), sizeOf(c.Area, c.AreaHa)), fmt.Sprintf("%s earns more than %s in %s.", sentence(who), than, ofRuns(odds))}
}
