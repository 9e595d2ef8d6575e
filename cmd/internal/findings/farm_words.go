package findings

import (
	"fmt"
	"math"
	"rundown/cmd/internal/report"
	"slices"
	"strings"

	"rundown/sim/decide"
	"rundown/sim/study"
)

// Verdicts of a farm.
const (
	farmOnePlan = "one-plan" // one plan earns most on every field
	farmByField = "by-field" // fields differ in the plan that earns most
	farmSingle  = "single"   // there is but one plan
)

func farmAnswer(r FarmRun) *report.Answer {
	f := r.Found
	best := bestOn(f)
	a := &report.Answer{Verdict: farmByField}
	switch {
	case len(f.Names) == 1:
		a.Verdict = farmSingle
	case slices.Max(best) == len(f.Fields):
		a.Verdict = farmOnePlan
	}
	going := waysOf(f)
	a.Facts = report.Object{{"fields", len(f.Fields)}, {"area_ha", f.AreaHa}}
	var plans []report.Object
	for i, name := range f.Names {
		plans = append(plans, report.Object{{"name", name}, {"best_on_fields", best[i]}, {"money_year", f.Plans[i].Band.Mean}})
	}
	a.Facts = append(a.Facts, report.Member{"plans", plans}, report.Member{"best_everywhere", f.Names[f.Best]},
		report.Member{"chosen_money_year", f.Chosen.Band}, report.Member{"chosen_over_best_everywhere_year", f.Lead.Mean},
		report.Member{"chosen_earns_more_share", f.MoreOver},
		report.Member{"fields_down", going[study.Down] + going[study.LikelyDown]}, report.Member{"fields_up", going[study.Up] + going[study.LikelyUp]},
		report.Member{"fields_not_settled", unsettledFields(f)}, report.Member{"fields_cleaner_otherwise", cleanerOtherwise(f)},
		report.Member{"fields_foulest_earns_most", foulestEarnsMost(f)})
	if f.Worth != nil {
		a.Facts = append(a.Facts, report.Member{"worth_most_everywhere", f.Names[f.MostLeft]})
	}
	if len(f.Names) > 1 {
		top := f.ByStake()[0]
		a.Facts = append(a.Facts, report.Member{"most_at_stake", top.Name}, report.Member{"stake_field_year", top.Stake})
	}
	a.Sentences = compact(suitsWords(r, best), farmMoneyWords(r), choiceWords(r), stakeWords(r), leftWords(r), waysWords(r, going))
	return a
}

// bestOn is on how many fields each plan earns most.
func bestOn(f *study.Farm) []int {
	out := make([]int, len(f.Names))
	for _, x := range f.Fields {
		out[x.Best]++
	}
	return out
}

// waysOf counts fields by where the weed goes under the plan that earns most.
func waysOf(f *study.Farm) map[study.Verdict]int {
	out := map[study.Verdict]int{}
	for _, x := range f.Fields {
		out[x.Plans[x.Best].Change.Verdict]++
	}
	return out
}

func unsettledFields(f *study.Farm) (n int) {
	for _, x := range f.Fields {
		if x.Next >= 0 && !x.Settled {
			n++
		}
	}
	return n
}

// leftWords say what the plans that earn most leave behind, or what that costs.
func leftWords(r FarmRun) string {
	if r.Found.Worth == nil {
		return cleanerWords(r)
	}
	return farmWorthWords(r)
}

// farmWorthWords say which plan is worth most with what its seed costs afterwards.
func farmWorthWords(r FarmRun) string {
	f := r.Found
	top := f.Worth[f.MostLeft]
	if len(f.Names) == 1 {
		return fmt.Sprintf("Less what the seed that it leaves costs later, that is about %s %s a year.", fieldMoney(top.Band.Mean), r.Currency)
	}
	next := -1
	for i, w := range f.Worth {
		if i != f.MostLeft && (next < 0 || w.Band.Mean > f.Worth[next].Band.Mean) {
			next = i
		}
	}
	more := decide.Differences(top.ByRun, f.Worth[next].ByRun)
	if mean(more) <= decide.MeanError(more) {
		return fmt.Sprintf("With what their seed costs afterwards, these runs cannot tell %s and %s apart.", f.Names[f.MostLeft], f.Names[next])
	}
	return fmt.Sprintf("With what its seed costs afterwards, %s is worth most: about %s %s a year more than %s.", f.Names[f.MostLeft], fieldMoney(mean(more)),
		r.Currency, f.Names[next])
}

// mostNamed is how many plans a sentence names.
const mostNamed = 3

// suitsWords say which plan earns most on how many fields.
func suitsWords(r FarmRun, best []int) string {
	f := r.Found
	if len(f.Names) == 1 {
		return ""
	}
	if x := r.alone(); x != nil {
		if x.Settled {
			return fmt.Sprintf("%s earns most on %s.", sentence(f.Names[x.Best]), x.Name)
		}
		return fmt.Sprintf("On %s these runs cannot tell %s and %s apart by what they earn.", x.Name, f.Names[x.Best], f.Names[x.Next])
	}
	order := make([]int, len(best))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return best[b] - best[a] })
	if best[order[0]] == len(f.Fields) {
		return fmt.Sprintf("%s earns most on every one of the %d fields.", sentence(f.Names[order[0]]), len(f.Fields))
	}
	var parts []string
	for k, i := range order {
		if best[i] == 0 || k == mostNamed {
			break
		}
		if k == 0 {
			parts = append(parts, fmt.Sprintf("%s earns most on %d of %d fields", sentence(f.Names[i]), best[i], len(f.Fields)))
			continue
		}
		parts = append(parts, fmt.Sprintf("%s on %d", f.Names[i], best[i]))
	}
	return strings.Join(parts, ", ") + "."
}

// farmMoneyWords say what the farm earns, and how surely.
func farmMoneyWords(r FarmRun) string {
	f := r.Found
	b := f.Chosen.Band
	how := "The best plan on each field"
	switch x := r.alone(); {
	case x != nil:
		how = sentence(f.Names[x.Best])
	case len(f.Names) == 1:
		how = "The farm"
	case slices.Max(bestOn(f)) == len(f.Fields):
		how = "It"
	}
	verb, x := "earns", b.Mean
	if x < 0 {
		verb, x = "loses", -x
	}
	return fmt.Sprintf("%s %s about %s %s a year, %s to %s in nine runs of ten.", how, verb, fieldMoney(x), r.Currency, fieldMoney(b.P05), fieldMoney(b.P95))
}

// choiceWords say what choosing by field is worth.
func choiceWords(r FarmRun) string {
	f := r.Found
	if len(f.Names) == 1 || r.alone() != nil {
		return ""
	}
	if slices.Max(bestOn(f)) == len(f.Fields) {
		return ""
	}
	if math.Abs(f.Lead.Mean) < 5 {
		return fmt.Sprintf("That is no more than %s on every field.", f.Names[f.Best])
	}
	return fmt.Sprintf("That is %s %s more than %s on every field, and more in %s.", fieldMoney(f.Lead.Mean), r.Currency, f.Names[f.Best],
		ofRuns(f.MoreOver))
}

// areaWords are units of land as one says them behind a sum.
var areaWords = map[string]string{"ha": "a hectare", "ac": "an acre"}

// stakeWords name the field on which the choice matters most.
func stakeWords(r FarmRun) string {
	f := r.Found
	if len(f.Names) == 1 {
		return ""
	}
	x := f.ByStake()[0]
	if x.Stake <= 0 {
		return ""
	}
	if r.alone() != nil {
		return fmt.Sprintf("Between %s and %s lie %s %s a year, %s %s.", f.Names[x.Best], f.Names[x.Worst], fieldMoney(x.Stake), r.Currency,
			pounds(r.Area, x.Stake/x.AreaHa), areaWords[r.Area.Name])
	}
	return fmt.Sprintf("The choice matters most on %s: %s %s a year lie between plans.", x.Name, fieldMoney(x.Stake), r.Currency)
}

// waysWords say where the weed goes under the plans that earn most.
func waysWords(r FarmRun, going map[study.Verdict]int) string {
	f := r.Found
	weed := sentence(weedCalled(r.Weed))
	if x := r.alone(); x != nil {
		c := x.Plans[x.Best].Change
		return fmt.Sprintf("%s %s there: it ends %s.", weed, ways[c.Verdict], lowerOrHigher(c))
	}
	var parts []string
	for _, way := range []struct {
		n    int
		text string
	}{{going[study.Down] + going[study.LikelyDown], "down"}, {going[study.EitherWay], "either way"}, {going[study.Up] + going[study.LikelyUp], "up"}} {
		switch {
		case way.n == len(f.Fields):
			return fmt.Sprintf("%s goes %s on every field.", weed, way.text)
		case way.n > 0 && len(parts) == 0:
			parts = append(parts, fmt.Sprintf("%s on %s", way.text, plural(way.n, "field")))
		case way.n > 0:
			parts = append(parts, fmt.Sprintf("%s on %d", way.text, way.n))
		}
	}
	under := ""
	if len(f.Names) > 1 {
		under, weed = "Under the plans that earn most ", weedCalled(r.Weed)
	}
	return fmt.Sprintf("%s%s goes %s, surely or probably.", under, weed, strings.Join(parts, ", "))
}

// spreadSentences say what fields share, and how wide that leaves the farm's money.
func spreadSentences(r FarmRun) []string {
	f := r.Found
	if r.alone() != nil || f.Chosen.SD == 0 {
		return nil
	}
	m := f.Chosen
	return []string{
		"All fields meet the same years, prices and values of weed and crops, run by run; chance, the infestation at the start and what is a field's own are " +
			"each field's.",
		fmt.Sprintf("The farm's money a year varies by %s %s (standard deviation). If its fields shared nothing that were %s; if all went up and down as one, %s.",
			fieldMoney(m.SD), r.Currency, fieldMoney(m.Apart), fieldMoney(m.Together)),
	}
}

// chosenBySameRuns is what to mind where plans are chosen by the runs that then say what
// they earn.
func chosenBySameRuns(r FarmRun) string {
	if len(r.Found.Names) == 1 {
		return ""
	}
	return " Plans are chosen by the runs that then say what they earn; where two are close that flatters the choice a little, by less than the error of " +
		"the runs on a field."
}

// farmWarnings are what must be known before acting on a farm.
func farmWarnings(r FarmRun) []report.Warning {
	var out []report.Warning
	f := r.Found
	var missed []string
	least, none, some, covers, unmet := 1.0, 0, 0, false, 0.0
	evolves := false
	for _, x := range f.Fields {
		p := &x.Plans[x.Best]
		if p.Planned < 0.9 {
			missed = append(missed, x.Name)
			least = min(least, p.Planned)
		}
		if x.Resistance {
			some++
		} else {
			none++
		}
		if x.Evolves {
			evolves = true
		}
		covers = covers || x.Covers
		unmet = max(unmet, p.Unmet)
	}
	if n := len(missed); n > 0 {
		out = append(out, report.Warning{Code: string(study.NotDrilled), Text: fmt.Sprintf("On %s a planned crop of the plan that earns most could often not "+
			"be drilled in time, in the worst season in %s of 100 runs: %s.",
			plural(n, "field"), report.Of100(1-least), someNames(missed))})
	}
	if len(f.Names) > 1 {
		out = append(out, noBreak)
	}
	out = append(out, report.Warning{Code: string(study.Resistance), Text: farmResistance(some, none, evolves)})
	if covers {
		out = append(out, report.Warning{Code: string(study.CoverRisks), Text: "Two risks of a cover are in the money only as a wide margin: slugs, and the " +
			"nitrogen that comes back late to a spring crop."})
	}
	if unmet > 0.01 {
		out = append(out, report.Warning{Code: string(study.ReturnNotMet), Text: fmt.Sprintf("In up to %s of 100 runs no values were found with which the "+
			"weed returns what it is known to. If a library of your own changes the weed, look at its values.", report.Of100(unmet))})
	}
	return out
}

// farmResistance says how resistance starts on fields, so many of which something is said of it and so
// many nothing, and whether it changes.
func farmResistance(some, none int, evolves bool) string {
	switch {
	case some == 0 && evolves:
		return "Resistance evolves. Nothing is known of it on any field, so it starts rare, as where nothing was ever sprayed. " +
			"A test of a field's own seed says more."
	case some == 0:
		return "No resistance is assumed on any field."
	case none > 0 && evolves:
		return fmt.Sprintf("Resistance evolves from what table and plans say; on %d of %d fields nothing is known of it, so it starts rare there. "+
			"A test of a field's own seed says more.", none, some+none)
	case none > 0:
		return fmt.Sprintf("Resistance is taken from table and plans and held still; on %d of %d fields none is assumed. "+
			"A test of a field's own seed is better than a guess.", none, some+none)
	case evolves:
		return "Resistance evolves from what table and plans say. A test of a field's own seed is better than a guess."
	}
	return "Resistance is taken from table and plans and held still. A test of a field's own seed is better than a guess."
}

// someNames are the first of many names.
func someNames(names []string) string {
	const most = 4
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
}
