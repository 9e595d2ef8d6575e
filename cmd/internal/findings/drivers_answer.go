package findings

import (
	"fmt"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/sim"
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
	what := sim.Metrics[f.Analysis.Metric].Label
	for k, name := range names {
		lead := [...]string{fmt.Sprintf("%s at harvest %d: most hangs on", sentence(what), f.year(f.Analysis.Season)), "Second comes", "Third comes"}[k]
		a.Sentences = append(a.Sentences, fmt.Sprintf("%s %s.", lead, name))
	}
	if len(names) > 1 {
		a.Sentences = append(a.Sentences, orderWords(x.Open))
	}
	a.Sentences = append(a.Sentences, fmt.Sprintf("Luck of weather, seasons and chance makes %s of 100 parts of the spread by itself, %s to %s by these runs.",
		percentOf(x.Share), percentOf(x.Luck.Low), percentOf(x.Luck.High)))
	return a
}

// orderWords say how sure the order of the first is.
func orderWords(open []int) string {
	rank := [...]string{"the first from the second", "the second from the third", "the third from the fourth"}
	if len(open) == 0 {
		return "These runs are sure of that order."
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
	t.Title, t.Tight = "", true
	t.Legend = "Total: share of the spread with all that a value takes part in; first-order: by itself. In brackets the 95 % intervals."
	for i := range t.Rows {
		t.Rows[i].Key = i < len(f.Answer.First)
	}
	return t
}
