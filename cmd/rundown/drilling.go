package main

import (
	"context"
	"io"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/sim/ensemble"
	"rundown/sim/study"
)

const drillingAbout = `Moves the drilling date of one season, all else as planned: the cultivations and
sprays of the six weeks before drilling keep their distance to it. Shows weed
plants, heads, seed return, what the date and the weed each take from the yield,
the margin of the season and from it to the plan's end, and the chance that the
crop cannot be drilled in time. Says which date has the best median margin, what
part around it is as good, how both move with the infestation, and at which
density early and late drilling change places.

Without --from and --to the dates run from two weeks before the crop's usual day
to ten days after its usual latest day, and hold the planned one. The side runs
for other infestations use fewer runs, as the page says.

With --posterior FILE the sweep goes on from the histories that counts left: of a
season drilled after the last count, at the infestation that it has.

With --out the folder gets drilling.csv, the pictures drilling, drilling-parts
and drilling-infestation (PNG and SVG), report.html, provenance.json and, last of
all, drilling.json.`

type drillingOptions struct {
	runOptions
	pastOption
	season   int
	from, to day
	every    days
	library  string
}

func drillingCommand() *command {
	return &command{
		name: "drilling", synopsis: "[PLAN]", summary: "what another drilling date would change",
		about: drillingAbout,
		examples: []string{
			"rundown drilling plan.yaml --replicates 200 --every 14d",
			"rundown drilling plan.yaml --every 14d --replicates 300 --out results",
		},
		flags: func(c *command) *flagSet { return drillingFlags(c, &drillingOptions{}) },
		run:   runDrilling,
	}
}

func drillingFlags(c *command, o *drillingOptions) *flagSet {
	f := newFlags(c)
	f.Var(whole{&o.season, 1900, 2300}, "season", "harvest year of the season (the first that is drilled)")
	f.Var(&o.from, "from", "first date, as 2026-09-10")
	f.Var(&o.to, "to", "last date")
	o.every = 5
	f.Var(&o.every, "every", "step, as 5d")
	o.runOptions.add(f, 2000)
	o.pastOption.add(f)
	f.Var(place{&o.library}, "library", libraryUsage)
	return f
}

func runDrilling(ctx context.Context, env *environment, args []string) error {
	var o drillingOptions
	f := drillingFlags(drillingCommand(), &o)
	paths, err := f.read(env, args, 0, 1)
	if err != nil {
		return err
	}
	past, err := o.past(ctx, env, f, &o.runOptions)
	if err != nil {
		return err
	}
	path := strings.Join(paths, "")
	plan, err := env.resolve(ctx, path, o.library)
	if err != nil {
		return err
	}
	season, dates, err := o.sweep(plan.calendar, f, past)
	if err != nil {
		return err
	}
	q := &study.DrillingRequest{Calendar: plan.calendar, Replicates: o.replicates, Seed: o.seed, Posterior: past.Histories(), Season: season, Dates: dates}
	seasons := len(plan.calendar.Seasons)
	if err := roomFor(ensemble.SeasonBytes*int64(seasons*q.SidePlans()*study.SideReplicates), seasons*len(dates), o.replicates); err != nil {
		return err
	}
	given, err := env.answer(ctx, q, []string{planName(path)}, past, &o.runOptions)
	if err != nil {
		return err
	}
	found := report.DrillingRun{Found: q.Find(given), Run: report.Run{Name: planName(path), Calendar: plan.calendar, Replicates: o.replicates, Seed: o.seed,
		Provenance: from(past, provenance(plan, f, paths)), Starter: plan.starter, Past: past}}
	return env.publish(ctx, report.Drilling(found), &o.runOptions, "drilling", found.ProvenanceDocument("drilling"), map[string]func(io.Writer) error{
		"drilling.csv": func(w io.Writer) error { return report.DrillingCSV(w, found) },
	})
}
