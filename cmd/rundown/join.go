package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"rundown/cmd/internal/parts"
	"rundown/cmd/internal/report"
	"rundown/sim/ensemble"
	"rundown/sim/study"
)

const joinAbout = `Makes one result of the parts in DIR, which a command with --part K/N wrote, on one
machine or on many: the very bytes that the command would have printed or written
without --part.

It is started where the parts were made, since it reads the plan and what that
names again; these must be as they were. All parts must be there, whole, and of one
command, program and type of machine. What is missing, torn, doubled or of another
result is named, all at once, and then nothing is written.

The flags say how the result is shown, as those of the command do.`

// joinOptions are the flags of join.
type joinOptions struct {
	runOptions
	replicatesCSV bool
}

func joinCommand() *command {
	return &command{
		name: "join", synopsis: "DIR", summary: "the result of parts that --part made",
		about:    joinAbout,
		examples: []string{"rundown join parts", "rundown join parts --out results"},
		flags:    func(c *command) *flagSet { return joinFlags(c, &joinOptions{}) },
		run:      runJoin,
	}
}

func joinFlags(c *command, o *joinOptions) *flagSet {
	f := newFlags(c)
	f.Var(whole{&o.jobs, 1, 1024}, "jobs", "runs at a time, where some are left to make (one for each processor)")
	o.addOutput(f)
	f.BoolVar(&o.replicatesCSV, "replicates-csv", false, "of a forecast, with --out: every run of every season in replicates.csv too")
	return f
}

// joined are parts whose runs a command takes instead of making them.
type joined struct {
	dir string
	set *parts.Set
}

func runJoin(ctx context.Context, env *environment, args []string) error {
	var o joinOptions
	f := joinFlags(joinCommand(), &o)
	rest, err := f.read(env, args, 1, 1)
	if err != nil {
		return err
	}
	set, err := env.gather(ctx, rest[0], 1)
	if err != nil {
		return err
	}
	h := set.Header
	c := find(h.Call[0])
	if c == nil || c.flags(c).Lookup("part") == nil {
		return &inputError{text: fmt.Sprintf("the parts in %s are of a command that is not made in parts: %s", rest[0], quoted(h.Call[0]))}
	}
	env.joined = &joined{rest[0], set}
	call := slices.Clone(h.Call[1:])
	f.Visit(func(flag *pflag.Flag) { call = slices.Insert(call, 0, "--"+flag.Name+"="+flag.Value.String()) })
	err = c.run(ctx, env, call)
	if input := (*inputError)(nil); errors.As(err, &input) && !strings.Contains(input.text, rest[0]) {
		return &inputError{"the parts in " + rest[0] + " cannot be joined here: " + input.text, "start 'rundown join' where the parts were made, with the files that they were made from"}
	}
	return err
}

// gather reads the parts of a round and finds whether they can be joined here.
func (env *environment) gather(ctx context.Context, dir string, round int) (*parts.Set, error) {
	set, err := heed(ctx, func() (*parts.Set, error) { return parts.Gather(ctx, dir, round) })
	wrong := parts.Wrong(nil)
	switch {
	case errors.As(err, &wrong):
		return nil, &inputError{text: wrong.Error(), hint: "nothing was written; make the parts that are named anew, and take away what does not belong here"}
	case errors.Is(err, fs.ErrNotExist):
		return nil, &inputError{dir + ": there is no such folder", "a command with --part K/N --out " + dir + " writes parts to it"}
	case err != nil && ctx.Err() != nil:
		return nil, err
	case err != nil:
		return nil, &inputError{text: fmt.Sprintf("%s cannot be read: %s", dir, plainCause(err))}
	}
	env.inputs = append(env.inputs, set.Paths...)
	program, err := thisProgram()
	if err != nil {
		return nil, err
	}
	here := *set.Header
	here.Program, here.Machine, here.CPU = program, parts.ThisMachine(), parts.CPU()
	if why := set.Header.Differs(&here); why != "" {
		return nil, &inputError{fmt.Sprintf("the parts in %s cannot be joined by this program here: of a part, %s", dir, why), "join them with the program, and on a machine of the type, that made them"}
	}
	return set, nil
}

// takeParts takes the runs of a study's first round from the parts.
func (env *environment) takeParts(ctx context.Context, todo []*ready, past *report.Past, a *asked) ([]study.Outcomes, error) {
	set := env.joined.set
	if why := env.joined.notOf(a); why != "" {
		return nil, &inputError{text: why}
	}
	var given []study.Outcomes
	var all []*ensemble.Outcome // one for each block
	for _, r := range todo {
		if err := env.room(r.models, r.Replicates); err != nil {
			return nil, err
		}
		var outcomes study.Outcomes
		for i, m := range r.models {
			want := r.block(i, &partOption{set.Header.Part, set.Header.Of})
			if at := len(all); at >= len(set.Header.Blocks) || !sameBlock(&want, &set.Header.Blocks[at]) {
				return nil, &inputError{text: "they hold other runs than this plan asks for"}
			}
			outcomes = append(outcomes, ensemble.Empty(m, r.with))
			all = append(all, outcomes[i])
		}
		given = append(given, outcomes)
	}
	columns := make([]parts.Columns, len(all))
	for i, out := range all {
		columns[i] = out.Columns()
	}
	err := env.joined.each(ctx, columns, func(h *parts.Header) {
		for i, out := range all {
			out.AddUnmet(int(h.Blocks[i].Whole))
		}
	})
	if err != nil {
		return nil, err
	}
	for i, r := range todo {
		if r.Past != nil {
			if err := cameTrue(past, given[i]); err != nil {
				return nil, err
			}
		}
	}
	return given, nil
}

// notOf says why parts are not those of a call, with what it reads now; "" if they are.
func (j *joined) notOf(a *asked) string {
	if why := parts.OtherSource(a.sources(), j.set.Header.From); why != "" {
		return "files have changed since: the result would not be the same, " + why
	}
	if !slices.Equal(arguments(a.f, a.files), j.set.Header.Arguments) {
		return "they are of another command: " + strings.Join(j.set.Header.Arguments, " ")
	}
	return ""
}

// sameBlock tells whether two blocks hold the same runs.
func sameBlock(a, b *parts.Block) bool {
	return a.For == b.For && a.Plan == b.Plan && a.Replicates == b.Replicates && a.Seasons == b.Seasons && a.Watches == b.Watches && slices.Equal(a.Columns, b.Columns)
}

// each reads the numbers of every part, one part at a time, to their place in columns
// that hold all of them.
func (j *joined) each(ctx context.Context, columns []parts.Columns, then func(*parts.Header)) error {
	for _, path := range j.set.Paths {
		if err := context.Cause(ctx); err != nil {
			return err
		}
		h, err := parts.ReadFile(path, func(h *parts.Header) ([]parts.Columns, error) {
			if why := h.Differs(j.set.Header); why != "" {
				return nil, errors.New(why)
			}
			to := make([]parts.Columns, len(columns))
			for i, b := range h.Blocks {
				for _, c := range columns[i] {
					to[i] = append(to[i], c[b.First:b.First+b.Count])
				}
			}
			return to, nil
		})
		if err != nil {
			return &inputError{text: fmt.Sprintf("%s has changed while parts were joined: %v", path, err)}
		}
		then(h)
	}
	return nil
}
