package main

import (
	"context"
	"strings"

	"github.com/spf13/pflag"

	"rundown/params"
	"rundown/params/sheet"
)

const completionAbout = `Writes a script that completes commands, flags, plans and library names as you
type. To have it in every session:

bash: rundown completion bash > ~/.local/share/bash-completion/completions/rundown

zsh: rundown completion zsh > DIR/_rundown, where DIR is one of the folders in $fpath

fish: rundown completion fish > ~/.config/fish/completions/rundown.fish`

func completionCommand() *command {
	return &command{
		name: "completion", synopsis: "SHELL", summary: "a script that completes commands in bash, zsh or fish",
		about:    completionAbout,
		examples: []string{"rundown completion bash", "rundown completion zsh", "rundown completion fish"},
		flags:    newFlags,
		run:      runCompletion,
	}
}

// shells are the shells there is a script for.
var shells = []string{"bash", "zsh", "fish"}

func runCompletion(_ context.Context, env *environment, args []string) error {
	f := newFlags(completionCommand())
	rest, err := f.read(env, args, 1, 1)
	if err != nil {
		return err
	}
	library, err := params.Load()
	if err != nil {
		return &unfinished{what: "the library cannot be loaded", cause: err}
	}
	surface := completions(library)
	switch rest[0] {
	case "bash":
		return env.print([]byte(bashScript(surface)))
	case "zsh":
		return env.print([]byte(zshScript(surface)))
	case "fish":
		return env.print([]byte(fishScript(surface)))
	}
	return f.wrong("there is no script for the shell "+quoted(rest[0]), sheet.DidYouMean(rest[0], shells))
}

// completed is one command as completion sees it.
type completed struct {
	name, summary string
	flags         []completedFlag
	files         bool                // its arguments are files
	words         []string            // what its first argument may be
	second        map[string][]string // what follows each of them
}

type completedFlag struct {
	name, usage string
	value       bool // a value follows
	files       bool // which is a file or folder
}

// completions are read off the table of commands, so that a new command needs
// nothing here.
func completions(library *params.Library) []completed {
	out := []completed{{name: "help", summary: "how the program, or one command, is used"}}
	for _, c := range commands() {
		out[0].words = append(out[0].words, c.name)
		e := completed{name: c.name, summary: c.summary}
		for _, word := range []string{"PLAN", "FILE", "COUNTS", "DIR"} {
			e.files = e.files || strings.Contains(c.synopsis, word)
		}
		switch {
		case strings.Contains(c.synopsis, "KIND"):
			e.words, e.second = params.Kinds, map[string][]string{}
			for _, kind := range params.Kinds {
				e.second[kind] = library.Names(kind)
			}
		case c.synopsis == "SHELL":
			e.words = shells
		}
		c.flags(c).VisitAll(func(f *pflag.Flag) {
			e.flags = append(e.flags, completedFlag{f.Name, firstLine(f.Usage), f.NoOptDefVal == "", f.Value.Type() == "path"})
		})
		e.flags = append(e.flags, completedFlag{name: "help", usage: "how it is used"})
		out = append(out, e)
	}
	return out
}

func firstLine(s string) string {
	s, _, _ = strings.Cut(s, "\n")
	return s
}

// flagNames are the flags of a command; only those with values, if so asked.
func (c *completed) flagNames(only func(completedFlag) bool) string {
	var names []string
	for _, f := range c.flags {
		if only == nil || only(f) {
			names = append(names, "--"+f.name)
		}
	}
	return strings.Join(names, " ")
}

func withValue(f completedFlag) bool { return f.value && !f.files }

func names(all []completed) string {
	var out []string
	for _, c := range all {
		out = append(out, c.name)
	}
	return strings.Join(out, " ")
}
