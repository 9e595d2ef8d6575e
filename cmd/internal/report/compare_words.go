package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/ensemble"
)

func compareSentences(all []*contender, threshold float64) []string {
	m := measureOf(all)
	fewest, richest := leaders(all)
	if alike(all) {
		return []string{"The plans cannot be told apart: heads " + atTheEnd(all) + " and margin are the same in every run."}
	}
	money := yearly(all)
	pounds := func(x float64) string { return forms[sim.Margin].Value(rounded10(x)) }
	under := ""
	if m.at == atTheEnd(all) { // heads, which a threshold is of
		under = fmt.Sprintf("; under %s in %s of 100 runs", shortest(threshold), Of100(fewest.under.Last))
	}
	out := []string{
		fmt.Sprintf("%s %s: %s, %s per m²%s%s.", sentence(m.least), m.at, fewest.Name,
			m.form.Value(median(m.of(fewest))), rangeOf(m.form, m.of(fewest)), under),
		fmt.Sprintf("Best margin: %s, %s %s%s.", richest.Name, pounds(median(richest.margin)), money, rangeOf(forms[sim.Margin], richest.margin))}
	if fewest != richest {
		paid := difference(richest.margin, fewest.margin)
		out = append(out, fmt.Sprintf("The %s cost %s %s in margin against %s%s.", m.least, pounds(paid.P50), money, richest.Name, nineInTen(pounds(paid.P05), pounds(paid.P95))))
	} else {
		out = append(out, fmt.Sprintf("%s is best on both counts.", sentence(fewest.Name)))
	}
	for _, text := range []string{closeBehind(all, m, fewest, richest, money), cropsThere(all)} {
		if text != "" {
			out = append(out, text)
		}
	}
	return append(out, dominated(all, fewest, richest)...)
}

// alike tells whether every plan ends as the first, run by run.
func alike(all []*contender) bool {
	return !slices.ContainsFunc(all, func(c *contender) bool {
		return !slices.Equal(c.last, all[0].last) || !slices.Equal(c.margin, all[0].margin)
	})
}

// dominated names the plans that another beats by the medians in heads, seed in the soil
// and margin: in the decision picture it stands below and to the right.
func dominated(all []*contender, fewest, richest *contender) []string {
	var out []string
	for _, c := range all {
		if c == fewest || c == richest || fewest == richest {
			continue // the sentence before says so
		}
		for _, o := range all {
			if median(o.last) < median(c.last) && median(o.bank) < median(c.bank) && median(o.margin) > median(c.margin) {
				b := decide.Better(o.last, o.margin, c.last, c.margin)
				out = append(out, fmt.Sprintf("%s has more heads, more seed in the soil and less margin than %s by the medians; heads and margin both in %s of 100 runs.", sentence(c.Name), o.Name, Of100(b.Both)))
				break
			}
		}
	}
	return out
}

func rounded10(x float64) float64 { return math.Round(x/10) * 10 }

func median(x []float64) float64 { return decide.Median(x) }

func rangeOf(f Form, x []float64) string {
	b := ensemble.Summarise(x)
	if f.Even {
		return nineInTen(f.Value(rounded10(b.P05)), f.Value(rounded10(b.P95)))
	}
	return nineInTen(f.Value(b.P05), f.Value(b.P95))
}

func compareWarnings(all []*contender) []Warning {
	out := unsettled(all)
	if unequal(all) {
		out = append(out, Warning{Code: "plans-differ-in-length",
			Text: fmt.Sprintf("The plans differ in length: they are set against each other %s, the last that all of them have, with the margins up to then. Later seasons stand in the tables by season only.", atTheEnd(all))})
	}
	if slices.ContainsFunc(all, func(c *contender) bool { return c.Provenance.LibrarySHA256 != all[0].Provenance.LibrarySHA256 }) {
		out = append(out, Warning{Code: "libraries-differ", Text: "The plans have libraries that differ: a difference comes from their values as well as from what is done."})
	}
	seen := map[string]bool{}
	for _, c := range all {
		for _, w := range forecastWarnings(c.Run, c.seasons) {
			if w.Code == "too-many-to-pull" {
				out = append(out, Warning{Code: w.Code, Text: fmt.Sprintf("%s: %s", c.Name, w.Text), Lead: w.Lead, Detail: c.Name + ": " + w.Detail})
			}
			if slices.Contains([]string{"resistance", "cover-not-modelled", "return-not-met", "few-histories"}, w.Code) && !seen[w.Code] {
				seen[w.Code] = true
				out = append(out, Warning{Code: w.Code, Text: w.Text})
			}
			if w.Code == "no-fallback" {
				out = append(out, Warning{Code: w.Code, Text: c.Name + ": " + w.Text, Lead: w.Lead, Detail: c.Name + " " + w.Detail})
			}
		}
	}
	const lead = "So many of 100 runs could not drill a planned crop in time:"
	for _, c := range all {
		if missed := missedCrops(c); missed != "" {
			out = append(out, Warning{Code: "planned-crop-not-drilled", Text: fmt.Sprintf("So many of 100 runs of %s could not drill a planned crop in time: %s.", c.Name, missed),
				Lead: lead, Detail: c.Name + ": " + missed})
		}
	}
	return out
}

// unsettled says where a ranking is within Monte Carlo error, and how many runs
// would settle it.
func unsettled(all []*contender) []Warning {
	m := measureOf(all)
	var last, margin [][]float64
	for _, c := range all {
		last, margin = append(last, m.of(c)), append(margin, c.margin)
	}
	var out []Warning
	for _, q := range []struct {
		contests []decide.Contest
		what     string
	}{{decide.Unsettled(last, true), m.less}, {decide.Unsettled(margin, false), "more margin"}} {
		for _, x := range q.contests {
			if x.Against {
				out = append(out, Warning{Code: "median-against-runs", Text: fmt.Sprintf("By the medians %s has %s than %s, but run by run %s has in %s of 100: look at both.",
					all[x.Better].Name, q.what, all[x.Worse].Name, all[x.Worse].Name, Of100(1-x.Wins))})
				continue
			}
			settle := "more than a million would be needed to tell: take them as equal"
			if x.Needed > 0 {
				settle = fmt.Sprintf("about %s would settle it in half of such comparisons", rounded(float64(x.Needed), 1000))
			}
			out = append(out, Warning{Code: "ranking-within-error", Text: fmt.Sprintf("Whether %s or %s more often has %s is within the error of %s runs; %s.",
				all[x.Better].Name, all[x.Worse].Name, q.what, rounded(float64(all[0].Replicates), 1), settle)})
		}
	}
	return out
}

// missedCrops are a plan's crops that often miss their season: winter wheat
// 20 to 24 (2027–2032).
func missedCrops(c *contender) string {
	var names []string
	years, shares := map[string][]int{}, map[string][]float64{}
	for _, s := range c.seasons {
		if s.drilled == nil || 1-s.drilled.share < 0.05 {
			continue
		}
		if years[s.crop] == nil {
			names = append(names, s.crop)
		}
		years[s.crop] = append(years[s.crop], s.HarvestYear)
		shares[s.crop] = append(shares[s.crop], 1-s.drilled.share)
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
