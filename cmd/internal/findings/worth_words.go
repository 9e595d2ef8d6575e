package findings

import (
	"fmt"
	"math"
	"slices"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/study"
)

const (
	marginMetric = sim.Margin
	seedMetric   = sim.SeedbankJune
)

// worthAnswer is what the rule is worth, what looking is, and from where on it pays.
func worthAnswer(r WorthRun) *report.Answer {
	w := r.Found
	best := w.By[w.BestLook]
	from, to := w.Flat()
	verdict := "not-told-apart"
	switch {
	case w.RuleValue.Mean-w.RuleValue.Error > 0:
		verdict = "pays"
	case w.RuleValue.Mean+w.RuleValue.Error < 0:
		verdict = "costs"
	}
	return &report.Answer{
		Verdict: verdict,
		Facts: report.Object{{"rule_value_per_ha_year", w.RuleValue.Mean}, {"rule_value_field_year", w.RuleValue.Mean * r.Calendar.AreaHa}, {"best_fixed",
			w.BestFixed},
			{"best_quadrats", best.Quadrats}, {"best_threshold", boundValue(w.Points[w.BestPoint].Bound)},
			{"threshold_from", boundValue(from)}, {"threshold_to", boundValue(to)}},
		Sentences: compact(ruleWords(r), lookWords(r), truthWords(r), thresholdWords(r), noResistance(r.Run)),
	}
}

// ruleWords set the rule against the best plan that never looks.
func ruleWords(r WorthRun) string {
	w := r.Found
	v, c := w.RuleValue, r.Calendar
	switch {
	case v.Mean-v.Error > 0:
		return fmt.Sprintf("The rule is worth about %s %s a year more than %s, %s for the %s, seed left behind counted.", yearMoney.Value(c.Area.Per(v.Mean)),
			perArea(c), w.BestFixed,
			fieldMoney(v.Mean*c.AreaHa), sizeOf(c.Area, c.AreaHa))
	case v.Mean+v.Error < 0:
		return fmt.Sprintf("The rule is worth about %s %s a year less than %s, seed left behind counted.", yearMoney.Value(c.Area.Per(-v.Mean)),
			perArea(c), w.BestFixed)
	}
	return fmt.Sprintf("These runs cannot tell the rule from %s: %s %s a year.", w.BestFixed, r.withError(v), perArea(c))
}

// lookWords say how many quadrats pay.
func lookWords(r WorthRun) string {
	w := r.Found
	l := w.By[w.BestLook]
	money := fmt.Sprintf("%s %s a year over never looking, their cost taken off", r.withError(l.Net), perArea(r.Calendar))
	switch {
	case l.Quadrats == 0:
		return "No count pays for itself here."
	case l.Net.Mean+l.Net.Error < 0:
		return fmt.Sprintf("No count pays for itself here: %s, which seemed best, earn %s.", looksName(l.Quadrats), money)
	case l.Net.Mean-l.Net.Error <= 0:
		return fmt.Sprintf("These runs cannot tell any count from not looking: %s come out best, %s.", looksName(l.Quadrats), money)
	}
	low, high := w.BestLook, w.BestLook
	for low > 1 && w.By[low-1].AsGood {
		low--
	}
	for high+1 < len(w.By)-1 && w.By[high+1].AsGood {
		high++
	}
	flat := ""
	if low < high {
		flat = fmt.Sprintf("; %d to %d do as well", w.By[low].Quadrats, w.By[high].Quadrats)
	}
	return fmt.Sprintf("%s pay best, %s%s.", sentence(looksName(l.Quadrats)), money, flat)
}

// truthWords say what the best look of all would be worth.
func truthWords(r WorthRun) string {
	l := r.Found.By[len(r.Found.By)-1]
	money := fmt.Sprintf("%s %s a year", r.withError(l.Value), perArea(r.Calendar))
	switch {
	case held(l.Threshold):
		return "Even seeing what is there, not a count of it, would change nothing."
	case l.Value.Mean-l.Value.Error <= 0:
		return fmt.Sprintf("Even seeing what is there, not a count of it, is worth nothing that these runs can tell: %s.", money)
	}
	return fmt.Sprintf("To see what is there, not a count of it, would be worth %s.", money)
}

// thresholdWords say from where on the rule pays.
func thresholdWords(r WorthRun) string {
	w := r.Found
	b := w.Points[w.BestPoint].Bound
	what, of := quantityUnit(w.Ruling.What), spoken(w.Ruling.Of)
	as := alsoGood(w)
	switch {
	case b.Always:
		return fmt.Sprintf("Best is %s every time, without counting%s.", of, as)
	case b.Never:
		return fmt.Sprintf("Best is no %s at all, without counting%s.", of, as)
	case as == "":
		return fmt.Sprintf("The threshold that pays is %s %s; you wrote %s.", boundWords(b), what, report.Shortest(w.Ruling.Threshold))
	}
	return fmt.Sprintf("The threshold that pays is %s %s%s, and you wrote %s.", boundWords(b), what, as, report.Shortest(w.Ruling.Threshold))
}

// alsoGood names the thresholds about the best that are as good, "" where none is.
func alsoGood(w *study.Worth) string {
	from, to := w.Flat()
	best := w.Points[w.BestPoint].Bound
	switch {
	case from == to:
		return ""
	case held(from) && held(to):
		return "; any other is as good, always and never too"
	case held(from) && to == best:
		return fmt.Sprintf("; any lower one and %s are as good", boundWords(from))
	case held(to) && from == best:
		return fmt.Sprintf("; any higher one and %s are as good", boundWords(to))
	case held(from):
		return fmt.Sprintf("; thresholds up to %s%s do as well", boundWords(to), besides(from, best))
	case held(to):
		return fmt.Sprintf("; thresholds from %s on%s do as well", boundWords(from), besides(to, best))
	}
	return fmt.Sprintf("; %s to %s are as good", boundWords(from), boundWords(to))
}

// besides names always or never where it is not the best itself.
func besides(end, best study.Bound) string {
	if end == best {
		return ""
	}
	return " (or " + boundWords(end) + ")"
}

// worthWarnings are what must be known besides.
func worthWarnings(r WorthRun) []report.Warning {
	var out []report.Warning
	if r.Calendar.Rules != nil && r.Calendar.Rules.Counting.All() {
		out = append(out, report.Warning{Code: "truth-seen", Text: "The plan sees the whole field as it is and pays nothing for it (quadrats: all), which no " +
			"one can; this is for study."})
	}
	if w := r.Found; len(w.By) > 3 {
		if l := w.By[len(w.By)-2]; l.Fewest.Mean+l.Fewest.Error < 0 {
			out = append(out, report.Warning{Code: "better-look-loses", Text: fmt.Sprintf("With the threshold of %s that you wrote, %s are worth %s %s a year "+
				"less than %s, before their cost: a better look keeps more closely to a threshold that is not the best.",
				report.Shortest(w.Ruling.Threshold), looksName(l.Quadrats), yearMoney.Value(r.Calendar.Area.Per(-l.Fewest.Mean)),
				perArea(r.Calendar), looksName(w.By[1].Quadrats))})
		}
	}
	if r.Found.Ruling.Choice {
		out = append(out, noBreak, report.Warning{Code: "fixed-plans-only", Text: "Against the rule stand plans that take a branch always or never, and those of " +
			"--against. 'rundown search' may find a fixed rotation that does better."})
	}
	if len(r.Calendar.Resistance) > 0 {
		out = append(out, report.Warning{Code: "resistance", Text: resistanceWords(r.Calendar, nil)})
	}
	return out
}

// boundValue is a threshold as JSON: a number, always or never.
func boundValue(b study.Bound) any {
	if b.Always || b.Never {
		return boundWords(b)
	}
	return b.X
}

func worthDocument(r WorthRun) report.Object {
	w := r.Found
	looks, points, fixed := []report.Object{}, []report.Object{}, []report.Object{}
	var best any
	for i, l := range w.By {
		var n any = l.Quadrats
		if l.Quadrats == study.Truth {
			n = nil
		}
		if i == w.BestLook {
			best = l.Quadrats
		}
		looks = append(looks, report.Object{{"quadrats", n}, {"value_per_ha_year", l.Value.Mean}, {"error", finite(l.Value.Error)}, {"cost_per_ha_year", l.Cost},
			{"net_per_ha_year", l.Net.Mean}, {"net_error", finite(l.Net.Error)}, {"threshold", boundValue(l.Threshold)}, {"as_good", l.AsGood},
			{"value_as_written_per_ha_year", finite(l.Written.Mean)}, {"over_fewest_as_written_per_ha_year", finite(l.Fewest.Mean)},
			{"over_fewest_error", finite(l.Fewest.Error)}})
	}
	for _, p := range w.Points {
		points = append(points, report.Object{{"threshold", boundValue(p.Bound)}, {"value_per_ha_year", p.Value.Mean}, {"error", finite(p.Value.Error)},
			{"less_than_best_per_ha_year", p.Less.Mean}, {"less_error", finite(p.Less.Error)}, {"as_good", p.AsGood}, {"margin_per_ha_year", p.Margin},
			{"seed_end_per_m2", p.Seed}})
	}
	for _, f := range w.Fixed {
		fixed = append(fixed, report.Object{{"plan", f.Words}, {"value_per_ha_year", f.Value.Mean}, {"error", finite(f.Value.Error)}})
	}
	from, to := w.Flat()
	behind := []string{}
	if all, err := r.Calendar.Continued(rotations.Behind{}); err == nil {
		for _, s := range all.Seasons[len(all.Seasons)-all.After:] {
			behind = append(behind, s.Courses[0].Crop.Name)
		}
	}
	return report.Object{
		{"format", WorthFormat}, {"plan", r.Calendar.Name}, {"answer", worthAnswer(r).Object()}, {"seed", r.Seed}, {"replicates", r.Replicates},
		{"replicates_to_choose", w.Choosing}, {"version", r.Provenance.Version}, {"provenance", r.Provenance.Object()},
		{"rule", report.Object{{"number", w.WorthRequest.Rule + 1}, {"of", w.Ruling.Of}, {"counted", w.Ruling.What}, {"threshold", w.Ruling.Threshold},
			{"place", w.Ruling.Place}}},
		{"rule_value_per_ha_year", w.RuleValue.Mean}, {"rule_value_error", finite(w.RuleValue.Error)}, {"best_fixed_branch", w.BestFixed},
		{"by_quadrats", looks}, {"best_quadrats", best},
		{"threshold", report.Object{{"best", boundValue(w.Points[w.BestPoint].Bound)}, {"from", boundValue(from)}, {"to", boundValue(to)}, {"points", points}}},
		{"fixed", fixed}, {"grown_afterwards", behind}, {"warnings", report.WarningObjects(worthWarnings(r))},
	}
}

// worthPage is what the page says beyond its text.
func worthPage(r WorthRun, out *report.Report) *report.Page {
	main, below := out.Pictures[0], out.Pictures[1:]
	if !slices.ContainsFunc(r.Found.By, func(l study.Glance) bool { return !held(l.Threshold) }) { // no look is worth anything: that is no picture
		main, below = out.Pictures[1], nil
	}
	return &report.Page{
		Field:    fieldLine(r.Run),
		Question: fmt.Sprintf("What is it worth to look before deciding on %s?", spoken(r.Found.Ruling.Of)),
		Main:     &main,
		Scale:    worthScale,
		Chapters: []report.Chapter{
			{ID: "threshold", Title: "Which threshold pays", Words: []string{
				"Every threshold stands against the best; those whose interval reaches 0 are as good, as far as these runs tell."},
				Leading: []report.Table{thresholdTable(r)}, Pictures: below, Tables: []report.Table{writtenTable(r)}},
			{ID: "fixed", Title: "Plans that never look", Words: []string{
				"Each branch held always, with each piece of conditional work always or never done. The rule is set against the best of them."},
				Leading: []report.Table{fixedTable(r)}},
		},
	}
}

// WorthCSV writes what numbers of quadrats and thresholds are worth.
func WorthCSV(w *WorthRun) [][]string {
	rows := [][]string{{"swept", "setting", "value_per_ha_year", "half_width_95", "cost_per_ha_year"}}
	cell := func(x float64) string {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return ""
		}
		return report.Shortest(x)
	}
	for _, l := range w.Found.By {
		name := "all"
		if l.Quadrats != study.Truth {
			name = fmt.Sprint(l.Quadrats)
		}
		rows = append(rows, []string{"quadrats", name, cell(l.Value.Mean), cell(l.Value.Error), cell(l.Cost)})
	}
	for _, p := range w.Found.Points {
		rows = append(rows, []string{"threshold", boundWords(p.Bound), cell(p.Value.Mean), cell(p.Value.Error), ""})
	}
	return rows
}
