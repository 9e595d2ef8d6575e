package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/output"
	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/ensemble"
)

const forecastAbout = `Runs the plan many times, each time with other weather, other seasons, other
chances and other plausible parameter values, and shows the spread: heads, seed
in the soil, yield and margin of every season. Without PLAN it runs the built-in
starter plan; PLAN may be - for standard input.

With --out the folder gets report.html, one page to read or hand over, bands.csv,
the pictures bands and seed-budget (PNG and SVG), provenance.json and, last of
all, forecast.json. Files of these names that are there already are replaced. The same plan, seed and program give the
same bytes, whatever --jobs is.`

// forecastOptions are the flags of forecast.
type forecastOptions struct {
	replicates    int
	seed          uint64
	jobs          int // 0: one for each processor
	out           string
	json          bool
	quiet         bool
	replicatesCSV bool
	library       string // folder of the user's own library
}

func forecastCommand() *command {
	return &command{
		name: "forecast", synopsis: "[PLAN]", summary: "project a plan; with --out figures and data too",
		about: forecastAbout,
		examples: []string{
			"rundown forecast",
			"rundown forecast plan.yaml --replicates 500 --out results",
			"rundown forecast plan.yaml --json",
		},
		flags: func(c *command) *flagSet { return forecastFlags(c, &forecastOptions{}) },
		run:   runForecast,
	}
}

func forecastFlags(c *command, o *forecastOptions) *flagSet {
	*o = forecastOptions{replicates: 2000, seed: 1}
	f := newFlags(c)
	f.Var(whole{&o.replicates, 1, 1_000_000}, "replicates", "how many runs; more give steadier bands")
	f.Var(seed{&o.seed}, "seed", "of the random numbers")
	f.Var(whole{&o.jobs, 1, 1024}, "jobs", "runs at a time (one for each processor); it changes the time taken, never a number")
	f.Var(place{&o.library}, "library", libraryUsage)
	f.Var(place{&o.out}, "out", "write figures and data to this folder")
	f.BoolVar(&o.json, "json", false, "print one JSON object and nothing else")
	f.BoolVar(&o.quiet, "quiet", false, "no progress; with --out no text either")
	f.BoolVar(&o.replicatesCSV, "replicates-csv", false, "with --out: every run of every season in replicates.csv too")
	return f
}

func runForecast(ctx context.Context, env *environment, args []string) error {
	var o forecastOptions
	f := forecastFlags(forecastCommand(), &o)
	rest, err := f.read(env, args, 0, 1)
	if err != nil {
		return err
	}
	if o.replicatesCSV && o.out == "" {
		return f.wrong("--replicates-csv needs --out, the folder to write it to", "")
	}
	plan, err := env.resolveWith(strings.Join(rest, ""), o.library)
	if err != nil {
		return err
	}
	run, err := project(ctx, env, plan, o, provenance(plan, f, rest))
	if err != nil {
		return err
	}
	found := report.Forecast(run)
	text, err := forecastText(env, found, o)
	if err != nil {
		return err
	}
	if o.out != "" {
		if err := writeForecast(ctx, found, run, o); err != nil {
			return err
		}
	}
	return env.print(text)
}

// project runs the plan.
func project(ctx context.Context, env *environment, plan *resolvedPlan, o forecastOptions, from report.Provenance) (report.Run, error) {
	model, err := sim.New(plan.calendar)
	if err != nil {
		return report.Run{}, &unfinished{what: "the plan cannot be run", cause: err}
	}
	progress := output.NewProgress(env.stderr, env.err, "runs")
	options := ensemble.Options{Replicates: o.replicates, Seed: o.seed, Jobs: o.jobs}
	if !o.quiet {
		options.Progress = progress.Update
	}
	outcomes, err := ensemble.Run(ctx, []*sim.Model{model}, options)
	progress.Clear()
	if err != nil {
		return report.Run{}, fmt.Errorf("the forecast could not be finished: %w", err)
	}
	return report.Run{Calendar: plan.calendar, Outcome: outcomes[0], Replicates: o.replicates, Seed: o.seed,
		Provenance: from, Starter: plan.starter}, nil
}

// forecastText is what goes to standard output, ready before any file is named.
func forecastText(env *environment, found *report.Report, o forecastOptions) ([]byte, error) {
	var b bytes.Buffer
	switch {
	case o.json:
		return jsonBytes(found.Document)
	case o.quiet && o.out != "":
		return nil, nil
	}
	if o.out != "" {
		found.Written = fmt.Sprintf("Written to %s: %s.", o.out, strings.Join(forecastFiles(found, o), ", "))
	}
	if err := found.Text(&b, env.out); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func jsonBytes(o report.Object) ([]byte, error) {
	var b bytes.Buffer
	if err := report.JSON(&b, o); err != nil {
		return nil, fmt.Errorf("the result cannot be written as JSON (a fault of the program): %w", err)
	}
	return b.Bytes(), nil
}

// forecastFiles are the names in the order in which they are written.
func forecastFiles(found *report.Report, o forecastOptions) []string {
	names := []string{"bands.csv"}
	if o.replicatesCSV {
		names = append(names, "replicates.csv")
	}
	for _, p := range found.Pictures {
		names = append(names, p.Name+"."+string(figure.PNG), p.Name+"."+string(figure.SVG))
	}
	return append(names, pageFile, "provenance.json", "forecast.json")
}

func writeForecast(ctx context.Context, found *report.Report, run report.Run, o forecastOptions) error {
	set, err := output.OpenSet(o.out)
	if err != nil {
		return err
	}
	defer set.Discard()
	for _, name := range forecastFiles(found, o) {
		if err := set.Stage(ctx, name, forecastFile(name, found, run)); err != nil {
			return err
		}
	}
	_, err = set.Commit(ctx)
	return err
}

// forecastFile is how one of the files is written.
func forecastFile(name string, found *report.Report, run report.Run) func(io.Writer) error {
	return func(w io.Writer) error {
		switch name {
		case "bands.csv":
			return report.BandsCSV(w, found.Series)
		case "replicates.csv":
			return report.ReplicatesCSV(w, report.ForecastReplicates(run))
		case pageFile:
			return found.HTML(w)
		case "provenance.json":
			return report.JSON(w, run.ProvenanceDocument("forecast"))
		case "forecast.json":
			return report.JSON(w, found.Document)
		}
		ending := filepath.Ext(name)
		for _, p := range found.Pictures {
			if p.Name+ending == name {
				return figure.Write(p.Figure, figure.Format(ending[1:]), w)
			}
		}
		return fmt.Errorf("nothing is known of a file %s", name)
	}
}
