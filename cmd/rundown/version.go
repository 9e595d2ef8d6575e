package main

import (
	"context"
	_ "embed" // the notices
	"fmt"
	"strings"
)

func versionCommand() *command {
	return &command{
		name: "version", summary: "which build this is",
		examples: []string{"rundown version", "rundown version --licences"},
		flags:    func(c *command) *flagSet { return versionFlags(c, new(bool)) },
		run:      runVersion,
	}
}

// licences are the notices of all that the program carries, its fonts too; the test
// of that name writes them.
//
//go:embed licences.txt
var licences []byte

func versionFlags(c *command, notices *bool) *flagSet {
	f := newFlags(c)
	f.BoolVar(notices, "licences", false, "the terms of the parts by others that are in this program")
	return f
}

func runVersion(_ context.Context, env *environment, args []string) error {
	var notices bool
	if _, err := versionFlags(versionCommand(), &notices).read(env, args, 0, 0); err != nil {
		return err
	}
	if notices {
		return env.print(licences)
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
