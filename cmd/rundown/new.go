package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"rundown/cmd/internal/output"
	"rundown/rotations"
)

func newCommand() *command {
	return &command{
		name: "new", synopsis: "[FILE]", summary: "write a commented starter plan",
		about: "Writes the starter plan to FILE, or to standard output without one. A file that is " +
			"there already is never replaced. The field in it is invented.",
		examples: []string{"rundown new", "rundown new my-plan.yaml"},
		flags:    newFlags,
		run:      runNew,
	}
}

func runNew(ctx context.Context, env *environment, args []string) error {
	f := newFlags(newCommand())
	rest, err := f.read(env, args, 0, 1)
	if err != nil {
		return err
	}
	if len(rest) == 0 {
		return env.print(rotations.Starter())
	}
	path := rest[0]
	err = output.CreateNew(ctx, path, func(w io.Writer) error {
		_, err := w.Write(rotations.Starter())
		return err
	})
	if errors.Is(err, fs.ErrExist) {
		return f.wrong(path+" is there already and is left as it is", "choose another name")
	}
	if err != nil {
		return err
	}
	return env.print(fmt.Appendf(nil, "%s is written. Edit it, then:\n  rundown check %s\n  rundown forecast %s\n", path, path, path))
}
