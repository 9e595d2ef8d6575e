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
	if input, ofParts := (*inputError)(nil), (*partsError)(nil); errors.As(err, &input) && !errors.As(err, &ofParts) {
		return &inputError{"the parts in " + rest[0] + " cannot be joined here: " + input.text,
			"start 'rundown join' where the parts were made, with the files that they were made from"}
	}
	return err
}

// partsError is what keeps parts themselves from being joined.
type partsError struct{ inputError }

func (e *partsError) Unwrap() error { return &e.inputError }

func notJoined(text, hint string) error { return &partsError{inputError{text, hint}} }

// gather reads the parts of a round and finds whether they can be joined here.
func (env *environment) gather(ctx context.Context, dir string, round int) (*parts.Set, error) {
	set, err := withCancel(ctx, func() (*parts.Set, error) { return parts.Gather(ctx, dir, round) })
	wrong := parts.Wrong(nil)
	switch {
	case errors.As(err, &wrong):
		return nil, notJoined(wrong.Error(), "nothing was written; make the parts that are named anew, and take away what does not belong here")
	case errors.Is(err, fs.ErrNotExist):
		return nil, notJoined(dir+": there is no such folder", "a command with --part K/N --out "+dir+" writes parts to it")
	case err != nil && ctx.Err() != nil:
		return nil, err
	case err != nil:
		return nil, notJoined(fmt.Sprintf("%s cannot be read: %s", dir, plainCause(err)), "the folder is expected that the parts are collected in")
	}
	env.inputs = append(env.inputs, set.Paths...)
	program, err := thisProgram()
	if err != nil {
		return nil, err
	}
	here := *set.Header
	here.Program, here.Machine, here.CPU = program, parts.ThisMachine(), parts.CPU()
	if why := set.Header.Differs(&here); why != "" {
		return nil, notJoined(fmt.Sprintf("the parts in %s cannot be joined by this program here: of a part, %s", dir, why),
			"join them with the program, and on a machine of the type, that made them")
	}
	return set, nil
}

// made refuses parts that are not of this call, with what it reads now.
func (a *asked) made(set *parts.Set) error {
	if why := parts.OtherSource(a.sources(), set.Header.From); why != "" {
		return &inputError{text: "files have changed since: the result would not be the same, " + why}
	}
	if !slices.Equal(arguments(a.f, a.files), set.Header.Arguments) {
		return &inputError{text: "they are of another command: " + strings.Join(set.Header.Arguments, " ")}
	}
	return nil
}

// otherRuns is said of parts with other blocks than their command makes.
var otherRuns = &inputError{text: "they hold other runs than this plan asks for"}

// sameBlock tells whether two blocks hold the same runs.
func sameBlock(a, b *parts.Block) bool {
	return a.For == b.For && a.Plan == b.Plan && a.Replicates == b.Replicates && a.Seasons == b.Seasons &&
		a.Watches == b.Watches && a.Work == b.Work && slices.Equal(a.Columns, b.Columns)
}

// eachPart reads the numbers of every part, one part at a time, to their place in columns
// that hold all of them.
func eachPart(ctx context.Context, set *parts.Set, numbers []parts.Numbers, then func(*parts.Header)) error {
	for _, path := range set.Paths {
		if err := context.Cause(ctx); err != nil {
			return err
		}
		h, err := parts.ReadFile(path, func(h *parts.Header) ([]parts.Numbers, error) {
			if why := h.Differs(set.Header); why != "" {
				return nil, errors.New(why)
			}
			to := make([]parts.Numbers, len(numbers))
			for i, b := range h.Blocks {
				for _, c := range numbers[i].Columns {
					to[i].Columns = append(to[i].Columns, c[b.First:b.First+b.Count])
				}
				for _, c := range numbers[i].Work {
					to[i].Work = append(to[i].Work, c[b.First:b.First+b.Count])
				}
			}
			return to, nil
		})
		if err != nil {
			return notJoined(fmt.Sprintf("%s has changed while parts were joined: %v", path, err), "")
		}
		then(h)
	}
	return nil
}
