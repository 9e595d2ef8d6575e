package main

import (
	"context"
	"fmt"
	"strings"
)

func versionCommand() *command {
	return &command{
		name: "version", summary: "which build this is",
		examples: []string{"rundown version"},
		flags:    newFlags,
		run:      runVersion,
	}
}

func runVersion(_ context.Context, env *environment, args []string) error {
	if _, err := newFlags(versionCommand()).read(env, args, 0, 0); err != nil {
		return err
	}
	p := build()
	var b strings.Builder
	fmt.Fprintf(&b, "rundown %s\n", p.Version)
	if p.Commit != "" {
		fmt.Fprintf(&b, "commit %s\n", p.Commit)
	}
	fmt.Fprintf(&b, "built with %s\n", p.Go)
	for _, m := range p.Modules {
		fmt.Fprintf(&b, "  %s %s\n", m.Path, m.Version)
	}
	return env.print([]byte(b.String()))
}
