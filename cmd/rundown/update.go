package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"rundown/cmd/internal/findings"
	"rundown/cmd/internal/output"
	"rundown/cmd/internal/report"
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim/study"
)

const updateAbout = `Corrects the forecast of a plan by what was counted in its field. COUNTS is a CSV
file as 'rundown counts' reads it: plants, heads, or seedlings raised from soil
cores, with their dates. Every run of the forecast is weighed by how likely it
makes the quadrats, date by date; where few are left that matter they are drawn
anew and moved. The report shows the bands before and after side by side with the
counts on them, which uncertain values moved, and how many runs still count.

With --posterior FILE the histories that the counts left are kept, for forecast,
compare and drilling to go on from: they replay each to the day of the last count
and give it an open future from the day after.

With --out the folder gets report.html, update.csv, counted.csv, moved.csv, the
pictures updated, counted and moved and, where it evolves, resistance (PNG and
SVG), provenance.json and, last of all, update.json.`

type updateOptions struct {
	runOptions
	zone      string
	posterior string
	library   string
}

func updateCommand() *command {
	return &command{
		name: "update", synopsis: "PLAN COUNTS", summary: "correct a forecast by what was counted",
		about: updateAbout,
		examples: []string{
			"rundown update plan.yaml counts.csv --replicates 100",
			"rundown update plan.yaml counts.csv --replicates 40 --posterior past.json",
		},
		flags: func(c *command) *flagSet { return updateFlags(c, &updateOptions{}) },
		run:   runUpdate,
	}
}

func updateFlags(c *command, o *updateOptions) *flagSet {
	f := newFlags(c)
	f.Var(place{&o.posterior}, "posterior", "keep the histories in this file")
	f.Var(word{&o.zone}, "zone", "use the counts of this zone only (all, taken together)")
	f.Var(place{&o.library}, "library", libraryUsage)
	o.add(f, 1000)
	return f
}

// leastHistories is how few a posterior may have.
const leastHistories = 20

func runUpdate(ctx context.Context, env *environment, args []string) error {
	var o updateOptions
	f := updateFlags(updateCommand(), &o)
	paths, err := f.read(env, args, 2, 2)
	if err != nil {
		return err
	}
	if err := o.refused(f); err != nil {
		return err
	}
	if paths[0] == "-" && paths[1] == "-" {
		return f.wrong("standard input cannot be plan and counts at once", "give one of them as a file")
	}
	plan, err := env.resolve(ctx, paths[0], o.library)
	if err != nil {
		return err
	}
	rows, text, err := env.readCountsFor(ctx, paths[1], plan.calendar)
	if err != nil {
		return err
	}
	run := findings.UpdateRun{CountsFile: report.PlanText{Name: filepath.Base(inputName(paths[1])), Text: string(text)}, Posterior: o.posterior,
		Run: findings.Run{Calendar: plan.calendar, Replicates: o.replicates, Seed: o.seed, Provenance: provenance(plan, f, paths)}}
	run.Provenance.Inputs = append(run.Provenance.Inputs, report.Input{Name: run.CountsFile.Name, SHA256: sha256Of(text)})
	if run.Counts, run.Zones, run.LeftOut = study.WatchedOf(rows, o.zone); len(run.Counts) == 0 {
		return &inputError{fmt.Sprintf("--zone %s: %s has no counts of that zone", o.zone, paths[1]), "its zones are " + strings.Join(run.LeftOut, ", ")}
	}
	if err := facts(plan.calendar, run.Counts); err != nil {
		return err
	}
	if err := o.fits(f, env.inputs, len(plan.calendar.Space.Values), len(run.Counts)); err != nil {
		return err
	}
	if err := env.letIn(ctx, &run, &o); err != nil {
		return err
	}
	if err := o.stage(ctx, env, plan, &run, text); err != nil {
		return err
	}
	return env.publish(ctx, findings.Update(run), &o.runOptions, "update", run.ProvenanceDocument("update"), map[string]func(io.Writer) error{
		"update.csv":  func(w io.Writer) error { return findings.UpdateCSV(w, run) },
		"counted.csv": func(w io.Writer) error { return findings.CountedCSV(w, run) },
		"moved.csv":   func(w io.Writer) error { return findings.MovedCSV(w, run) },
	})
}

// facts refuses a plan that leaves to chance what had been decided by the last count.
func facts(c *rotations.Calendar, counts []study.Watched) error {
	last := date.Day(0)
	for i := range counts {
		last = max(last, counts[i].Watch.Day)
	}
	if open := c.Undecided(last); len(open) > 0 {
		return &inputError{text: strings.Join(open, "\n")}
	}
	return nil
}

// refused is what is wrong with the flags themselves.
func (o *updateOptions) refused(f *flagSet) error {
	if o.replicates < leastHistories {
		return f.wrong(fmt.Sprintf("--replicates %d are too few to weigh; give at least %d", o.replicates, leastHistories), "")
	}
	if o.replicates > study.MostHistories {
		return f.wrong(fmt.Sprintf("--replicates %d are more histories than can be kept; give at most %d", o.replicates, study.MostHistories), "")
	}
	if o.posterior == "" {
		return nil
	}
	if err := output.Rehearse(filepath.Dir(o.posterior), filepath.Base(o.posterior)); err != nil {
		return err
	}
	if o.out == "" || !isUpdateFile(filepath.Base(o.posterior)) {
		return nil
	}
	same, err := output.SameFolder(filepath.Dir(o.posterior), o.out)
	if same {
		return f.wrong(fmt.Sprintf("--posterior %s is a file that --out writes too", o.posterior), "give it another name")
	}
	return err
}

// fits refuses, before any run, outputs that would be written over what was read,
// and a posterior larger than is read again.
func (o *updateOptions) fits(f *flagSet, inputs []string, values, counts int) error {
	var targets []string
	for _, path := range inputs {
		if name := filepath.Base(path); o.out != "" && isUpdateFile(name) {
			targets = append(targets, filepath.Join(o.out, name))
		}
	}
	if o.posterior == "" {
		return notOver(targets, inputs)
	}
	if most := study.PosteriorBytes / study.HistoryBytes(values, counts); o.replicates > most {
		return f.wrong(fmt.Sprintf("--replicates %d histories of this plan and these counts are more than a file may hold; give at most %d", o.replicates, most), "")
	}
	return notOver(append(targets, o.posterior), inputs)
}

// stage writes the histories, where they are asked for, beside their place, to take
// it together with the rest.
func (o *updateOptions) stage(ctx context.Context, env *environment, plan *resolvedPlan, run *findings.UpdateRun, counts []byte) error {
	if o.posterior == "" {
		return nil
	}
	p := &run.Found.Result.Posterior
	p.Origin = study.Origin{Version: run.Provenance.Version, Plan: plan.calendar.Name, PlanSHA256: plan.sha256, LibrarySHA256: run.Provenance.LibrarySHA256,
		Counts: run.CountsFile.Name, CountsSHA256: sha256Of(counts), Past: plan.calendar.Past(p.Last)}
	set, err := output.OpenSet(filepath.Dir(o.posterior))
	if err != nil {
		return err
	}
	env.besides = append(env.besides, set)
	return set.Stage(ctx, filepath.Base(o.posterior), p.Write)
}

// letIn makes the forecast before, lets the counts in, and makes the forecast after.
func (env *environment) letIn(ctx context.Context, run *findings.UpdateRun, o *updateOptions) error {
	q := &study.UpdateRequest{Calendar: run.Calendar, Replicates: o.replicates, Seed: o.seed}
	for _, c := range run.Counts {
		q.Counts = append(q.Counts, c.Count)
	}
	bar := output.NewProgress(env.stderr, env.err, "parts of the counts let in")
	progress := func(share float64) { bar.Update(int(1000*share), 1000) }
	if o.quiet {
		progress = nil
	}
	chain, err := letCountsIn(q, ctx, o.jobs, progress)
	bar.Clear()
	if wrong := (*study.Refused)(nil); errors.As(err, &wrong) {
		return notReady(err, nil, nil)
	}
	if err != nil {
		return fmt.Errorf("the counts could not be let in: %w", err)
	}
	var todo []*study.Ready
	for _, r := range q.Runs(chain) {
		made, err := r.Ready()
		if err != nil {
			return notReady(err, nil, nil)
		}
		todo = append(todo, made)
	}
	var given []study.Outcomes
	for _, r := range todo {
		outcomes, err := env.run(ctx, "runs", r, r.All(), &o.runOptions)
		if err != nil {
			return err
		}
		given = append(given, outcomes)
	}
	run.Found = q.Find(chain, given)
	return nil
}

// readCountsFor reads counts for a plan; a date outside it is a mistake with its line.
func (env *environment) readCountsFor(ctx context.Context, path string, c *rotations.Calendar) ([]study.CountRow, []byte, error) {
	return env.readCounts(ctx, path, outsideOf(c))
}

// outsideOf tells of a date that is outside a plan; "" where it is not.
func outsideOf(c *rotations.Calendar) func(date.Day) string {
	end := c.Seasons[len(c.Seasons)-1].End
	return func(d date.Day) string {
		if d < c.Start || d > end {
			return fmt.Sprintf("%v is outside the plan, which goes from %v to %v; leave the line out, or start the plan earlier", d, c.Start, end)
		}
		return ""
	}
}

// word is a flag that takes any text but nothing.
type word struct{ to *string }

func (w word) String() string {
	if w.to == nil {
		return ""
	}
	return *w.to
}

func (w word) Type() string { return "name" }

func (w word) Set(s string) error {
	if s == "" {
		return errors.New("expected a name")
	}
	*w.to = s
	return nil
}

// isUpdateFile tells whether update itself writes a file of that name with --out.
func isUpdateFile(name string) bool {
	switch name {
	case pageFile, "provenance.json", "update.json":
		return true
	}
	stem, ending, _ := strings.Cut(name, ".")
	return slices.Contains([]string{"update", "updated", "counted", "moved"}, stem) && slices.Contains([]string{"csv", "png", "svg"}, ending)
}
