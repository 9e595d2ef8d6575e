package findings

import (
	"fmt"
	"slices"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/study"
	particles "rundown/sim/update"
)

// UpdateFormat names the JSON that update writes. Within a format keys are only added.
const UpdateFormat = "rundown.update/1"

// UpdateRun is what the report of an update is made from.
type UpdateRun struct {
	Run
	Found      *study.Update
	Counts     []study.Watched // in order of date, as the Result has them
	CountsFile report.PlanText
	Zones      []string // of the counts that were used
	LeftOut    []string // zones that the file has besides
	Posterior  string   // name of the file of histories; "" for none
}

// updated is an update with what its reports ask for again and again.
type updated struct {
	UpdateRun
	*study.Update
	before, after []study.Season
}

// Update assembles the report of a forecast corrected by counts.
func Update(r UpdateRun) *report.Report {
	u := &updated{UpdateRun: r, Update: r.Found, before: r.Found.Before.Seasons, after: r.Found.After.Seasons}
	warnings := u.warnings()
	out := &report.Report{
		Title:     fmt.Sprintf("%s: what the counts make of the forecast", r.Calendar.Name),
		Subtitle:  u.subtitle(),
		Answer:    u.answer(),
		Short:     u.shortTable(),
		Lines:     32,
		Sentences: u.sentences(),
		Tables:    []report.Table{u.countsTable(), u.seasonsTable(), u.movedTable(false), workTable(u.after)},
		Remarks:   u.remarks(),
		Pictures:  u.pictures(),
		Warnings:  warnings,
		Cautions:  Cautions(),
		Method:    fmt.Sprintf("How it was done: %s. %s. %s", scheme, strings.Join(schemeReferences, "; "), inFull),
		Document:  u.document(warnings),
		Made:      u.made(u.Replicates),
		Plans:     append(plansOf(r.Run), r.CountsFile),
	}
	if u.Learnt != nil {
		out.Tables = slices.Insert(out.Tables, 3, u.learntTables()...)
		out.Pictures = append(out.Pictures, report.Picture{Name: "resistance", Figure: u.learntPicture()})
		out.Sentences = slices.Insert(out.Sentences, 2, u.learntWords())
	}
	out.Page = func() *report.Page { return u.page(out) }
	return out
}

func (u *updated) subtitle() string {
	return forecastSubtitle(u.Run) + fmt.Sprintf(" %s from %s, to %s.", sentence(plural(len(u.Counts), "count")), u.CountsFile.Name,
		u.Result.Posterior.Last.Short())
}

// last is the last count with what was expected of it.
func (u *updated) last() (*study.Watched, *particles.Seen) {
	n := len(u.Counts) - 1
	return &u.Counts[n], &u.Result.Seen[n]
}

// seasonOf is the season of a day, −1 where there is none.
func (u *updated) seasonOf(c *study.Watched) int {
	return slices.IndexFunc(u.after, func(s study.Season) bool { return s.Open <= c.Watch.Day && c.Watch.Day <= s.End })
}

// countKinds are the kinds of counts: as a heading, and as what there is so many of.
var countKinds = map[string][2]string{
	"plants":         {"Weed plants", "weed plants"},
	"heads":          {"Weed heads", "weed heads"},
	"core-seedlings": {"Seedlings from cores", "seedlings from cores"},
}

// shownMetrics are the quantities of a season that are shown before and after.
var shownMetrics = []sim.Metric{sim.Plants, sim.Heads, sim.SeedReturn, sim.SeedbankJune, sim.Seedbank, sim.YieldLoss, sim.Yield, sim.Margin}

func plural(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return report.Counted(n) + " " + what + "s"
}
