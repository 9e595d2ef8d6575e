package main

import (
	"context"
	"io"
	"strings"

	"rundown/cmd/internal/findings"
	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

const forecastAbout = `Runs the plan many times, each time with other weather, other seasons, other
chances and other plausible parameter values, and shows the spread: heads, seed
in the soil, yield and margin of every season. Without PLAN it runs the built-in
starter plan; PLAN may be - for standard input.

Results are told in hectares; with units: {area: ac} in the plan, field, money and
yields are told in acres and per acre, by every command. The plan itself, JSON and CSV
stay per hectare.

With --posterior FILE, which 'rundown update' wrote, the runs are the histories
that the counts left, with an open future from the day after the last of them.

With --out the folder gets report.html, one page to read or hand over, bands.csv,
the pictures bands and seed-budget and, where it evolves, resistance (PNG and
SVG), provenance.json and, last of all, forecast.json. Files of these names that are there already are replaced. The
same plan, seed and program give the same bytes, whatever --jobs is.
With --replicates-csv there are replicates.csv, one row for each run and season,
and parameters.csv, one row for each run and uncertain value.`

// forecastOptions are the flags of forecast.
type forecastOptions struct {
	runOptions
	pastOption
	partOption
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
	f := newFlags(c)
	o.runOptions.add(f, 2000)
	o.pastOption.add(f)
	o.partOption.add(f)
	f.Var(place{&o.library}, "library", libraryUsage)
	f.BoolVar(&o.replicatesCSV, "replicates-csv", false, "with --out: every run of every season in replicates.csv too, and what it was run with in parameters.csv")
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
	if err := o.partOption.refuse(f, rest, &o.runOptions); err != nil {
		return err
	}
	past, err := o.past(ctx, env, f, &o.runOptions)
	if err != nil {
		return err
	}
	plan, err := env.resolve(ctx, strings.Join(rest, ""), o.library)
	if err != nil {
		return err
	}
	if o.replicatesCSV {
		if err := notTooLarge("parameters.csv", findings.ParametersBytes(plan.calendar, o.replicates), o.replicates); err != nil {
			return err
		}
	}
	q := &study.ForecastRequest{Calendar: plan.calendar, Replicates: o.replicates, Seed: o.seed, Posterior: past.Histories()}
	made := from(past, provenance(plan, f, rest))
	given, err := env.answer(ctx, q, []string{planName(strings.Join(rest, ""))}, past, &o.runOptions, &asked{f, rest, &o.partOption, []report.Provenance{made}})
	if err != nil || given == nil {
		return err
	}
	run := findings.ForecastRun{Found: q.Find(given), Run: findings.Run{Calendar: plan.calendar, Replicates: o.replicates, Seed: o.seed,
		Provenance: made, Starter: plan.starter, Past: past}}
	found := findings.Forecast(run)
	tables := map[string]func(io.Writer) error{
		"bands.csv": func(w io.Writer) error { return report.BandsCSV(w, found.Series) },
	}
	if o.replicatesCSV {
		tables["parameters.csv"] = func(w io.Writer) error { return findings.ParametersCSV(w, run) }
		tables["replicates.csv"] = func(w io.Writer) error { return report.ReplicatesCSV(w, findings.ForecastReplicates(run)) }
	}
	return env.publish(ctx, found, &o.runOptions, "forecast", run.ProvenanceDocument("forecast"), tables)
}
