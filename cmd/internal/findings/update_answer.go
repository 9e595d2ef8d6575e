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
	_, s := u.last()
	before, after := report.Band(s.Prior), report.Band(s.Posterior)
	n := len(u.after) - 1
	was, is := u.before[n].Bands[sim.Heads], u.after[n].Bands[sim.Heads]
	a := &report.Answer{Verdict: string(u.Direction), Facts: report.Object{{"now_per_m2", after.P50}, {"before_per_m2", before.P50}, {"quadrats_per_m2",
		s.Counted.MeanPerM2.Value},
		{"heads_end_per_m2", is.P50}, {"heads_end_before_per_m2", was.P50}, {"ends_lower_share", u.After.Answer.Seed.Lower}, {"ends_lower_share_before",
			u.Before.Answer.Seed.Lower}}}
	word := directionWords[u.Direction]
	var beyond []string
	for i := range u.Counts {
		if u.Outside[i] != study.Within {
			a.Verdict, word = updateBeyond, "Model and field stand apart"
			beyond = []string{fmt.Sprintf("The count of %s lies beyond what the model can give.", u.label(i)),
				"Check the date, the field, the size of the quadrats and whether they lay in the crop; until then rely on nothing that follows."}
			break
		}
	}
	a.Sentences = append(beyond, u.stateSentence(word, beyond != nil), fmt.Sprintf("The quadrats alone say %s.", quadratsSay(s.Counted.MeanPerM2)))
	if beyond == nil { // a count that the model cannot give is no ground for what is to come
		a.Sentences = append(a.Sentences, u.headsAhead(), u.seedAhead())
	}
	a.Sentences = compact(append(a.Sentences, u.learntAnswer())...)
	return a
}

// stateSentence is what the field had on the day of the last count. What is as forecast lies between
// the quarters, however far from the middle.
func (u *updated) stateSentence(word string, beyond bool) string {
	c, s := u.last()
	day, now := c.Watch.Day.Short(), density.Value(s.Posterior.P50)
	half := ""
	if u.Direction == study.AsForecast && !beyond {
		half = fmt.Sprintf("%s to %s", density.Value(s.Prior.P25), density.Value(s.Prior.P75))
	}
	all, early := u.headsInAll()
	if !early || now == all.after {
		where := "the forecast had " + density.Value(s.Prior.P50)
		if half != "" {
			where = "half of the forecasts had " + half
		}
		return fmt.Sprintf("%s: on %s the field has about %s %s per m², where %s.", word, day, now, countKinds[c.Kind][1], where)
	}
	out, forecast := fmt.Sprintf("about %s of %s", now, all.after), fmt.Sprintf("forecast: %s of %s", density.Value(s.Prior.P50), all.before)
	if half != "" {
		forecast = "half of forecasts: " + half
	}
	return fmt.Sprintf("%s: on %s %s weed heads per m² are out (%s).", word, day, out, forecast)
}

// inAll are all heads of a season, as its row of the table has them.
type inAll struct{ before, after string }

// mostlyOut is the share of a season's heads from which on those that are out on a day are not
// told from all.
const mostlyOut = 0.95

// headsInAll are the heads of the season last counted, where it was heads that were counted, and
// before all were out.
func (u *updated) headsInAll() (inAll, bool) {
	c, s := u.last()
	i := u.seasonOf(c)
	if c.Kind != "heads" || i < 0 || c.Watch.Day.Year() != u.after[i].HarvestYear {
		return inAll{}, false
	}
	before, after := u.before[i].Bands[sim.Heads], u.after[i].Bands[sim.Heads]
	early := s.Posterior.P50 < mostlyOut*after.P50 || s.Prior.P50 < mostlyOut*before.P50
	return inAll{forms[sim.Heads].Value(before.P50), forms[sim.Heads].Value(after.P50)}, early
}

// headsAhead are the heads at the plan's end, with how open they are: a middle that fell is no
// good news where the range holds ten times as much.
func (u *updated) headsAhead() string {
	n := len(u.after) - 1
	was, is := u.before[n].Bands[sim.Heads], u.after[n].Bands[sim.Heads]
	low, high := density.Value(is.P05), density.Value(is.P95)
	said := fmt.Sprintf("Heads at harvest %d: about %s per m², where the forecast had %s", u.after[n].HarvestYear, density.Value(is.P50),
		density.Value(was.P50))
	if low == high {
		return said + "."
	}
	known := map[openness]string{asOpen: "but as open as before", better: "and better known", onFew: "and better known, on few histories",
		wider: "but less certain than before"}[u.openness()]
	return fmt.Sprintf("%s, %s: %s to %s.", said, known, low, high)
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
