package findings

import (
	"fmt"
	"math"
	"path/filepath"
	"rundown/cmd/internal/report"

	"rundown/rotations"
	"rundown/sim/study"
)

// FarmFormat names the JSON that farm writes. Within a format keys are only added.
const FarmFormat = "rundown.farm/1"

// FarmRun is what the report of a farm is made from.
type FarmRun struct {
	Found      *study.Farm
	Currency   string
	Area       rotations.Area // in which it is shown
	Weed       string
	Replicates int
	Seed       uint64
	From       []report.Provenance // of each plan
	Table      string              // file of the fields
	Plans      []string            // files
	Library    string              // flag of the call; "" for none
	Afterwards bool                // plans are charged for the seed that they leave
}

// Farm assembles the report of a farm.
func Farm(r FarmRun) *report.Report {
	warnings := farmWarnings(r)
	out := &report.Report{
		Title:     farmTitle(r),
		Subtitle:  farmSubtitle(r),
		Answer:    farmAnswer(r),
		Short:     shortFields(r),
		Lines:     40,
		Sentences: spreadSentences(r),
		Tables:    farmTables(r),
		Pictures:  farmPictures(r),
		Warnings:  warnings,
		Cautions:  Cautions(),
		Method:    bandsMethod() + chosenBySameRuns(r),
		Plans:     plansOfFarm(r),
		Made:      report.Made{Provenance: r.From[0], Seed: r.Seed, Runs: r.Replicates},
	}
	out.Document = farmDocument(r, out.Answer, warnings)
	out.Page = func() *report.Page { return farmPage(r, out) }
	return out
}

// plansOfFarm are the plans as written, and the table of fields is left to its owner.
func plansOfFarm(r FarmRun) []report.PlanText {
	var out []report.PlanText
	for _, p := range r.From {
		out = append(out, p.Plan)
	}
	return out
}

// alone is the field of a farm that has but one; nil for others.
func (r FarmRun) alone() *study.Field {
	if len(r.Found.Fields) == 1 {
		return r.Found.Fields[0]
	}
	return nil
}

func farmTitle(r FarmRun) string {
	name := filepath.Base(r.Table)
	what := plural(len(r.Found.Names), "plan")
	if f := r.alone(); f != nil {
		return fmt.Sprintf("%s of %s: %s", f.Name, name, what)
	}
	return fmt.Sprintf("%s: %s under %s", name, plural(len(r.Found.Fields), "field"), what)
}

func farmSubtitle(r FarmRun) string {
	return fmt.Sprintf("%s, %s. %s, seed %d. All fields of one climate meet the same weather, and all the same seasons and prices.",
		r.size(r.Found.AreaHa), weedCalled(r.Weed), runsOf(r.Replicates), r.Seed)
}

// size is land as it is shown, with its unit.
func (r FarmRun) size(ha float64) string { return r.sizeAlone(ha) + " " + r.Area.Name }

func (r FarmRun) sizeAlone(ha float64) string { return sizeAlone(r.Area, math.Round(100*ha)/100) }

// perArea is the unit of money over land.
func (r FarmRun) perArea() string { return r.Currency + "/" + r.Area.Name }

// command is the call that runs one field of the farm alone.
func (r FarmRun) command(field string) string {
	words := []string{"farm", filepath.Base(r.Table)}
	for _, plan := range r.Plans {
		words = append(words, filepath.Base(plan))
	}
	words = append(words, fmt.Sprintf("--replicates=%d", r.Replicates), fmt.Sprintf("--seed=%d", r.Seed), "--field="+field)
	if r.Afterwards {
		words = append(words, "--afterwards")
	}
	if r.Library != "" {
		words = append(words, "--library="+filepath.Base(r.Library))
	}
	return report.CommandLine(words)
}

// FarmProvenance is provenance.json of a farm.
func FarmProvenance(r FarmRun) report.Object {
	plans := []report.Object{}
	for i, p := range r.From {
		plans = append(plans, report.Object{{"name", r.Found.Names[i]}, {"plan_sha256", p.PlanSHA256}, {"library_sha256", p.LibrarySHA256}})
	}
	return report.Object{
		{"format", "rundown.provenance/1"},
		{"command", "farm"},
		{"plan", filepath.Base(r.Table)},
		{"seed", r.Seed},
		{"replicates", r.Replicates},
		{"version", r.From[0].Version},
		{"provenance", r.From[0].Object()},
		{"plans", plans},
	}
}
