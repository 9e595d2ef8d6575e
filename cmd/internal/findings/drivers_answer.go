package findings

import (
	"fmt"
	"math"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/study"
)

func (f *found) answer() *report.Answer {
	x := f.Answer
	a := &report.Answer{Verdict: string(x.Verdict)}
	if f.Empty() {
		a.Facts = report.Object{{"first", []string{}}, {"names", []string{}}, {"totals", []float64{}}, {"order_sure", false}, {"luck_share", nil}}
		a.Sentences = f.sentences()
		return a
	}
	var paths, names []string
	var totals []float64
	for _, b := range x.First {
		paths, names, totals = append(paths, f.key(b)), append(names, f.name(b)), append(totals, f.x.Total[b].Value)
	}
	a.Facts = report.Object{{"first", paths}, {"names", names}, {"totals", totals}, {"order_sure", len(x.Open) == 0}, {"luck_share", x.Share}}
	a.Sentences = f.firstWords(x.First)
	if len(names) > 1 {
		a.Sentences = append(a.Sentences, orderWords(x.Open))
	}
	if x.Heavier != study.LuckHeavier {
		a.Sentences = append(a.Sentences, f.luckWords()...)
	}
	return a
}

// firstWords name what moves the answer most. Luck is weighed against all that is not known, never
// against one value of it: it leads only where it makes more than all of them.
func (f *found) firstWords(first []int) []string {
	what := fmt.Sprintf("%s at harvest %d", sim.Metrics[f.Analysis.Metric].Label, f.year(f.Analysis.Season))
	part := func(block int) string { return percentOf(math.Min(1, f.x.Total[block].Value)) }
	var list []string
	for _, b := range first {
		list = append(list, fmt.Sprintf("“%s” with %s %%", f.shortKey(b), part(b)))
	}
	if f.Answer.Heavier == study.LuckHeavier {
		return []string{fmt.Sprintf("Luck moves %s most: weather, seasons and chance make %s %% of the spread by themselves.", what,
			percentOf(f.Answer.Share)),
			fmt.Sprintf("What is not known of field, weed and crops makes %s %%%s.", f.unknown(), f.unknownRange()),
			"Of what is not known, first come " + strings.Join(list, ", ") + "."}
	}
	out := []string{fmt.Sprintf("“%s” moves %s most: %s %% of the spread hangs on it.", sentence(f.shortKey(first[0])), what, part(first[0]))}
	if len(list) > 1 {
		out = append(out, "After it come "+strings.Join(list[1:], " and ")+".")
	}
	return out
}

// luckWords set luck against all that is not known, each by what it makes alone.
func (f *found) luckWords() []string {
	x := f.Answer
	end := map[study.Heavier]string{study.CannotTell: "; these runs cannot tell which is more", study.AboutTheSame: ", about the same"}[x.Heavier]
	return []string{fmt.Sprintf("Luck of weather, seasons and chance makes %s %% of the spread by itself, %s to %s %% by these runs.",
		percentOf(x.Share), percentOf(x.Luck.Low), percentOf(x.Luck.High)),
		fmt.Sprintf("What is not known of field, weed and crops makes %s %%%s%s.", f.unknown(), f.unknownRange(), end)}
}

// unknownRange is between what these runs place it, where that is wide enough for a word.
func (f *found) unknownRange() string {
	low, high := percentOf(f.Answer.Unknown.Low), percentOf(f.Answer.Unknown.High)
	if low == high {
		return ""
	}
	return fmt.Sprintf(", %s to %s %%", low, high)
}

// unknown is what all that is not known makes alone, in per cent.
func (f *found) unknown() string { return percentOf(min(1, max(0, f.Answer.Unknown.Value))) }

// orderWords say how sure the order of the first is.
func orderWords(open []int) string {
	if len(open) == 0 {
		return "These runs are sure of that order."
	}
	rank := [...]string{"the first from the second", "the second from the third", "the third from the fourth"}
	if n := len(open); n > 1 && open[n-1]-open[0] == n-1 {
		if open[0] == 0 {
			return fmt.Sprintf("These runs cannot tell the order of the first %s.", [...]string{"three", "four"}[n-2])
		}
		return "These runs cannot tell the order of the second to the fourth."
	}
	var parts []string
	for _, k := range open {
		parts = append(parts, rank[k])
	}
	return "These runs cannot tell " + strings.Join(parts, ", nor ") + "."
}

// shortTable is the index table without what stands below it.
func (f *found) shortTable() report.Table {
	t := f.indexTable(false)
	t = t.Without(len(t.Columns) - 1)
	t.Title, t.Tight, t.Ranked = "", true, true
	t.Legend = "Total: the share of the spread that hangs on an input, by itself or with others; in brackets the 95 % interval."
	for i := range t.Rows {
		t.Rows[i].Key = i < len(f.Answer.First)
	}
	return t
}
