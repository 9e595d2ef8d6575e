package findings

import (
	"fmt"
	"slices"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim/study"
)

// searchSentences are what is to be said besides the answer.
func searchSentences(r SearchRun) []string {
	f := r.Found
	out := compact(commonWords(r), ordersWords(r), asGoodWords(f))
	if front := frontWords(f); !slices.Contains(searchAnswer(r).Sentences, front) {
		out = slices.Insert(out, 0, front)
	}
	if f.Fallen > 0 {
		are := "are beaten, or too like another to be told from it"
		if f.Fallen == 1 {
			are = "is beaten, or too like another to be told from it"
		}
		out = append(out, fmt.Sprintf("In the search %d rotations looked best. Run again on fresh luck, %s of them %s.", len(f.Calendars), numeral(f.Fallen), are))
	}
	saved := fmt.Sprintf("The search ran %s seasons; without shared beginnings it would have been %s.", grouped(fmt.Sprint(f.SeasonRuns)),
		grouped(fmt.Sprint(f.Unshared)))
	out = append(out, saved)
	if f.Beaten > 0 {
		out = append(out, fmt.Sprintf("Of those allowed %s were dropped on the way: another beginning, with the same crop last, had earned more and left "+
			"less seed in every layer of the soil.", grouped(fmt.Sprintf("%.0f", f.Beaten))))
	}
	if n := len(f.Choices.Misfits); n > 0 {
		out = append(out, fmt.Sprintf("Of entries behind one another %d pairs do not fit and were left out; 'rundown check' lists them.", n))
	}
	if len(f.Choices.Unused) > 0 {
		out = append(out, fmt.Sprintf("No rotation that the rules allow holds %s.", strings.Join(f.Choices.Unused, ", ")))
	}
	return out
}

// asGoodWords name what cannot be told from the one that is worth most.
func asGoodWords(f *study.Search) string {
	list := asGood(f)
	if list == nil {
		return ""
	}
	noun := "rotation"
	if len(list) > 1 {
		noun = "rotations"
	}
	return fmt.Sprintf("In what they are worth these runs cannot tell rotation %d from %s %s.", f.Worth+1, noun, strings.Join(list, ", "))
}

// asGood are the numbers of the others that may be worth as much as the one that is worth most.
func asGood(f *study.Search) (list []string) {
	for i, k := range f.Front {
		if k.AsGood && i != f.Worth {
			list = append(list, fmt.Sprint(i+1))
		}
	}
	return list
}

// commonWords say what all that are as good as the best have in common.
func commonWords(r SearchRun) string {
	f := r.Found
	if len(f.Common) == 0 {
		return ""
	}
	var parts []string
	for _, t := range f.Common {
		parts = append(parts, fmt.Sprintf("%s (%s of 100 of those allowed do)", traitWords(t), report.Of100(t.Allowed)))
	}
	return fmt.Sprintf("All that cannot be told from the best %s.", strings.Join(parts, ", and "))
}

func traitWords(t study.Trait) string {
	switch t.Kind {
	case study.Begins:
		return "begin with " + t.Entry
	case study.EndsWith:
		return "end with " + t.Entry
	case study.Without:
		return "do without " + t.Entry
	case study.Holds:
		if t.Times == 1 {
			return "hold " + t.Entry
		}
		return fmt.Sprintf("hold %s %s or more", t.Entry, timesWord(t.Times))
	case study.BeginsSpr:
		if t.Times == 1 {
			return "begin with a spring crop"
		}
		return fmt.Sprintf("begin with %s spring crops", numeral(t.Times))
	}
	if t.Times == 1 {
		return "hold a spring crop"
	}
	return fmt.Sprintf("hold %s spring crops or more", numeral(t.Times))
}

func timesWord(n int) string {
	if n == 2 {
		return "twice"
	}
	return numeral(n) + " times"
}

// ordersWords say whether another rotation is worth most where something else is grown
// afterwards.
func ordersWords(r SearchRun) string {
	f := r.Found
	if f.Front[0].Horizons == nil || len(f.Front) == 1 {
		return ""
	}
	var parts []string
	for _, o := range f.Orders {
		sure := ""
		if !o.Sure {
			sure = ", within the error of these runs"
		}
		parts = append(parts, fmt.Sprintf("with %s, rotation %d%s", behindWords(o.Behind), o.Worth+1, sure))
	}
	if parts == nil {
		return fmt.Sprintf("Rotation %d is also worth most with two or eight seasons behind it, and with its own course going on.", f.Worth+1)
	}
	return fmt.Sprintf("Which is worth most hangs on how long one looks on: %s.", strings.Join(parts, "; "))
}

func behindWords(b rotations.Behind) string {
	if b.Own {
		return "its own course going on"
	}
	return fmt.Sprintf("%s seasons behind it", numeral(b.Seasons))
}

// searchWarnings are what one must know before acting on it.
func searchWarnings(r SearchRun) []report.Warning {
	f := r.Found
	var out []report.Warning
	if !f.Exhaustive {
		out = append(out, report.Warning{Code: "not-exhaustive",
			Text: fmt.Sprintf("Only %s of the rotations were tried, the likeliest first: a better one may have been missed. More --season-runs try more; "+
				"rules that leave fewer leave less to miss.",
				grouped(fmt.Sprint(f.Tried)))})
	}
	if f.Cut {
		out = append(out, report.Warning{Code: "cut-short",
			Text: fmt.Sprintf("The search was stopped by the clock or a key, and what it found is told of %d runs. It cannot be made again but about so: "+
				"--season-runs %d.", r.Replicates, max(1000, f.SeasonRuns))})
	}
	for i, k := range f.Told() {
		if k.Failed > 0.2 {
			out = append(out, report.Warning{Code: "planned-crop-not-drilled",
				Text: fmt.Sprintf("In rotation %d a planned crop is not grown in %s of 100 seasons.", i+1, report.Of100(k.Failed)),
				Lead: "So many of 100 seasons do not grow the planned crop:", Detail: fmt.Sprintf("rotation %d: %s", i+1, report.Of100(k.Failed))})
		}
	}
	out = append(out, noBreak)
	if slices.ContainsFunc(f.Told(), func(k *study.Kept) bool { return hasLey(k.Calendar) }) {
		out = append(out, leyHeads)
	}
	if len(r.Calendar.Resistance) > 0 || r.Calendar.Genes != nil {
		out = append(out, report.Warning{Code: string(study.Resistance), Text: ofTheMenu(resistanceWords(r.Calendar, nil))})
	}
	return out
}

// ofTheMenu says of a menu what is said of a plan.
func ofTheMenu(text string) string { return strings.Replace(text, "the plan", "the menu", 1) }

func searchMethod(f *study.Search) string {
	beginnings := "Of two beginnings with the same crop last and the same choice left, the one that has earned less and holds more seed in every layer, " +
		"beyond the same error, is dropped. "
	if !f.Compared {
		beginnings = "No beginning is dropped on the way: where resistance evolves, or something is decided by what is seen, more seed may help later. "
	}
	return "How it was done: rotations that begin alike are one run up to where they part. All meet the same luck; those that one other beats on both " +
		"counts beyond the paired error, shared among all pairs (Bonferroni), drop out " +
		"while the runs of the rest are doubled (successive halving: Karnin, Koren & Somekh 2013; budgets over several objectives: Lee et al. 2010, both " +
		"from memory). " + beginnings + "What is told is run again on luck that the search never saw."
}
