package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"time"

	"rundown/cmd/internal/findings"
	"rundown/cmd/internal/output"
	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/params/sheet"
	"rundown/rotations"
	"rundown/sim/study"
)

const searchAbout = `Reads a menu: a field, named seasons, and rules of what may follow what. It finds the
rotations that no other beats on both counts, margin and seed at the end; what the
seed that each leaves behind costs; which is worth most with that; and which keep to
what the menu wants. What is told is run again on luck that the search never saw, the
luck of 'rundown forecast'. 'rundown check MENU' shows what was understood. A menu:

    field: {name: Far Piece, area_ha: 7, soil: clay, climate: east-lowland}
    weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 30}
    years: 4
    menu:
      wheat: {crop: winter-wheat, drill: {date: 10 Oct}}
      barley: {crop: spring-barley}
    rules: [{crop: winter-wheat, at_most_in_a_row: 2}]

--season-runs is how much is looked at; it decides what is tried, whatever the machine.
--minutes and Ctrl-C stop the looking by the clock; what was found is told then.

With --out the folder gets a plan of each rotation told of, front-1.yaml and so on,
search.csv, the picture front (PNG and SVG), report.html, provenance.json and, last of
all, search.json.`

type searchOptions struct {
	runOptions
	library string
	budget  int
	minutes float64
}

func searchCommand() *command {
	return &command{
		name: "search", synopsis: "MENU", summary: "which rotations of a menu no other beats",
		about: searchAbout,
		examples: []string{
			"rundown search menu.yaml",
			"rundown search menu.yaml --season-runs 300000 --out results",
		},
		flags: func(c *command) *flagSet { return searchFlags(c, &searchOptions{}) },
		run:   runSearch,
	}
}

func searchFlags(c *command, o *searchOptions) *flagSet {
	f := newFlags(c)
	o.runOptions.add(f, 2000)
	o.budget = study.SearchBudget
	f.Var(place{&o.library}, "library", libraryUsage)
	f.Var(whole{&o.budget, 1000, 1_000_000_000}, "season-runs", "how many seasons are run to look for rotations")
	f.Var(number{&o.minutes, 0.01, 1e5}, "minutes", "stop looking after so many; what is found then hangs on the machine")
	return f
}

// resolvedMenu is a menu ready to be searched.
type resolvedMenu struct {
	choices *rotations.Choices
	sha256  string
	text    report.PlanText
	read    []string
}

func (env *environment) resolveMenu(ctx context.Context, path, dir string) (*resolvedMenu, error) {
	menu, err := withCancel(ctx, func() (*resolvedMenu, error) { return env.readMenu(path, dir) })
	if err != nil {
		return nil, err
	}
	env.inputs = append(env.inputs, menu.read...)
	return menu, nil
}

func (env *environment) readMenu(path, dir string) (*resolvedMenu, error) {
	data, err := env.readInput(path, sheet.MaxBytes)
	if err != nil {
		return nil, unreadable(path, err, "'rundown help search' shows a menu")
	}
	name := inputName(path)
	library, err := params.Load()
	if err != nil {
		return nil, &unfinished{what: "the library cannot be loaded", cause: err}
	}
	mistakes := &sheet.Mistakes{}
	found := &planMistakes{mistakes: mistakes, sources: map[string][]byte{name: data}}
	menu := rotations.ReadMenu(name, data, mistakes)
	if menu == nil {
		return nil, found
	}
	read, open := []string{name}, menu.Opens()
	menu.SetOpen(func(file string) (io.ReadCloser, error) {
		read = append(read, file)
		return open(file)
	})
	if dir != "" {
		if err := overlay(library, dir, mistakes); err != nil {
			return nil, err
		}
	}
	choices := menu.Resolve(library, mistakes)
	if choices == nil || mistakes.Len() > 0 {
		return nil, found
	}
	return &resolvedMenu{choices, sha256Of(data), report.PlanText{Name: filepath.Base(name), Text: string(data)},
		append(read, choices.Calendar.Library.Own()...)}, nil
}

func runSearch(ctx context.Context, env *environment, args []string) error {
	var o searchOptions
	f := searchFlags(searchCommand(), &o)
	paths, err := f.read(env, args, 1, 1)
	if err != nil {
		return err
	}
	menu, err := env.resolveMenu(ctx, paths[0], o.library)
	if err != nil {
		return err
	}
	q := study.SearchRequest{Choices: menu.choices, Budget: int64(o.budget), Replicates: o.replicates, Seed: o.seed}
	plan := &resolvedPlan{calendar: menu.choices.Calendar, sha256: menu.sha256, text: menu.text}
	r := findings.SearchRun{Run: findings.Run{Calendar: menu.choices.Calendar, Replicates: o.replicates, Seed: o.seed}}
	if q.Today, err = env.today(ctx, menu.choices, o.library); err != nil {
		return err
	}
	final, ctx, err := env.look(ctx, q, &o)
	if err != nil {
		return err
	}
	r.Replicates = final.SearchRequest.Replicates
	r.Provenance = provenance(plan, f, paths)
	given, err := env.answer(ctx, final, nil, nil, &o.runOptions, &asked{f, paths, &partOption{}, nil})
	if err != nil {
		return err
	}
	r.Found = final.Find(given)
	files := map[string]func(io.Writer) error{"search.csv": func(w io.Writer) error { return findings.SearchCSV(w, r) }}
	for i := range r.Found.Told() {
		files[fmt.Sprintf("front-%d.yaml", i+1)] = func(w io.Writer) error {
			return menu.choices.Menu.WritePlan(w, r.Found.Told()[i].Rotation, o.out, findings.RotationLine(r, i))
		}
	}
	return env.publish(ctx, findings.Search(r), &o.runOptions, "search", r.ProvenanceDocument("search"), files)
}

// look searches, and makes ready what is run on fresh luck. Stopped by the clock or a key it
// goes on with what it has; a second key ends the program.
func (env *environment) look(ctx context.Context, q study.SearchRequest, o *searchOptions) (*study.SearchFinal, context.Context, error) {
	looking := ctx
	if o.minutes > 0 {
		var stop context.CancelFunc
		looking, stop = context.WithTimeout(ctx, time.Duration(o.minutes*float64(time.Minute)))
		defer stop()
	}
	progress := output.NewProgress(env.stderr, env.err, "runs of the search")
	update := progress.Update
	if o.quiet {
		update = nil
	}
	looked, err := q.Look(looking, o.jobs, update)
	progress.Clear()
	if err != nil {
		if errors.Is(err, study.ErrNothingFound) && ctx.Err() == nil {
			return nil, ctx, &unfinished{what: "nothing was found", cause: err}
		}
		return nil, ctx, err
	}
	if looked.Cut {
		q.Replicates = min(q.Replicates, study.CutReplicates)
		if h, ok := env.stdout.(heeding); ok && ctx.Err() != nil {
			ctx = context.WithoutCancel(ctx)
			env.stdout = heeding{ctx, h.to}
			env.heard = true
		}
	}
	final, err := q.Final(looked)
	if err != nil {
		return nil, ctx, &unfinished{what: "the plans of the front cannot be made", cause: err}
	}
	return final, ctx, nil
}

// today reads the plan that rotations are set against.
func (env *environment) today(ctx context.Context, c *rotations.Choices, library string) (*rotations.Calendar, error) {
	path := c.Menu.Against
	if path == "" {
		return nil, nil
	}
	plan, err := env.resolve(ctx, path, library)
	if err != nil {
		return nil, err
	}
	wrong := c.Calendar.SameField(plan.calendar, false)
	if len(wrong) == 0 {
		wrong = append(wrong, c.Calendar.SameAfterwards(plan.calendar)...)
	}
	if n := len(plan.calendar.Seasons); n != c.Menu.Years {
		wrong = append(wrong, fmt.Sprintf("%s: the plan has %d seasons, a rotation of the menu has %d; write as many (repeat: says how often the list is "+
			"run through)", path, n, c.Menu.Years))
	}
	if len(wrong) > 0 {
		var b bytes.Buffer
		for i, w := range wrong {
			if i > 0 {
				b.WriteByte('\n')
			}
			b.WriteString(w)
		}
		return nil, &inputError{text: b.String()}
	}
	return plan.calendar, nil
}
