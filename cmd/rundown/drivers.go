package main

import (
	"context"
	"fmt"
	"io"
	"runtime"
	"strings"
	"time"

	"rundown/cmd/internal/findings"
	"rundown/cmd/internal/parts"
	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/study"
)

const driversAbout = `Shows what moves an answer. Every uncertain value of the plan is screened; the
strongest get an index of their own, which is their share of the variance over
the runs, with an interval; the rest get one together, and so does luck. The
spread of every season is split into weather, season effects, chance and not
knowing. Each input carries the grade of its evidence: a large index that rests
on judgement is where a better number would help.

With --sweep one value is moved instead and all else is left as a forecast draws
it: --sweep weeds/black-grass/seeds_per_head=60:150:10 sets it to 60, 70 … 150.
A date is written as one: --sweep weeds/black-grass/heads_date=20-May:10-Jun:3.
'rundown library weeds black-grass' shows the values of an entry; a value's path
is kind/name/key.

With --out the folder gets report.html, the tables as CSV, the pictures drivers
and split, or sweep (PNG and SVG), provenance.json and, last of all,
drivers.json. design.csv and runs.csv hold the rows of the design and what each
run gave, for those who form indices of their own.`

// driversOptions are the flags of drivers.
type driversOptions struct {
	runOptions
	partOption
	metric  metricFlag
	season  int
	sweep   sweepFlag
	own     int
	library string
}

func driversCommand() *command {
	return &command{
		name: "drivers", synopsis: "[PLAN]", summary: "which values and which luck move the answer",
		about: driversAbout,
		examples: []string{
			"rundown drivers plan.yaml --replicates 64",
			"rundown drivers plan.yaml --metric margin --replicates 32 --out results",
			"rundown drivers --sweep weeds/black-grass/viability=0.3:1:0.1 --replicates 64",
		},
		flags: func(c *command) *flagSet { return driversFlags(c, &driversOptions{}) },
		run:   runDrivers,
	}
}

func driversFlags(c *command, o *driversOptions) *flagSet {
	f := newFlags(c)
	o.metric = metricFlag(sim.Heads)
	f.Var(&o.metric, "metric", "what is to be explained: "+strings.Join(metricNames(), ", "))
	f.Var(whole{&o.season, 1900, 2300}, "season", "harvest year (the last)")
	f.Var(&o.sweep, "sweep", "PATH=LOW:HIGH:STEP, one value to move instead; of a date PATH=20-May:10-Jun:3, in days")
	o.own = 12
	f.Var(whole{&o.own, 1, study.MostOwn}, "values", "how many values get an index of their own")
	o.replicates, o.seed = study.UsualRows, 1
	f.Var(whole{&o.replicates, 8, 65536}, "replicates", "rows of the design, each of some 20 runs; a power of two is best. With --sweep: runs at each point")
	f.Var(seed{&o.seed}, "seed", "of the random numbers")
	f.Var(whole{&o.jobs, 1, 1024}, "jobs", "runs at a time (one for each processor); it changes the time taken, never a number")
	f.Var(place{&o.library}, "library", libraryUsage)
	o.partOption.add(f)
	o.partOption.addRounds(f)
	o.addOutput(f)
	return f
}

func runDrivers(ctx context.Context, env *environment, args []string) error {
	var o driversOptions
	f := driversFlags(driversCommand(), &o)
	paths, err := f.read(env, args, 0, 1)
	if err != nil {
		return err
	}
	if err := o.partOption.refuse(f, paths, &o.runOptions); err != nil {
		return err
	}
	if o.sweep.path != "" && f.Changed("values") {
		return f.wrong("--values says how many values get an index of their own; --sweep gives none", "leave one of them out")
	}
	if o.sweep.path != "" {
		f.unused = []string{"values"}
	}
	plan, err := env.resolve(ctx, strings.Join(paths, ""), o.library)
	if err != nil {
		return err
	}
	season := len(plan.calendar.Seasons) - 1
	for i, s := range plan.calendar.Seasons {
		if s.HarvestYear == o.season {
			season = i
		}
	}
	if s := plan.calendar.Seasons; o.season != 0 && s[season].HarvestYear != o.season {
		return f.wrong(fmt.Sprintf("--season %d: the plan has no harvest of that year", o.season),
			fmt.Sprintf("its harvests are %d to %d", s[0].HarvestYear, s[len(s)-1].HarvestYear))
	}
	in := &analysis{env: env, o: &o, asked: &asked{f, paths, &o.partOption, []report.Provenance{provenance(plan, f, paths)}},
		Run: findings.Run{Name: planName(strings.Join(paths, "")), Calendar: plan.calendar, Replicates: o.replicates, Seed: o.seed, Starter: plan.starter}}
	in.Provenance = in.asked.from[0]
	if o.sweep.path != "" {
		return in.sweep(ctx, season)
	}
	return in.rank(ctx, season)
}

// analysis is a call of drivers.
type analysis struct {
	findings.Run
	env   *environment
	o     *driversOptions
	asked *asked
}

// rank ranks what moves the answer.
func (in *analysis) rank(ctx context.Context, season int) error {
	o := in.o
	q := &study.DriversRequest{Calendar: in.Calendar, Metric: sim.Metric(o.metric), Season: season, Rows: o.replicates, Own: o.own, Seed: o.seed}
	if o.out != "" {
		if err := notTooLarge("design.csv", findings.DesignBytes(in.Calendar, o.replicates, o.own), o.replicates); err != nil {
			return err
		}
	}
	screening, indices, err := q.Cost()
	if err != nil {
		return notReady(err, nil, nil)
	}
	few := &study.DriversRequest{Calendar: q.Calendar, Metric: q.Metric, Season: season, Rows: pilotRows, Walks: 1, Own: o.own, Seed: o.seed}
	if err := in.announce(ctx, [2]int{screening, indices}, fmt.Sprintf("%d to screen, %d for the indices", screening, indices), few); err != nil {
		return err
	}
	given, err := in.env.answer(ctx, q, nil, nil, &o.runOptions, in.asked)
	if err != nil || given == nil {
		return err
	}
	result, err := q.Find(given)
	if err != nil {
		return err
	}
	found := findings.DriversRun{Run: in.Run, Found: result}
	return in.env.publish(ctx, findings.Drivers(found), &o.runOptions, "drivers", in.ProvenanceDocument("drivers"), map[string]func(io.Writer) error{
		"design.csv":    func(w io.Writer) error { return findings.DesignCSV(w, found) },
		"runs.csv":      func(w io.Writer) error { return findings.RunsCSV(w, found) },
		"indices.csv":   func(w io.Writer) error { return findings.IndicesCSV(w, found) },
		"split.csv":     func(w io.Writer) error { return findings.SplitCSV(w, found) },
		"screening.csv": func(w io.Writer) error { return findings.ScreeningCSV(w, found) },
	})
}

// What is made to tell how long the rest will take, and from how many runs on
// that is said.
const (
	pilotRows       = 8
	pilotReplicates = 12
	longRuns        = 4000
)

// announce says what long runs cost before they begin: all of them, of a part its share
// of its round, and nothing where parts are joined. The pilot is a few runs of their kind,
// by which it is told.
func (in *analysis) announce(ctx context.Context, rounds [2]int, what string, pilot study.Request) error {
	o, runs := in.o, rounds[0]+rounds[1]
	if o.of > 0 {
		_, runs = parts.Range(rounds[max(1, o.round)-1], o.part, o.of)
		what = fmt.Sprintf("part %d of %d", o.part, o.of)
	}
	if in.env.joined != nil {
		return nil
	}
	return in.env.announce(runs, what, o, func() (int, error) {
		_, made, err := study.Answer(ctx, pilot, o.jobs)
		return made, err
	})
}

// announce says it of so many runs; the pilot makes a few and tells how many.
func (env *environment) announce(runs int, what string, o *driversOptions, pilot func() (int, error)) error {
	if o.quiet || runs < longRuns {
		return nil
	}
	jobs := o.jobs
	if jobs == 0 {
		jobs = runtime.GOMAXPROCS(0)
	}
	from := time.Now()
	made, err := pilot()
	if err != nil {
		return err
	}
	left := time.Since(from) * time.Duration(runs) / time.Duration(made)
	_, _ = fmt.Fprintf(env.stderr, "%d runs (%s), %d at a time: about %s\n", runs, what, jobs, roughly(left)) // a note; nothing hangs on it
	return nil
}

// roughly is a duration to the precision that it is known to.
func roughly(d time.Duration) string {
	if d < 100*time.Second {
		return fmt.Sprintf("%d s", max(1, int(d.Seconds()+0.5)))
	}
	return fmt.Sprintf("%d min", int(d.Minutes()+0.5))
}
