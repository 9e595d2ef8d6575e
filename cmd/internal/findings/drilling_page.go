package findings

import (
	"fmt"

	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

// page is what the page of a drilling sweep says beyond its text.
func (s *sweep) page(r *report.Report) *report.Page {
	planned, found := s.Run, s.PlannedForecast()
	planned.Calendar = found.Calendar
	told := len(r.Sentences)
	if len(s.Sides) > 0 {
		told-- // the crossover has a chapter of its own
	}
	p := &report.Page{
		Field:    fieldLine(s.Run),
		Question: fmt.Sprintf("When should %s for %s be drilled?", s.crop, s.harvests()),
		Main:     &r.Pictures[0],
		Scale:    s.drillingScale(),
		Chapters: []report.Chapter{
			{ID: "dates", Title: "Date by date", Words: append([]string{"Every row is a day for which drilling is planned; the ground may make it later."},
				r.Sentences[:told]...),
				Pictures: r.Pictures[1:2], Tables: r.Tables[:2]},
		},
		Assumed: assumedChapter(planned, found),
	}
	planNow := report.KeyNumber{Name: "Planned", Value: dayOfYear(s.PlannedDay())}
	if at := s.Best.Best; at >= 0 {
		p.Keys = append(p.Keys, report.KeyNumber{Name: fmt.Sprintf("Best that goes in in %s of 100 runs", s.asked()), Value: dayOfYear(s.Dates[at])})
		if s.Best.From < s.Best.To {
			p.Keys = append(p.Keys, report.KeyNumber{Name: "As good, as far as these runs can tell", Value: s.span(&s.Best)})
		}
	}
	p.Keys = append(p.Keys, planNow)
	if len(s.Sides) > 0 {
		p.Chapters = append(p.Chapters, report.Chapter{ID: "infestation", Title: "At other infestations", Words: []string{
			"How heavy the infestation is moves the best date." + s.fewerRuns(), r.Sentences[told]},
			Pictures: r.Pictures[2:], Tables: r.Tables[2:3]})
	}
	plan := planChapter(planned, found.Seasons)
	plan.Tables = s.workTables(pageWork)
	if len(plan.Tables) > 1 {
		plan.Tables[0].Legend = ""
	}
	p.Chapters = append(p.Chapters, plan)
	return p
}

// fewerRuns says that the other infestations had fewer runs, where they had.
func (s *sweep) fewerRuns() string {
	if s.SideReplicates == s.Run.Replicates {
		return ""
	}
	return " Fewer runs were made here; the differences between dates are taken run by run, and so are known well enough."
}

// workTables say what became of the work with the planned date, and with the best.
func (s *sweep) workTables(of func(title string, seasons []study.Season) []report.Table) []report.Table {
	var out []report.Table
	for _, w := range s.Work {
		out = append(out, of(fmt.Sprintf("What happened to the work, with %s planned for %s", s.crop, dayOfYear(s.Dates[w.Date])), w.Seasons)...)
	}
	return out
}
