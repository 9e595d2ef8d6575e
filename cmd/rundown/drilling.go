package main

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"rundown/cmd/internal/findings"
	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

const drillingAbout = `Moves the drilling date of a crop in every season that the plan drills it, all by as
many days, and says which date is best and what it earns against the planned one.
That is the crop drilled first, or --crop; where a plan chooses on the way it moves in
every branch that grows it. --season moves one season alone. Only a date on which the crop goes in as often as
--goes-in asks, over the seasons moved, is called best. The cultivations and sprays
of the six weeks before drilling keep their distance to it, and a cover goes by then;
--move none leaves them on their day. The latest day is yours and stays; a date beyond
it has ten days of its own, and is marked.

--full shows weed plants, heads, seed set, what the date and the weed each take
from the yield, the margin of the season and from it to the plan's end, how the best
date moves with the infestation, and at which density early and late change places.

Without --from and --to the dates run from two weeks before the crop's usual day
to ten days after its usual latest day; the planned one is always among them. The
side runs for other infestations use fewer runs, as the page says.

With --posterior FILE the sweep goes on from the histories that counts left: of
seasons drilled after the last count, at the infestation that they have.

With --out the folder gets drilling.csv, the plan of each date, the pictures
drilling, drilling-parts and drilling-infestation (PNG and SVG), report.html,
provenance.json and, last of all, drilling.json.`

type drillingOptions struct {
	runOptions
	pastOption
	partOption
	season   int
	crop     string
	from, to day
	every    days
	goesIn   int
	move     moveFlag
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
	f.Var(whole{&o.season, 1900, 2300}, "season", "harvest year of the one season to move (every season of the crop that is drilled first)")
	f.StringVar(&o.crop, "crop", "", "crop whose drilling moves, in every branch that grows it (the one that is drilled first)")
	f.Var(&o.from, "from", "first date, as 10 Sep of the first season moved, or 2026-09-10")
	f.Var(&o.to, "to", "last date")
	o.every = 5
	f.Var(&o.every, "every", "step, as 5d")
	o.goesIn, o.move = 80, "along"
	f.Var(whole{&o.goesIn, 1, 100}, "goes-in", "in how many of 100 runs the crop must go in for a date to be called best")
	f.Var(&o.move, "move", "along: the work before drilling keeps its distance to it; none: it stays on its day")
	o.runOptions.add(f, 2000)
	o.pastOption.add(f)
	o.partOption.add(f)
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
	if err := o.partOption.refuse(f, paths, &o.runOptions); err != nil {
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
	q := &study.DrillingRequest{Calendar: plan.calendar, Replicates: o.replicates, Seed: o.seed, Posterior: past.Histories(), GoesIn: float64(o.goesIn) /
		100, Alone: o.move == "none"}
	if q.Seasons, err = o.seasons(plan.calendar, f, past); err != nil {
		return err
	}
	if q.Dates, err = o.dates(q, f, past); err != nil {
		return err
	}
	seasons := len(plan.calendar.Seasons)
	if err := roomFor(study.SeasonBytes*int64(seasons*q.SidePlans()*study.SideReplicates), study.SeasonBytes*int64(seasons*len(q.Dates)),
		seasons*len(q.Dates), o.replicates); err != nil {
		return err
	}
	made := from(past, provenance(plan, f, paths))
	given, err := env.answer(ctx, q, []string{planName(path)}, past, &o.runOptions, &asked{f, paths, &o.partOption, []report.Provenance{made}})
	if err != nil || given == nil {
		return err
	}
	found := findings.DrillingRun{Found: q.Find(given), Run: findings.Run{Name: planName(path), Calendar: plan.calendar, Replicates: o.replicates, Seed: o.seed,
		Provenance: made, Starter: plan.starter, Past: past}}
	files := map[string]func(io.Writer) error{
		"drilling.csv": func(w io.Writer) error { return findings.DrillingCSV(w, found) },
	}
	for _, d := range q.Dates {
		moved, err := q.Moved(plan.calendar, d)
		if err != nil {
			return err // it was run
		}
		named := *moved // where the plan lies changes no byte
		if named.PlanFile != "" {
			named.PlanFile = filepath.Base(named.PlanFile)
		}
		files[fmt.Sprintf("plan-%v.yaml", d)] = named.Write
	}
	return env.publish(ctx, findings.Drilling(found), &o.runOptions, "drilling", found.ProvenanceDocument("drilling"), files)
}
