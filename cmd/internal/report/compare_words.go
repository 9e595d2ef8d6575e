package report

import (
	"fmt"
	"rundown/sim/study"
	"slices"
	"strings"

	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/ensemble"
)

func compareSentences(x *comparison) []string {
	m := measureOf(x)
	fewest, richest := leaders(x)
	if x.Alike {
		return []string{"The plans cannot be told apart: heads " + atTheEnd(x) + " and margin are the same in every run."}
	}
	money := yearly(x)
	pounds := func(x float64) string { return forms[sim.Margin].Value(rounded10(x)) }
	under := ""
	if m.at == atTheEnd(x) { // heads, which a threshold is of
		under = fmt.Sprintf("; under %s in %s of 100 runs", shortest(x.Threshold), Of100(fewest.Under.Last))
	}
	out := []string{
		fmt.Sprintf("%s %s: %s, %s per m²%s%s.", sentence(m.least), m.at, fewest.Name,
			m.form.Value(median(x.Measure(fewest.Contender))), rangeOf(m.form, x.Measure(fewest.Contender)), under),
		fmt.Sprintf("Best margin: %s, %s %s%s.", richest.Name, pounds(median(richest.Yearly)), money, rangeOf(forms[sim.Margin], richest.Yearly))}
	if fewest != richest {
		out = append(out, fmt.Sprintf("The %s cost %s %s in margin against %s%s.", m.least, pounds(x.Paid.P50), money, richest.Name, nineInTen(pounds(x.Paid.P05), pounds(x.Paid.P95))))
	} else {
		out = append(out, fmt.Sprintf("%s is best on both counts.", sentence(fewest.Name)))
	}
	for _, text := range []string{closeBehind(x, m, money), cropsThere(x)} {
		if text != "" {
			out = append(out, text)
		}
	}
	return append(out, dominated(x)...)
}

// dominated names the plans that another beats by the medians in heads, seed in the soil
// and margin.
func dominated(x *comparison) []string {
	var out []string
	for _, b := range x.Beaten {
		out = append(out, fmt.Sprintf("%s has more heads, more seed in the soil and less margin than %s by the medians; heads and margin both in %s of 100 runs.",
			sentence(x.all[b.Plan].Name), x.all[b.By].Name, Of100(b.Both)))
	}
	return out
}

func rounded10(x float64) float64 { return study.Rounded10(x) }

func median(x []float64) float64 { return decide.Median(x) }

func rangeOf(f Form, x []float64) string {
	b := ensemble.Summarise(x)
	if f.Even {
		return nineInTen(f.Value(rounded10(b.P05)), f.Value(rounded10(b.P95)))
	}
	return nineInTen(f.Value(b.P05), f.Value(b.P95))
}

func compareWarnings(x *comparison) []Warning {
	out := unsettled(x)
	if x.Unequal {
		out = append(out, Warning{Code: "plans-differ-in-length",
			Text: fmt.Sprintf("The plans differ in length: they are set against each other %s, the last that all of them have, with the margins up to then. Later seasons stand in the tables by season only.", atTheEnd(x))})
	}
	seen := map[study.Code]bool{}
	for _, c := range x.all {
		for _, w := range c.Warnings {
			if slices.Contains([]study.Code{study.Resistance, study.CoverRisks, study.ReturnNotMet, study.FewHistories}, w.Code) && !seen[w.Code] {
				seen[w.Code] = true
				out = append(out, inWords(c.Run, c.Seasons, w))
			}
		}
	}
	const lead = "So many of 100 runs could not drill a planned crop in time:"
	for _, c := range x.all {
		if missed := missedCrops(c); missed != "" {
			out = append(out, Warning{Code: "planned-crop-not-drilled", Text: fmt.Sprintf("So many of 100 runs of %s could not drill a planned crop in time: %s.", c.Name, missed),
				Lead: lead, Detail: c.Name + ": " + missed})
		}
	}
	return out
}

// unsettled says where a ranking is within Monte Carlo error, and how many runs
// would settle it.
func unsettled(x *comparison) []Warning {
	m := measureOf(x)
	var out []Warning
	for _, q := range x.Unsettled {
		better, worse, what := x.all[q.Better].Name, x.all[q.Worse].Name, m.less
		if q.Money {
			what = "more margin"
		}
		if q.Against {
			out = append(out, Warning{Code: "median-against-runs", Text: fmt.Sprintf("By the medians %s has %s than %s, but run by run %s has in %s of 100: look at both.",
				better, what, worse, worse, Of100(1-q.Wins))})
			continue
		}
		settle := "more than a million would be needed to tell: take them as equal"
		if q.Needed > 0 {
			settle = fmt.Sprintf("about %s would settle it in half of such comparisons", rounded(float64(q.Needed), 1000))
		}
		out = append(out, Warning{Code: "ranking-within-error", Text: fmt.Sprintf("Whether %s or %s more often has %s is within the error of %s runs; %s.",
			better, worse, what, rounded(float64(x.Replicates), 1), settle)})
	}
	return out
}

// missedCrops are a plan's crops that often miss their season: winter wheat
// 20 to 24 (2027–2032).
func missedCrops(c *contender) string {
	var names []string
	years, shares := map[string][]int{}, map[string][]float64{}
	for _, s := range c.Seasons {
		if s.Drilled == nil || 1-s.Drilled.Share < 0.05 {
			continue
		}
		if years[s.Crop] == nil {
			names = append(names, s.Crop)
		}
		years[s.Crop] = append(years[s.Crop], s.HarvestYear)
		shares[s.Crop] = append(shares[s.Crop], 1-s.Drilled.Share)
	}
	var parts []string
	for _, n := range names {
		low, high := Of100(slices.Min(shares[n])), Of100(slices.Max(shares[n]))
		if low != high {
			low += " to " + high
		}
		parts = append(parts, fmt.Sprintf("%s %s (%s)", spoken(n), low, yearRanges(years[n])))
	}
	return strings.Join(parts, ", ")
}
