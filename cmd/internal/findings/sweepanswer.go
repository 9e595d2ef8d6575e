package findings

import (
	"fmt"
	"math"

	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

// sweepAnswer is what moving the value does to the end of the plan and to what it earns.
func sweepAnswer(r SweepRun) *report.Answer {
	a := r.Sweep.Answer
	return &report.Answer{
		Verdict: a.Verdict,
		Facts: report.Object{{"path", r.Value.Path}, {"from", r.Sweep.At[0]}, {"to", r.Sweep.At[len(r.Sweep.At)-1]}, {"seed_ratio", a.Ratio},
			{"seed_difference", a.Against.Seed},
			{"more_seed_share", 1 - a.Against.Cleaner}, {"ends_lower_share_from", a.Change[0].Lower}, {"ends_lower_share_to", a.Change[1].Lower},
			{"margin_difference_per_ha_year", a.Against.MarginYear}, {"margin_difference_field_year", a.Against.MarginField},
			{"earns_more_share", a.Against.EarnsMore}},
		Sentences: compact(r.endWords(), r.lowerWords(), r.earnWords(), r.likelyWords(), noResistance(r.Run)),
	}
}

// ends are the first and the last point; their unit is said once.
func (r *SweepRun) ends() (from, to string) {
	return r.set(r.Sweep.At[0]), r.set(r.Sweep.At[len(r.Sweep.At)-1])
}

// endWords say what becomes of the seed at the end.
func (r *SweepRun) endWords() string {
	a := r.Sweep.Answer
	from, _ := r.ends()
	to := r.at(r.Sweep.At[len(r.Sweep.At)-1])
	year := r.Calendar.Seasons[a.To].HarvestYear
	name := "“" + shortValue(r.Value) + "”"
	switch {
	case a.Verdict == study.MovesNoRun:
		return fmt.Sprintf("Moving %s from %s to %s changes neither the weed nor the margin in any run.", name, from, to)
	case a.Ratio.N == 0:
		return fmt.Sprintf("With %s at %s no seed is left at harvest %d.", name, from, year)
	case ratioTimes(a.Ratio.P50) == "1.0":
		return fmt.Sprintf("Moving %s from %s to %s leaves as much seed at harvest %d, more in %s of 100 runs.", name, from, to, year,
			report.Of100(1-a.Against.Cleaner))
	}
	return fmt.Sprintf("Moving %s from %s to %s leaves %s times the seed at harvest %d, more in %s of 100 runs.", name, from, to,
		ratioTimes(a.Ratio.P50), year, report.Of100(1-a.Against.Cleaner))
}

// lowerWords say whether the weed goes down at both ends.
func (r *SweepRun) lowerWords() string {
	a := r.Sweep.Answer
	if a.Verdict == study.MovesNoRun || a.Change[0].Start == 0 {
		return ""
	}
	from, to := r.ends()
	return fmt.Sprintf("At %s the weed ends lower than it began in %s of 100 runs, at %s in %s.", from, report.Of100(a.Change[0].Lower), to,
		report.Of100(a.Change[1].Lower))
}

// earnWords say what it does to the margin.
func (r *SweepRun) earnWords() string {
	a, c := r.Sweep.Answer, r.Calendar
	if a.Verdict == study.MovesNoRun {
		return ""
	}
	each := " a year"
	if len(c.Seasons) == 1 {
		each = ""
	}
	from, to := r.ends()
	x := a.Against.MarginYear
	switch {
	case math.Abs(x) <= a.Against.MarginError:
		return fmt.Sprintf("These runs cannot tell what the plan earns at %s and at %s apart.", from, to)
	case pounds(c.Area, x) == pounds(c.Area, 0):
		return fmt.Sprintf("The plan earns about as much at %s as at %s.", to, from)
	}
	more := "more"
	if x < 0 {
		more = "less"
	}
	return fmt.Sprintf("At %s the plan earns about %s %s%s %s than at %s, %s for the %s.", to, pounds(c.Area, math.Abs(x)), perArea(c), each, more, from,
		fieldMoney(math.Abs(a.Against.MarginField)), sizeOf(c.Area, c.AreaHa))
}

// likelyWords say how far the points go beyond what is likely.
func (r *SweepRun) likelyWords() string {
	return fmt.Sprintf("A forecast takes it at about %s, and in nine runs of ten within %s.", r.set(r.Value.Central), rangeWords(r.Value))
}

// shortSweep is the table of the usual text.
func shortSweep(r SweepRun) report.Table {
	t := sweepTable(r)
	t.Tight = true
	for i := 1; i < len(t.Columns); i++ { // the season that is asked for stays, and the first
		if i-1 != r.Sweep.Season && i != 1 {
			t.Columns[i].Spare = len(t.Columns) - i
		}
	}
	return t
}
