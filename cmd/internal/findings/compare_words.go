package findings

import (
	"fmt"
	"rundown/cmd/internal/report"
	"rundown/sim/study"
	"slices"
	"strings"

	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/decide"
)

// compareSentences are what is to be said besides the answer.
func compareSentences(x *comparison) []string {
	if x.Alike {
		return nil
	}
	out := []string{
		fmt.Sprintf("Least seed at the end: %s, %s per m²%s, the least of all plans in %s of 100 runs.", x.all[x.Cleanest].Name,
			forms[sim.SeedbankJune].Value(median(x.all[x.Cleanest].Contender.Seed)), rangeOf(forms[sim.SeedbankJune], x.all[x.Cleanest].Contender.Seed),
			report.Of100(x.Wins)),
		fmt.Sprintf("Best margin: %s, %s %s on average%s.", x.all[x.Richest].Name, pounds(x.area(), mean(x.all[x.Richest].Yearly)), yearly(x),
			rangeOf(forms[sim.Margin], perAll(x.area(), x.all[x.Richest].Yearly))),
	}
	out = append(out, compact(closeBehind(x, yearly(x)), cropsThere(x))...)
	for _, c := range x.all[1:] {
		out = append(out, compact(differsWords(c.Name, x.all[0].Name, c.Differs))...)
	}
	if x.Cleanest != 0 && x.Other != 0 {
		out = append(out, compact(differsWords(x.all[x.Cleanest].Name, x.all[x.Other].Name, x.Besides))...)
	}
	return append(out, dominated(x)...)
}

// dominated names the plans that another beats in seed and margin.
func dominated(x *comparison) []string {
	var out []string
	for _, b := range x.Beaten {
		out = append(out, fmt.Sprintf("%s has more seed at the end by the middle run and less margin on average than %s; both in %s of 100 runs.",
			sentence(x.all[b.Plan].Name), x.all[b.By].Name, report.Of100(b.Both)))
	}
	return out
}

func rounded10(x float64) float64 { return study.Rounded10(x) }

func median(x []float64) float64 { return decide.Median(x) }

func rangeOf(f report.Form, x []float64) string {
	b := bands.Summarise(x)
	if f.Even {
		return nineInTen(f.Value(rounded10(b.P05)), f.Value(rounded10(b.P95)))
	}
	return nineInTen(f.Value(b.P05), f.Value(b.P95))
}

// plannedCrops are the crops of a plan's seasons, in order.
func plannedCrops(r Run) string {
	var names []string
	for i := range r.Calendar.Seasons {
		names = append(names, r.Calendar.Seasons[i].Courses[0].Crop.Name)
	}
	return strings.Join(names, " ")
}

func compareWarnings(x *comparison) []report.Warning {
	out := unsettled(x)
	if slices.ContainsFunc(x.all, func(c *contender) bool { return plannedCrops(c.Run) != plannedCrops(x.all[0].Run) }) {
		out = append(out, noBreak)
	}
	if slices.ContainsFunc(x.all, func(c *contender) bool { return passesDiffer(c.Calendar, x.all[0].Calendar) }) {
		out = append(out, stubblePasses)
	}
	if slices.ContainsFunc(x.all, func(c *contender) bool { return hasLey(c.Calendar) }) {
		out = append(out, leyHeads)
	}
	if x.Unequal {
		out = append(out, report.Warning{Code: "plans-differ-in-length",
			Text: fmt.Sprintf("The plans differ in length: they are set against each other %s, the last that all of them have, with the margins up to then. "+
				"Later seasons stand in the tables by season only.", atTheEnd(x))})
	}
	if slices.ContainsFunc(x.all, func(c *contender) bool { return c.Provenance.LibrarySHA256 != x.all[0].Provenance.LibrarySHA256 }) {
		out = append(out, report.Warning{Code: "libraries-differ",
			Text: "The plans have libraries that differ: a difference comes from their values as well as from what is done."})
	}
	seen, instead := map[study.Code]bool{}, nothingInstead(x)
	for _, c := range x.all {
		for _, w := range allInWords(c.Run, c.Seasons, c.Warnings) {
			switch code := study.Code(w.Code); {
			case slices.Contains([]study.Code{study.SprayedOften, study.CoverSprayedOff, study.NoFallback, study.TooMany, study.WorkNotDone}, code):
				said := report.Warning{Code: w.Code, Text: c.Name + ": " + w.Text, Lead: w.Lead} // of no season: rows are plans
				switch {
				case code == study.NoFallback:
					said.Lead, said.Detail = instead.next()
				case w.Detail != "":
					said.Detail = c.Name + ": " + w.Detail
				}
				out = append(out, said)
			case slices.Contains([]study.Code{study.Resistance, study.CoverRisks, study.ReturnNotMet, study.FewHistories}, code) && !seen[code]:
				seen[code] = true
				out = append(out, w)
			}
		}
	}
	return append(out, missedElsewhere(x)...)
}

// unsettled says where a ranking is within Monte Carlo error, and how many runs
// would settle it.
func unsettled(x *comparison) []report.Warning {
	var out []report.Warning
	for _, q := range x.Unsettled {
		better, worse, what, by := x.all[q.Better].Name, x.all[q.Worse].Name, lessSeed, "by the middle run"
		if q.Money {
			what, by = "more margin", "on average"
		}
		if q.Against {
			out = append(out, report.Warning{Code: "median-against-runs", Text: fmt.Sprintf("%s %s has %s than %s, but in %s of 100 runs %s has: look at both.",
				sentence(by), better, what, worse, report.Of100(1-q.Wins), worse), Lead: "One has it by the middle, the other in most runs, so look at both:",
				Detail: fmt.Sprintf("%s has %s than %s %s, but %s in %s of 100", better, what, worse, by, worse, report.Of100(1-q.Wins))})
			continue
		}
		settle := "more than a million would be needed to tell: take them as equal"
		needed := "over a million"
		if q.Needed > 0 {
			needed = report.Rounded(float64(q.Needed), 1000)
			settle = fmt.Sprintf("about %s would settle it in half of such comparisons", needed)
		}
		runs := report.Rounded(float64(x.Replicates), 1)
		out = append(out, report.Warning{Code: "ranking-within-error",
			Text:   fmt.Sprintf("Whether %s or %s more often has %s is within the error of %s runs; %s.", better, worse, what, runs, settle),
			Lead:   fmt.Sprintf("Within the error of %s runs is who more often has it (and how many would settle it):", runs),
			Detail: fmt.Sprintf("%s or %s, %s (%s)", better, worse, what, needed)})
	}
	return out
}
