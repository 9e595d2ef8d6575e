package findings

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/study"
)

// pageWork is what became of the work, as a page has it: seasons that are planned alike are
// told together. Nothing where it is not known.
func pageWork(title string, seasons []study.Season) []report.Table {
	if len(seasons) == 0 || seasons[0].Work == nil {
		return nil
	}
	t := workTable(seasons)
	t.Rows = nil
	if title != "" {
		t.Title = title
	}
	done := map[int]bool{}
	list, _ := oneByOne(seasons)
	for i := range list {
		if done[i] {
			continue
		}
		var same []*study.Season
		for k := i; k < len(list); k++ {
			if plannedAlike(list[k]) == plannedAlike(list[i]) && len(list[k].Work) == len(list[i].Work) {
				same, done[k] = append(same, list[k]), true
			}
		}
		t.Rows = append(t.Rows, workRows(same, anyChosen(seasons))...)
	}
	return []report.Table{t}
}

// workRows are the rows of seasons that are planned alike.
func workRows(same []*study.Season, chosen bool) []report.Row {
	var rows []report.Row
	var years []int
	for _, s := range same {
		years = append(years, s.HarvestYear)
	}
	for k := range same[0].Work {
		var all []*study.Work
		for _, s := range same {
			all = append(all, &s.Work[k])
		}
		if all[0].Course > 0 && !slices.ContainsFunc(all, func(w *study.Work) bool { return w.Called >= shownInstead }) {
			continue
		}
		rows = append(rows, report.Row{Cells: append([]string{manyYears(years)}, workCells(all, years, chosen)...)})
	}
	return rows
}

// workCells are the cells of a piece of work, of one season or of several that plan it alike.
// Where crops are chosen, work says whose it is.
func workCells(all []*study.Work, years []int, chosen bool) []string {
	w := all[0]
	name := workName(w)
	switch {
	case w.Course > 0 && chosen:
		name = spoken(w.Crop.Name) + " instead: " + name
	case w.Course > 0 || chosen:
		name = spoken(w.Crop.Name) + ": " + name
	}
	done := func(w *study.Work) (float64, bool) { return w.Done, w.Called > 0 }
	killed := func(w *study.Work) (float64, bool) { return w.Killed.P50, w.Killed.N > 0 }
	struck := "–"
	if text, ok := shares(all, killed); ok {
		struck = text + map[sim.Object]string{sim.ComingUp: " coming up", sim.OnHeads: " heads"}[w.On]
	}
	often, _ := shares(all, done)
	return []string{name, workWhen(w) + askedOf(all), often, daysOf(all, years), lapsedOf(all), struck}
}

// shares are a share of several pieces of work, of 100: 88 to 92; not ok where none has it.
func shares(all []*study.Work, of func(*study.Work) (float64, bool)) (text string, ok bool) {
	var list []float64
	for _, w := range all {
		if x, known := of(w); known {
			list = append(list, x)
		}
	}
	if len(list) == 0 {
		return "–", false
	}
	return lowToHigh(few100(slices.Min(list)), few100(slices.Max(list))), true
}

// daysOf are the days on which work was done, over the years.
func daysOf(all []*study.Work, years []int) string {
	var out *study.Drilled
	for i, w := range all {
		d, ok := w.Days()
		if !ok {
			continue
		}
		by := date.Of(years[i], 1, 1) - date.Of(years[0], 1, 1)
		if out == nil {
			out = &study.Drilled{Share: 1, P05: d[0] - by, P50: d[1] - by, P95: d[2] - by}
			continue
		}
		out.P05, out.P95 = min(out.P05, d[0]-by), max(out.P95, d[2]-by)
	}
	return drilledWords(out)
}

// lapsedOf say in how many of 100 runs work was not done, and why.
func lapsedOf(all []*study.Work) string {
	var out []string
	for _, why := range []sim.Reason{sim.BadGround, sim.NoCrop, sim.LatestDay, sim.NoObject} {
		text, _ := shares(all, func(w *study.Work) (float64, bool) { return w.Lapsed[why], w.Called > 0 })
		if text != "0" && text != "–" {
			out = append(out, fmt.Sprintf("%s %s", reasons[why], text))
		}
	}
	if len(out) == 0 {
		return "–"
	}
	return strings.Join(out, ", ")
}

// askedOf say in how many of the runs that grew the crop a rule called for work, over the years.
func askedOf(all []*study.Work) string {
	if all[0].If == nil {
		return ""
	}
	text, ok := shares(all, func(w *study.Work) (float64, bool) { return w.AskedFor, !math.IsNaN(w.AskedFor) })
	if !ok {
		return ""
	}
	return ", called for in " + text
}
