package findings

import (
	"fmt"

	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/study"
)

// updateBeyond is the verdict on a count that the model cannot give; else it is a
// study.Direction.
const updateBeyond = "beyond-model"

func (u *updated) answer() *report.Answer {
	c, s := u.last()
	before, after := report.Band(s.Prior), report.Band(s.Posterior)
	n := len(u.after) - 1
	was, is := u.before[n].Bands[sim.Heads], u.after[n].Bands[sim.Heads]
	a := &report.Answer{Verdict: string(u.Direction), Facts: report.Object{{"now_per_m2", after.P50}, {"before_per_m2", before.P50}, {"quadrats_per_m2",
		s.Counted.MeanPerM2.Value},
		{"heads_end_per_m2", is.P50}, {"heads_end_before_per_m2", was.P50}, {"ends_lower_share", u.After.Answer.Seed.Lower}, {"ends_lower_share_before",
			u.Before.Answer.Seed.Lower}}}
	word := directionWords[u.Direction]
	beyond := ""
	for i := range u.Counts {
		if u.Outside[i] != study.Within {
			a.Verdict, word = updateBeyond, "Model and field stand apart"
			beyond = fmt.Sprintf("The count of %s lies beyond what the model can give: do not rely on what follows.", u.label(i))
			break
		}
	}
	what := countKinds[c.Kind][1]
	where := fmt.Sprintf("where the forecast had %s", density.Value(before.P50))
	if u.Direction == study.AsForecast && beyond == "" { // between the quarters, however far from the middle
		where = fmt.Sprintf("where half of the forecasts had %s to %s", density.Value(before.P25), density.Value(before.P75))
	}
	a.Sentences = compact(beyond,
		fmt.Sprintf("%s: on %s the field has about %s %s per m², %s.", word, c.Watch.Day.Short(), density.Value(after.P50), what, where),
		fmt.Sprintf("The quadrats alone say %s.", quadratsSay(s.Counted.MeanPerM2)),
		fmt.Sprintf("Heads at harvest %d: about %s per m², where the forecast had %s.", u.after[n].HarvestYear, density.Value(is.P50),
			density.Value(was.P50)),
		u.seedAhead(), u.learntAnswer())
	return a
}

// seedAhead says which way the seed goes from the June last counted on.
func (u *updated) seedAhead() string {
	a := u.After.Answer
	from, of := "the start", "the start"
	if a.From > 0 {
		from = fmt.Sprint(u.after[a.From-1].HarvestYear)
		of = "that of " + from
	}
	return fmt.Sprintf("From %s on its seed %s: it ends %s, at %s times %s.", from, ways[a.Seed.Verdict], lowerOrHigher(a.Seed),
		ratioTimes(a.Seed.Ratio.P50), of)
}

// shortTable is every season before and after.
func (u *updated) shortTable() report.Table {
	t := u.seasonsTable()
	t.Title, t.Tight = "", true
	t.Legend = "180 (40–620): half of the runs are below 180, nine in ten lie between 40 and 620. Before the counts, and after them."
	for c := range t.Columns[:2] {
		t.Columns[c].Spare = 0
	}
	t.Columns[4].Spare, t.Columns[5].Spare = 1, 2
	return t
}
