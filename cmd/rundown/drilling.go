package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
)

const drillingAbout = `Moves the drilling date of one season, all else as planned: the cultivations and
sprays of the six weeks before drilling keep their distance to it. Shows weed
plants, heads, seed return, yield and margin by date, the chance that the crop
cannot be drilled in time, the date with the best median margin over the whole
plan with the flat part around it, and how both move with the infestation. The
density at which early and late drilling change places is printed.

Without --from and --to the date is moved from three weeks before to five weeks
after the planned one. The side runs for other infestations use fewer runs, as
the page says.`

type drillingOptions struct {
	runOptions
	season   int
	from, to day
	every    days
}

func drillingCommand() *command {
	return &command{
		name: "drilling", synopsis: "[PLAN]", summary: "what another drilling date would change",
		about: drillingAbout,
		examples: []string{
			"rundown drilling plan.yaml --replicates 200 --every 14d",
			"rundown drilling plan.yaml --every 7d --out results",
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
	o.add(f, 2000)
	return f
}

// day is a flag that takes a full date.
type day struct {
	date.Day
	given bool
}

func (d *day) String() string {
	if !d.given {
		return ""
	}
	return d.Day.String()
}
func (d *day) Type() string { return "date" }
func (d *day) Set(s string) (err error) {
	d.Day, err = date.ParseDay(s)
	d.given = err == nil
	return err
}

// days is a flag that takes a number of days, as 5d.
type days int

func (d *days) String() string { return fmt.Sprintf("%dd", int(*d)) }
func (d *days) Type() string   { return "days" }
func (d *days) Set(s string) error {
	n := 0
	if err := (whole{&n, 1, 60}).Set(strings.TrimSuffix(s, "d")); err != nil {
		return fmt.Errorf("expected a number of days from 1d to 60d")
	}
	*d = days(n)
	return nil
}

// Side runs: the infestations at which the best date is looked for again, and
// the densities between which the crossover is looked for, heads per m².
var (
	infestations  = []float64{3, 58, 430}
	crossoverTest = []float64{0.3, 1, 3, 10, 30, 100, 300}
)

const sideReplicates = 300

func runDrilling(ctx context.Context, env *environment, args []string) error {
	var o drillingOptions
	f := drillingFlags(drillingCommand(), &o)
	paths, err := f.read(env, args, 0, 1)
	if err != nil {
		return err
	}
	plan, err := env.resolve(strings.Join(paths, ""))
	if err != nil {
		return err
	}
	season, dates, err := o.sweep(plan.calendar, f)
	if err != nil {
		return err
	}
	s := report.DrillingSweep{Run: report.Run{Name: planName(strings.Join(paths, "")), Calendar: plan.calendar, Replicates: o.replicates, Seed: o.seed,
		Provenance: provenance(plan, f, paths), Starter: plan.starter}, Season: season, Dates: dates, SideReplicates: min(o.replicates, sideReplicates)}
	moved, err := movedModels(plan.calendar, season, dates)
	if err != nil {
		return &inputError{text: err.Error()}
	}
	if s.Outcomes, err = env.run(ctx, moved, &o.runOptions, ensemble.Options{}); err != nil {
		return err
	}
	side := ensemble.Options{Replicates: s.SideReplicates}
	for _, heads := range infestations {
		models, err := movedModels(plan.calendar.WithInfestation(heads), season, dates)
		if err != nil {
			return &inputError{text: err.Error()}
		}
		outcomes, err := env.run(ctx, models, &o.runOptions, side)
		if err != nil {
			return err
		}
		s.Sides = append(s.Sides, report.DrillingSide{Heads: heads, Outcomes: outcomes})
	}
	early, late := s.Ends()
	for _, heads := range crossoverTest {
		models, err := movedModels(plan.calendar.WithInfestation(heads), season, []date.Day{dates[early], dates[late]})
		if err != nil {
			return &inputError{text: err.Error()}
		}
		outcomes, err := env.run(ctx, models, &o.runOptions, side)
		if err != nil {
			return err
		}
		s.Crossover = append(s.Crossover, report.DrillingSide{Heads: heads, Outcomes: outcomes})
	}
	found := report.Drilling(s)
	return env.publish(ctx, found, &o.runOptions, "drilling", s.ProvenanceDocument("drilling"), map[string]func(io.Writer) error{
		"drilling.csv": func(w io.Writer) error { return report.DrillingCSV(w, s) },
	})
}

func movedModels(c *rotations.Calendar, season int, dates []date.Day) ([]*sim.Model, error) {
	var models []*sim.Model
	for _, d := range dates {
		moved, err := c.WithDrilling(season, d)
		if err != nil {
			return nil, err
		}
		m, err := sim.New(moved)
		if err != nil {
			return nil, err
		}
		models = append(models, m)
	}
	return models, nil
}

// sweep is the season and the dates asked for.
func (o *drillingOptions) sweep(c *rotations.Calendar, f *flagSet) (season int, dates []date.Day, err error) {
	season = -1
	for i, s := range c.Seasons {
		if s.Courses[0].Drill != nil && (o.season == 0 || o.season == s.HarvestYear) {
			season = i
			break
		}
	}
	if season < 0 {
		return 0, nil, f.wrong(fmt.Sprintf("the plan drills nothing for harvest %d", o.season), fmt.Sprintf("its harvests are %d to %d", c.Seasons[0].HarvestYear, c.Seasons[len(c.Seasons)-1].HarvestYear))
	}
	s := &c.Seasons[season]
	planned := s.Courses[0].Drill.On
	from, to := max(planned-21, s.Open+1), planned+35
	if o.from.given {
		from = o.from.Day
	}
	if o.to.given {
		to = o.to.Day
	}
	if s.Cover != nil && !o.from.given {
		from = max(from, s.Cover.Sow)
	}
	if to < from {
		return 0, nil, f.wrong(fmt.Sprintf("--to %v is before --from %v", to, from), "")
	}
	for d := from; d <= to; d += date.Day(o.every) {
		dates = append(dates, d)
	}
	if len(dates) < 2 || len(dates) > 60 {
		return 0, nil, f.wrong(fmt.Sprintf("from %v to %v every %d days gives %d dates; 2 to 60 can be swept", from, to, int(o.every), len(dates)), "")
	}
	return season, dates, nil
}
