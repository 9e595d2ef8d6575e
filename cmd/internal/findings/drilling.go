package findings

import (
	"fmt"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/study"
)

// DrillingFormat names the JSON that drilling writes. Within a format keys are only added.
const DrillingFormat = "rundown.drilling/1"

// DrillingRun is what the report of a drilling sweep is made from.
type DrillingRun struct {
	Run
	Found *study.Drilling
}

// swept are the quantities of the season that are shown by date.
var swept = []sim.Metric{sim.Plants, sim.Heads, sim.SeedReturn, sim.YieldLoss, sim.Yield, sim.Margin}

// sweep is a sweep with the name of what is drilled. Season, Dates and the like
// are those of the study.
type sweep struct {
	Run
	Found *study.Drilling
	*study.Drilling
	crop string
}

func newSweep(r DrillingRun) *sweep {
	return &sweep{r.Run, r.Found, r.Found, spoken(r.Calendar.Seasons[r.Found.Season()].Courses[0].Crop.Name)}
}

// area is the unit of land in which it is shown.
func (s *sweep) area() rotations.Area { return s.Run.Calendar.Area }

// Drilling assembles the report of a drilling sweep.
func Drilling(d DrillingRun) *report.Report {
	s := newSweep(d)
	warnings := s.warnings()
	r := &report.Report{
		Title:     fmt.Sprintf("%s: when to drill %s for %s", s.Run.Calendar.Name, s.crop, s.harvests()),
		Subtitle:  forecastSubtitle(s.Run),
		Answer:    s.answer(),
		Short:     s.shortTable(),
		Lines:     40,
		Sentences: s.sentences(),
		Tables:    []report.Table{s.weedTable(), s.moneyTable()},
		Pictures:  s.pictures(),
		Warnings:  warnings,
		Cautions:  Cautions(),
		Method:    bandsMethod(),
		Document:  s.document(warnings),
		Made:      s.made(s.Run.Replicates),
		Plans:     plansOf(s.Run),
	}
	if len(s.Sides) > 0 {
		r.Tables = append(r.Tables, s.sidesTable())
	}
	r.Tables = append(r.Tables, s.workTables(func(title string, seasons []study.Season) []report.Table {
		t := workTable(seasons)
		t.Title = title
		return []report.Table{t}
	})...)
	r.Page = func() *report.Page { return s.page(r) }
	return r
}
