package main

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"rundown/cmd/internal/findings"
	"rundown/sim/study"
)

const worthAbout = `What a plan's rule is worth: against the best plan that never looks, with more
quadrats or fewer, and with another threshold. The plan must have an if with a
number of heads, plants or seedlings in it, as in
    {programme: spring-contact, date: 10 Mar, if: {plants_per_m2: {above: 3}}}

Plans that never look hold each branch always, with each piece of conditional work
always or never done; --against adds plans of your own. With several rules one is
swept at a time (--rule 2), the others stay as written. For every number of quadrats
the threshold is chosen anew.

What is chosen is chosen on runs of its own and then valued on the runs of
'rundown forecast', so that it is not the luckiest. Money is the value a year, with
what the seed left behind costs.

With --out the folder gets worth.csv, the pictures looking and threshold (PNG and
SVG), report.html, provenance.json and, last of all, worth.json.`

type worthOptions struct {
	runOptions
	rule, choosing int
	against        list
	library        string
}

func worthCommand() *command {
	return &command{
		name: "worth", synopsis: "PLAN", summary: "what a rule of a plan is worth, and a better look",
		about:    worthAbout,
		examples: []string{"rundown worth ruled.yaml", "rundown worth ruled.yaml --rule 2 --out results"},
		flags:    func(c *command) *flagSet { return worthFlags(c, &worthOptions{}) },
		run:      runWorth,
	}
}

func worthFlags(c *command, o *worthOptions) *flagSet {
	f := newFlags(c)
	o.runOptions.add(f, 1000)
	o.choosing, o.rule = 250, 1
	f.Var(whole{&o.choosing, 20, 100_000}, "choose-on", "how many runs thresholds and fixed plans are chosen on")
	f.Var(whole{&o.rule, 1, 100}, "rule", "which of the plan's rules is swept, in the order in which they stand in it")
	f.Var(&o.against, "against", "another plan that never looks, besides those made of this one; may be given again")
	f.Var(place{&o.library}, "library", libraryUsage)
	return f
}

// list is a flag that may be given again.
type list []string

func (l *list) String() string     { return strings.Join(*l, ", ") }
func (l *list) Type() string       { return "file" }
func (l *list) Set(s string) error { *l = append(*l, s); return nil }

func runWorth(ctx context.Context, env *environment, args []string) error {
	var o worthOptions
	f := worthFlags(worthCommand(), &o)
	rest, err := f.read(env, args, 1, 1)
	if err != nil {
		return err
	}
	plan, err := env.resolve(ctx, rest[0], o.library)
	if err != nil {
		return err
	}
	q := &study.WorthRequest{Calendar: plan.calendar, Rule: o.rule - 1, Replicates: o.replicates, Choosing: o.choosing, Seed: o.seed}
	switch n := len(plan.calendar.Rulings()); {
	case n == 0:
		return &inputError{fmt.Sprintf("%s: the plan decides nothing by a number that is counted, so that there is no rule to value",
			plan.calendar.Seasons[0].Place),
			"write one, as in if: {plants_per_m2: {above: 3}} in a herbicide; see rundown help worth"}
	case o.rule > n:
		return f.wrong(fmt.Sprintf("--rule %d: the plan has %d with a number that is counted", o.rule, n), "")
	}
	if err := o.addAgainst(ctx, env, q); err != nil {
		return err
	}
	made := provenance(plan, f, rest)
	given, err := env.answer(ctx, q, []string{planName(rest[0])}, nil, &o.runOptions, &asked{f, rest, &partOption{}, nil})
	if err != nil || given == nil {
		return err
	}
	run := findings.WorthRun{Found: q.Find(given), Run: findings.Run{Calendar: plan.calendar, Replicates: o.replicates, Seed: o.seed, Provenance: made}}
	return env.publish(ctx, findings.Worth(run), &o.runOptions, "worth", run.ProvenanceDocument("worth"), map[string]func(io.Writer) error{
		"worth.csv": func(w io.Writer) error { return csv.NewWriter(w).WriteAll(findings.WorthCSV(&run)) },
	})
}

// addAgainst reads the plans that are to be tried besides.
func (o *worthOptions) addAgainst(ctx context.Context, env *environment, q *study.WorthRequest) error {
	var wrong []string
	for _, path := range o.against {
		other, err := env.resolve(ctx, path, o.library)
		if err != nil {
			return err
		}
		wrong = append(wrong, q.Calendar.SameField(other.calendar, false)...)
		wrong = append(wrong, q.Calendar.SameAfterwards(other.calendar)...)
		if other.calendar.Rules != nil {
			wrong = append(wrong, fmt.Sprintf("%s: this plan has rules of its own; plans that a rule is set against never look", path))
		}
		q.Against, q.Names = append(q.Against, other.calendar), append(q.Names, planName(path))
	}
	if len(wrong) > 0 {
		return &inputError{text: strings.Join(wrong, "\n")}
	}
	return nil
}
