package main

import (
	"context"
	"io"
	"os"
	"strings"

	"rundown/cmd/internal/output"
	"rundown/params/sheet"
)

// command is one entry of the table of commands.
type command struct {
	name     string
	synopsis string // what follows the name, e.g. "[PLAN]"
	summary  string // one line, no full stop
	about    string // paragraphs for the command's own help
	examples []string
	flags    func(*command) *flagSet // the whole surface, for help
	run      func(ctx context.Context, env *environment, args []string) error
}

// commands is the table, in the order in which help shows it.
func commands() []*command {
	return []*command{openCommand(), forecastCommand(), compareCommand(), drillingCommand(), searchCommand(), driversCommand(), farmCommand(),
		worthCommand(), countsCommand(), updateCommand(), joinCommand(), checkCommand(), libraryCommand(), newCommand(), completionCommand(), versionCommand()}
}

// environment is what a command may touch of the outside.
type environment struct {
	stdin          io.Reader
	stdout, stderr io.Writer
	out, err       output.Terminal // what the two streams can show
	results        int64           // bytes of memory that histories and runs so far were given
	inputs         []string        // files that were read, which no output may replace
	committed      bool            // files have their names: an interruption comes too late to say that nothing was written
	heard          bool            // a key stopped the looking of a search, which goes on with what it has
	besides        []*output.Set   // what is written besides the folder of --out, before anything is printed
	kept           string          // what of an interrupted run is kept, behind "nothing was written"
	joined         *joined         // parts whose runs are taken instead of made; nil: runs are made
}

// Main runs the program and returns its exit code.
func Main(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	env := &environment{
		stdin: stdin, stdout: heeding{ctx, stdout}, stderr: stderr,
		out: output.Look(stdout, os.Getenv), err: output.Look(stderr, os.Getenv),
	}
	defer func() {
		for _, set := range env.besides {
			set.Discard() // what was not committed
		}
	}()
	return env.explain(ctx, faultless(args, func() error { return env.dispatch(ctx, args) }))
}

func (env *environment) dispatch(ctx context.Context, args []string) error {
	if len(args) == 0 {
		return &usageError{text: "no command was given", hint: "'rundown help' shows them all; 'rundown forecast' runs the starter plan"}
	}
	name := args[0]
	switch name {
	case "help":
		return env.help(args[1:])
	case "-h", "--help":
		return env.help(nil)
	case "--version":
		name = "version"
	}
	if strings.HasPrefix(name, "-") {
		return &usageError{text: "the flag " + name + " stands before the command", hint: "write the command first, as in 'rundown forecast --seed 2'"}
	}
	if c := find(name); c != nil {
		return c.run(ctx, env, args[1:])
	}
	return unknownCommand(name)
}

func find(name string) *command {
	for _, c := range commands() {
		if c.name == name {
			return c
		}
	}
	return nil
}

func unknownCommand(name string) error {
	names := []string{"help"}
	for _, c := range commands() {
		names = append(names, c.name)
	}
	hint := sheet.DidYouMean(name, names)
	if strings.HasSuffix(name, ".yaml") || strings.HasSuffix(name, ".yml") {
		hint = "to project a plan, write 'rundown forecast " + name + "'"
	}
	return &usageError{text: "there is no command " + quoted(name), hint: hint}
}

func quoted(s string) string { return `"` + s + `"` }

// print writes a finished text to standard output in one go.
func (env *environment) print(text []byte) error {
	if _, err := env.stdout.Write(output.VisibleText(text)); err != nil {
		return &unfinished{what: "standard output cannot be written", cause: err}
	}
	return nil
}
