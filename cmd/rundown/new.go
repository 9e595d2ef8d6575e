package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
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
		about: "At a terminal it asks for field, soil, last crop, crops to come, weed, infestation and resistance, " +
			"writes a plan from the answers and says what the forecast makes of it; < goes back to the question " +
			"before, and a size with ac behind it is of acres. Elsewhere, and with --plain, it writes the starter plan, whose field is " +
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
	plan := evolvingStarter()
	asks := !o.plain && env.out.Interactive && output.Listens(env.stdin)
	if asks {
		if plan, err = env.askPlan(ctx, nearestAugust(time.Now())); err != nil {
			return err
		}
	}
	return env.writePlan(ctx, f, plan, strings.Join(rest, ""), asks)
}

// evolvingStarter is the starter plan with resistance that evolves: what is run without a plan
// holds it still, as plans that do not say do.
func evolvingStarter() []byte {
	var out []byte
	for line := range bytes.Lines(rotations.Starter()) {
		out = append(out, line...)
		if bytes.HasPrefix(line, []byte("  resistance:")) {
			out = fmt.Appendf(out, "  %-30s # %s\n", "evolve: yes", evolveComment)
		}
	}
	return out
}

// writePlan writes a first plan to a file, or to standard output; an answered one with
// the answer of its forecast.
func (env *environment) writePlan(ctx context.Context, f *flagSet, plan []byte, path string, answered bool) error {
	if path == "" {
		if err := env.print(plan); err != nil || !answered {
			return err
		}
		env.committed = true
		aside := *env // the plan is what goes to standard output
		aside.stdin, aside.stdout, aside.out = bytes.NewReader(plan), env.stderr, env.err
		return aside.firstAnswer(ctx, "-", "the plan")
	}
	err := output.CreateNew(ctx, path, func(w io.Writer) error {
		_, err := w.Write(plan)
		return err
	})
	if errors.Is(err, fs.ErrExist) {
		return taken(f, path)
	}
	if err != nil {
		return err
	}
	env.committed = true
	if err := env.print(fmt.Appendf(nil, "%s is written. Edit it, then:\n  rundown check %s\n  rundown forecast %s\n", path, path,
		path)); err != nil || !answered {
		return err
	}
	return env.firstAnswer(ctx, path, path)
}

// firstAnswer prints what 'rundown forecast PLAN --brief' does.
func (env *environment) firstAnswer(ctx context.Context, plan, name string) error {
	if err := env.print([]byte("\nWhat it comes to as it stands:\n")); err != nil {
		return err
	}
	if err := runForecast(ctx, env, []string{plan, "--brief"}); err != nil {
		return &unfinished{what: name + " is written, but its forecast was not finished", cause: err}
	}
	return nil
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
