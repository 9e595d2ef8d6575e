package main

import (
	"context"
	"io"
	"runtime"
	"strings"
	"sync"

	"rundown/cmd/internal/report"
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
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

// sideReplicates is how many runs the sweeps at other infestations make: the
// differences between dates that they are made for are paired, and so are known
// well enough.
const sideReplicates = 250

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
	seasons, sides := len(plan.calendar.Seasons), 0
	if past == nil && !clean(plan.calendar) {
		low, between := infestations(plan.calendar)
		sides = len(low)*len(dates) + 2*len(between)
	}
	if err := roomFor(ensemble.SeasonBytes*int64(seasons*sides*sideReplicates), seasons*len(dates), o.replicates); err != nil {
		return err
	}
	s := report.DrillingSweep{Run: report.Run{Name: planName(path), Calendar: plan.calendar, Replicates: o.replicates, Seed: o.seed,
		Provenance: from(past, provenance(plan, f, paths)), Starter: plan.starter, Past: past}, Season: season, Dates: dates, SideReplicates: min(o.replicates, sideReplicates)}
	if err := env.sweepDates(ctx, &s, &o.runOptions); err != nil {
		return err
	}
	return env.publish(ctx, report.Drilling(s), &o.runOptions, "drilling", s.ProvenanceDocument("drilling"), map[string]func(io.Writer) error{
		"drilling.csv": func(w io.Writer) error { return report.DrillingCSV(w, s) },
	})
}

// sweepDates makes the runs of a sweep: every date at the plan's infestation, every
// date at three others, and the two dates of the crossover at more.
func (env *environment) sweepDates(ctx context.Context, s *report.DrillingSweep, o *runOptions) error {
	main, err := movedModels(s.Calendar, s.Season, s.Dates)
	if err != nil {
		return err
	}
	with, err := goingOn(s.Past, s.Replicates, []string{s.Name}, main)
	if err != nil {
		return err
	}
	if s.Outcomes, err = env.runAs(ctx, "runs", main, o, with); err != nil {
		return err
	}
	if s.Past != nil { // whose infestation is what was counted
		return cameTrue(s.Past, s.Outcomes)
	}
	if clean(s.Calendar) { // of nothing there is no more and no less
		return nil
	}
	sides, between := infestations(s.Calendar)
	if s.Sides, err = env.sideRuns(ctx, "runs at other infestations", s, sides, s.Dates, o); err != nil {
		return err
	}
	early, late := s.Ends()
	s.Between, err = env.sideRuns(ctx, "runs for the crossover", s, between, []date.Day{s.Dates[early], s.Dates[late]}, o)
	return err
}

// infestations are those at which the sweep is made again, low, medium and
// high (in heads of black-grass those of 0.5, 10 and 100 plants per m²), and those
// at which two dates are held against each other, clean ground first. Where a plan starts from a seedbank
// they are multiples of it.
func infestations(c *rotations.Calendar) (sides, between []float64) {
	if c.HasSeedbank {
		return []float64{0.1, 1, 10}, []float64{0, 0.0001, 0.0003, 0.001, 0.003, 0.01, 0.03}
	}
	return []float64{3, 58, 430}, []float64{0, 0.01, 0.03, 0.1, 0.3, 1, 10}
}

// clean tells whether a plan starts from a seedbank that it states as empty.
func clean(c *rotations.Calendar) bool {
	for _, v := range append(c.Seedbank[:], c.FreshPerM2) {
		if v != nil && v.Central > 0 {
			return false
		}
	}
	return c.HasSeedbank
}

// sideRuns runs some dates at several infestations side by side.
func (env *environment) sideRuns(ctx context.Context, what string, s *report.DrillingSweep, at []float64, dates []date.Day, o *runOptions) ([]report.DrillingSide, error) {
	var models []*sim.Model
	for _, x := range at {
		moved, err := movedModels(s.Calendar.WithInfestation(x), s.Season, dates)
		if err != nil {
			return nil, err
		}
		models = append(models, moved...)
	}
	outcomes, err := env.runAs(ctx, what, models, o, ensemble.Options{Replicates: s.SideReplicates})
	if err != nil {
		return nil, err
	}
	var out []report.DrillingSide
	for i, x := range at {
		out = append(out, report.DrillingSide{Infestation: x, Outcomes: outcomes[i*len(dates) : (i+1)*len(dates)]})
	}
	return out, nil
}

// movedModels makes the model of every date, on all processors: making one takes
// some hundredths of a second, and a sweep needs many.
func movedModels(c *rotations.Calendar, season int, dates []date.Day) ([]*sim.Model, error) {
	models := make([]*sim.Model, len(dates))
	errs := make([]error, len(dates))
	var wait sync.WaitGroup
	free := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, d := range dates {
		moved, err := c.WithDrilling(season, d)
		if err != nil {
			return nil, &inputError{text: err.Error()}
		}
		free <- struct{}{}
		wait.Go(func() {
			defer func() { <-free }()
			errs[i] = faultless(nil, func() (err error) { models[i], err = sim.New(moved); return err })
		})
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, &unfinished{what: "the plan cannot be run", cause: err}
		}
	}
	return models, nil
}
