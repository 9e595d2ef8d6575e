package main

import (
	"bytes"
	"context"
	"fmt"

	"rundown/cmd/internal/findings"
	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/rotations"
	"rundown/sim"
)

type checkOptions struct {
	full, schema bool
	library      string // folder of the user's own library
}

func checkCommand() *command {
	return &command{
		name: "check", synopsis: "PLAN", summary: "every mistake in a plan, and what was understood",
		about: "Mistakes go to standard error, one per line as FILE:LINE:COLUMN: TEXT, and the exit " +
			"code is 3. Without mistakes the seasons are shown with their dates; of a menu, how many " +
			"rotations its rules allow, and which entries do not fit behind which. PLAN may be - " +
			"for standard input.",
		examples: []string{"rundown check plan.yaml", "rundown check plan.yaml --full", "rundown check --schema"},
		flags:    func(c *command) *flagSet { return checkFlags(c, &checkOptions{}) },
		run:      runCheck,
	}
}

func checkFlags(c *command, o *checkOptions) *flagSet {
	f := newFlags(c)
	f.BoolVar(&o.full, "full", false, "write the plan out in full, with where each value came from")
	f.BoolVar(&o.schema, "schema", false, "print the JSON Schema of plans, for editors (needs no PLAN)")
	f.Var(place{&o.library}, "library", libraryUsage)
	return f
}

func runCheck(ctx context.Context, env *environment, args []string) error {
	var o checkOptions
	f := checkFlags(checkCommand(), &o)
	rest, err := f.read(env, args, 0, 1)
	if err != nil {
		return err
	}
	if o.schema && (o.full || o.library != "" || len(rest) > 0) {
		return f.wrong("--schema stands alone: it is about plans in general", "")
	}
	if o.schema {
		library, err := params.Load()
		if err != nil {
			return &unfinished{what: "the library cannot be loaded", cause: err}
		}
		return env.print(rotations.Schema(library))
	}
	if len(rest) == 0 {
		return f.wrong("something is missing: rundown check PLAN", "")
	}
	if menu, err := env.isMenu(ctx, rest[0]); err != nil {
		return err
	} else if menu {
		return env.checkMenu(ctx, rest[0], &o, f)
	}
	plan, err := env.resolve(ctx, rest[0], o.library)
	if err != nil {
		return err
	}
	if c := plan.calendar; c.Record != nil || c.FitTo != nil || len(c.Library.Own()) > 0 { // what the program carries makes a model
		if _, err := sim.New(c); err != nil {
			return &unfinished{what: "the plan cannot be run", cause: err}
		}
	}
	var b bytes.Buffer
	if o.full {
		if err := plan.calendar.WriteFull(&b); err != nil {
			return err
		}
		for _, caution := range findings.Cautions() {
			fmt.Fprintf(&b, "# %s\n", caution)
		}
		return env.print(b.Bytes())
	}
	if err := findings.Understood(plan.calendar).Text(&b, env.out); err != nil {
		return err
	}
	if filled := findings.FilledDays(plan.calendar); filled != "" {
		b.WriteString("\n" + report.Paragraphs(filled, env.out.Columns))
	}
	if fitted := findings.Fitted(plan.calendar); fitted != "" {
		b.WriteString("\n" + report.Paragraphs(fitted, env.out.Columns))
	}
	fmt.Fprintf(&b, "\n%s: no mistakes.\n", rest[0])
	return env.print(b.Bytes())
}
