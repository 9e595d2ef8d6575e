package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"time"

	"rundown/cmd/internal/output"
	"rundown/params"
	"rundown/params/date"
	"rundown/rotations"
)

type newOptions struct{ plain bool }

func newCommand() *command {
	return &command{
		name: "new", synopsis: "[FILE]", summary: "write a first plan, with comments",
		about: "At a terminal it asks for field, soil, crops, weed and infestation and writes a plan from " +
			"the answers. Elsewhere, and with --plain, it writes the starter plan, whose field is " +
			"invented. The plan goes to FILE, or to standard output without one; a file that is " +
			"there already is never replaced.",
		examples: []string{"rundown new", "rundown new my-plan.yaml", "rundown new my-plan.yaml --plain"},
		flags:    func(c *command) *flagSet { return newPlanFlags(c, &newOptions{}) },
		run:      runNew,
	}
}

func newPlanFlags(c *command, o *newOptions) *flagSet {
	f := newFlags(c)
	f.BoolVar(&o.plain, "plain", false, "ask nothing: the starter plan as it stands")
	return f
}

func runNew(ctx context.Context, env *environment, args []string) error {
	var o newOptions
	f := newPlanFlags(newCommand(), &o)
	rest, err := f.read(env, args, 0, 1)
	if err != nil {
		return err
	}
	if len(rest) > 0 {
		if _, err := os.Lstat(rest[0]); err == nil { // said before any question
			return taken(f, rest[0])
		}
	}
	plan := rotations.Starter()
	if !o.plain && env.out.Interactive && output.Listens(env.stdin) {
		if plan, err = env.askPlan(ctx, nearestAugust(time.Now())); err != nil {
			return err
		}
	}
	if len(rest) == 0 {
		return env.print(plan)
	}
	path := rest[0]
	err = output.CreateNew(ctx, path, func(w io.Writer) error {
		_, err := w.Write(plan)
		return err
	})
	if errors.Is(err, fs.ErrExist) {
		return taken(f, path)
	}
	if err != nil {
		return err
	}
	return env.print(fmt.Appendf(nil, "%s is written. Edit it, then:\n  rundown check %s\n  rundown forecast %s\n", path, path, path))
}

func taken(f *flagSet, path string) error {
	return f.wrong(path+" is there already and is left as it is", "choose another name")
}

// askPlan makes a plan from the answers of the person at the terminal.
func (env *environment) askPlan(ctx context.Context, start date.Day) ([]byte, error) {
	library, err := params.Load()
	if err != nil {
		return nil, &unfinished{what: "the library cannot be loaded", cause: err}
	}
	q := &interview{ctx: ctx, lines: listen(ctx, env.stdin), out: env.stderr, columns: env.err.Columns, library: library}
	plan, err := q.all(start)
	if errors.Is(err, errNoAnswers) {
		return nil, &unfinished{what: "nothing was written", cause: err}
	}
	return plan, err
}

// nearestAugust is 1 August of this year, or until January of the last: the
// day on which the projection of a first plan begins.
func nearestAugust(now time.Time) date.Day {
	year := now.Year()
	if now.Month() == time.January {
		year--
	}
	return date.Of(year, 8, 1)
}
