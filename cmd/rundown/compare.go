package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"rundown/cmd/internal/findings"
	"rundown/sim/study"
)

const compareAbout = `Runs two to eight plans on the same field under the same weather, seasons, luck
and parameters, run by run, and shows each plan's bands, the paired
difference from the first plan, how likely a plan is to be better, and the chance
of staying under a density of heads. Plans that differ in field, weed or start
are refused, and so are plans of different libraries, unless --compare-libraries
says that these are what is compared.

With --afterwards every plan is charged for the seed that it leaves. Behind each the
same crops are grown, four winter wheats unless the plans' afterwards: says what,
and what the weed takes of them, against clean ground, is told beside the margin
and as a value a year with it.

With --posterior FILE all plans go on from the histories that counts left; until
the last count they must be the plan that was updated.

With --out the folder gets compare.csv, the pictures heads, seedbank, margin,
decision and, where it evolves, resistance (PNG and SVG), report.html,
provenance.json and, last of all, compare.json.`

type compareOptions struct {
	runOptions
	pastOption
	partOption
	threshold float64
	library   string
	libraries bool // are what is compared
	after     bool // what the seed left behind costs is charged
}

func compareCommand() *command {
	return &command{
		name: "compare", synopsis: "PLAN PLAN …", summary: "several plans under the same weather",
		about: compareAbout,
		examples: []string{
			"rundown compare early.yaml late.yaml",
			"rundown compare early.yaml late.yaml --threshold-heads 20 --out results",
		},
		flags: func(c *command) *flagSet { return compareFlags(c, &compareOptions{}) },
		run:   runCompare,
	}
}

func compareFlags(c *command, o *compareOptions) *flagSet {
	f := newFlags(c)
	o.runOptions.add(f, 2000)
	o.pastOption.add(f)
	o.partOption.add(f)
	f.Var(place{&o.library}, "library", libraryUsage)
	f.BoolVar(&o.libraries, "compare-libraries", false, "let plans have libraries of their own that differ: then the values are compared too")
	f.BoolVar(&o.after, "afterwards", false, "charge each plan for the seed that it leaves: what the weed takes of the crops grown behind it")
	f.Var(number{&o.threshold, 0.001, 1e6}, "threshold-heads", "heads per m² to stay under (the first plan's threshold, or the library's for its last crop)")
	return f
}

func runCompare(ctx context.Context, env *environment, args []string) error {
	var o compareOptions
	f := compareFlags(compareCommand(), &o)
	paths, err := f.read(env, args, 2, 8)
	if err != nil {
		return err
	}
	if i := slices.Index(paths, "-"); i >= 0 && slices.Contains(paths[i+1:], "-") {
		return f.wrong("only one of the plans can be standard input", "give the others as files")
	}
	if err := o.partOption.refuse(f, paths, &o.runOptions); err != nil {
		return err
	}
	past, err := o.past(ctx, env, f, &o.runOptions)
	if err != nil {
		return err
	}
	var runs []findings.Run
	q := &study.CompareRequest{Replicates: o.replicates, Seed: o.seed, Posterior: past.Histories(), Threshold: o.threshold, Afterwards: o.after}
	var wrong []string
	for _, path := range paths {
		plan, err := env.resolve(ctx, path, o.library)
		if err != nil {
			return err
		}
		if len(runs) > 0 {
			wrong = append(wrong, runs[0].Calendar.SameField(plan.calendar, o.libraries)...)
			if o.after {
				wrong = append(wrong, runs[0].Calendar.SameAfterwards(plan.calendar)...)
			}
		}
		q.Calendars, q.Names = append(q.Calendars, plan.calendar), append(q.Names, planName(path))
		runs = append(runs, findings.Run{Name: apart(planName(path), runs), Calendar: plan.calendar, Replicates: o.replicates, Seed: o.seed,
			Provenance: from(past, provenance(plan, f, paths)), Past: past})
	}
	if len(wrong) > 0 {
		return &inputError{text: strings.Join(wrong, "\n")}
	}
	made := &asked{f, paths, &o.partOption, nil}
	for i := range runs {
		made.from = append(made.from, runs[i].Provenance)
	}
	given, err := env.answer(ctx, q, paths, past, &o.runOptions, made)
	if err != nil || given == nil {
		return err
	}
	found := findings.CompareRun{Runs: runs, Found: q.Find(given)}
	return env.publish(ctx, findings.Compare(found), &o.runOptions, "compare", findings.CompareProvenance(runs), map[string]func(io.Writer) error{
		"compare.csv": func(w io.Writer) error { return findings.CompareCSV(w, found) },
	})
}

// apart is a name that no plan before has: the second plan of a name is NAME (2).
func apart(name string, before []findings.Run) string {
	n := 1
	for _, r := range before {
		if r.Name == name || strings.HasPrefix(r.Name, name+" (") {
			n++
		}
	}
	if n == 1 {
		return name
	}
	return fmt.Sprintf("%s (%d)", name, n)
}
