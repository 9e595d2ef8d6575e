package findings

import (
	"fmt"
	"math"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/study"
)

// workKeys name the kinds of work in JSON.
var workKeys = map[sim.WorkKind]string{sim.Drilled: "drill", sim.CoverSown: "sow-cover", sim.CoverDestroyed: "destroy-cover",
	sim.SeedControlled: "control-seed"}

var actionKeys = map[rotations.Action]string{
	rotations.SprayOff: "spray-off", rotations.Cultivate: "cultivate", rotations.Herbicide: "herbicide", rotations.InCrop: "in-crop",
}

// killedOf names in JSON what the share killed is of.
var killedOf = map[sim.Object]string{sim.Standing: "standing", sim.ComingUp: "coming-up", sim.Both: "standing-and-coming-up", sim.OnHeads: "heads"}

// workObjects are what became of the work of a season, as JSON.
func workObjects(s *study.Season) []report.Object {
	list := []report.Object{}
	for i := range s.Work {
		w := &s.Work[i]
		what := workKeys[w.Is]
		if w.Op != nil {
			what = actionKeys[w.Op.Action]
		}
		var p05, p50, p95, of any
		if d, ok := w.Days(); ok {
			p05, p50, p95 = d[0].String(), d[1].String(), d[2].String()
		}
		if name := killedOf[w.On]; name != "" {
			of = name
		}
		o := report.Object{
			{"what", what}, {"with", w.With.Name}, {"crop", w.Crop.Name}, {"planned", plannedKey(w)}, {"called_share", w.Called}, {"done_share", w.Done},
			{"passes", w.Passes},
			{"done_where_grown_share", finite(w.OfGrown)}, {"day", report.Object{{"p05", p05}, {"p50", p50}, {"p95", p95}}},
			{"lapsed", report.Object{{"ground", w.Lapsed[sim.BadGround]}, {"crop", w.Lapsed[sim.NoCrop]}, {"latest_day", w.Lapsed[sim.LatestDay]},
				{"nothing", w.Lapsed[sim.NoObject]}}},
			{"killed_share", finite(w.Killed.P50)}, {"killed_of", of},
		}
		if w.If != nil {
			o = append(o, report.Member{"if", w.If.Text}, report.Member{"called_for_where_grown_share", finite(w.AskedFor)})
		}
		list = append(list, o)
	}
	return list
}

// plannedKey is when work is planned, as JSON: a date, or what its day is counted from.
func plannedKey(w *study.Work) string {
	if w.Op == nil || w.Op.Timing == rotations.OnDate {
		return w.Planned.String()
	}
	return workWhen(w)
}

// workWhen is when work is planned: 20 Dec, 2 days after drilling.
func workWhen(w *study.Work) string {
	if w.Is == sim.SeedControlled {
		return "at harvest"
	}
	if w.Op == nil {
		return dayOfYear(w.Planned)
	}
	return operationWhen(w.Op)
}

// operationWhen is when an operation is planned.
func operationWhen(o *rotations.Operation) string {
	days := fmt.Sprintf("%d days", o.Days)
	if o.Days == 1 {
		days = "1 day"
	}
	switch o.Timing {
	case rotations.AfterDrilling:
		return days + " after drilling"
	case rotations.AfterHarvest:
		return days + " after harvest"
	case rotations.WithDrilling:
		return "just before the drill"
	case rotations.BeforeDrilling:
		return days + " before drilling"
	}
	return dayOfYear(o.On)
}

// workName is a piece of work in words: plough, drilling, sowing the cover.
func workName(w *study.Work) string {
	switch w.Is {
	case sim.Drilled:
		return "drilling"
	case sim.CoverSown:
		return "sowing the cover"
	case sim.CoverDestroyed:
		return "destroying the cover"
	}
	return spoken(w.With.Name)
}

// reasons say why work is not done.
var reasons = map[sim.Reason]string{
	sim.BadGround: "ground not fit", sim.NoCrop: "no crop", sim.LatestDay: "latest day had passed", sim.NoObject: "no live cover stood",
}

// shownInstead is the share of runs from which on the work of what is grown instead is shown.
const shownInstead = 0.05

// workTable is what became of the work, season by season.
func workTable(seasons []study.Season) report.Table {
	t := report.Table{Title: "What happened to the work", Apart: true, Keys: 2,
		Columns: []report.Column{{Head: "Harvest"}, {Head: "Work"}, {Head: "Planned"}, {Head: "Done", Unit: "of 100", Right: true}, {Head: "On", Band: true},
			{Head: "Not done, why", Unit: "of 100"}, {Head: "Killed", Unit: "of 100"}},
		Legend: "Shares are of the runs that called for the work: all of them, or for a crop that is " + comeTo(seasons) + "grown instead those that came to it. " +
			"Killed, of what it met in the middle run: plants that stood, for a residual those that came up while it lasted, for a cut the heads. " +
			"Where no live cover stood the pass was made and paid for all the same.",
	}
	for _, x := range rowsOf(seasons) {
		for k := range x.Work {
			w := &x.Work[k]
			if w.Course > 0 && w.Called < shownInstead {
				continue
			}
			t.Rows = append(t.Rows, report.Row{Cells: append([]string{fmt.Sprint(x.HarvestYear)},
				workCells([]*study.Work{w}, []int{x.HarvestYear}, anyChosen(seasons))...)})
		}
	}
	return t
}

// besideAnswer says in the table of work why a spray kills another share there than in the answer, where
// resistance evolves and the answer tells of kills.
func besideAnswer(t report.Table, f *study.Forecast) report.Table {
	if f.Evolves != nil {
		t.Legend += " What a spray kills in the answer is of all plants of a usual season, before any herbicide; here it is of those that were there on the day."
	}
	return t
}

func besideAnswers(list []report.Table, f *study.Forecast) []report.Table {
	for i := range list {
		list[i] = besideAnswer(list[i], f)
	}
	return list
}

// comeTo is what a crop is that not all runs come to, besides one that is grown instead.
func comeTo(seasons []study.Season) string {
	if anyChosen(seasons) {
		return "chosen or "
	}
	return ""
}

// mostUndone is how many sorts of work a warning names.
const mostUndone = 3

// workNotDone tells, in one sentence, of all work that is seldom done.
func workNotDone(out report.Warning, list []study.Undone) report.Warning {
	var said []string
	for i := range list[:min(len(list), mostUndone)] {
		u := &list[i]
		said = append(said, fmt.Sprintf("%s %s %s (%s; %s)", workName(&u.Work), workWhen(&u.Work), lowToHigh(report.Of100(u.Low), report.Of100(u.High)),
			manyYears(u.Years),
			reasons[u.Mostly]))
	}
	more := ""
	if n := len(list) - mostUndone; n > 0 {
		more = fmt.Sprintf("; and %d more (--full lists all work)", n)
	}
	out.Detail = strings.Join(said, ", ") + more
	out.Lead = "Planned work that often was not done; it was in so many of 100 runs that grew the crop:"
	out.Text = out.Lead + " " + out.Detail + "."
	return out
}

// undoneWords say what in the plan mostly failed to happen: the plough of 20 December ran
// in 6 of 100 runs.
func undoneWords(u *study.Undone) string {
	if u == nil {
		return ""
	}
	when := workWhen(&u.Work)
	if u.Op == nil || u.Op.Timing == rotations.OnDate {
		_, month, day := u.Planned.Date()
		when = fmt.Sprintf("of %d %s", day, month)
	}
	verb := "ran"
	if u.Is != sim.Operation {
		verb = "was done"
	}
	of := " runs"
	if u.Grown < allButAll {
		of = " runs that grew the " + spoken(u.Crop.Name)
	}
	return fmt.Sprintf("The %s %s %s in %s of 100%s.", workName(&u.Work), when, verb, lowToHigh(report.Of100(u.Low), report.Of100(u.High)), of)
}

// allButAll is the share of runs from which on a crop is as good as always grown.
const allButAll = 0.98

// paleWords explain what a calendar shows pale, where there is any.
func paleWords(plans ...[]study.Season) []string {
	for _, seasons := range plans {
		for i := range seasons {
			for k := range seasons[i].Work {
				if w := &seasons[i].Work[k]; w.Course == 0 && seldomNumber(w) != "" {
					return []string{"Pale is what was done in fewer than 80 of 100 runs; its number says in how many. Work is counted over the runs that grew its crop."}
				}
			}
		}
	}
	return nil
}

// seldomNumber is in how many of 100 runs work was done, "" where it mostly was or is not known.
func seldomNumber(w *study.Work) string {
	share := w.OfGrown
	if math.IsNaN(share) {
		share = 1 - w.Lapsed[sim.BadGround] - w.Lapsed[sim.NoCrop] - w.Lapsed[sim.LatestDay]
	}
	if w.Is == sim.Drilled {
		share = w.Done
	}
	if share >= study.OftenDone {
		return ""
	}
	return few100(share)
}
