package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"

	"github.com/spf13/pflag"

	"rundown/params/sheet"
	"rundown/sim"
)

// Exit codes.
const (
	exitDone       = 0
	exitFailed     = 1 // a check failed
	exitUsage      = 2 // wrong use of the command line
	exitInput      = 3 // a plan, a library or a data file holds mistakes or cannot be read
	exitUnfinished = 4 // interrupted, disk full, output closed, or a fault of the program
)

// usageError is wrong use of the command line.
type usageError struct {
	command string // "" for the program itself
	text    string
	hint    string // what to try; may be empty
}

func (e *usageError) Error() string { return e.text }

// inputError is input that cannot be read at all.
type inputError struct {
	text string
	hint string
}

func (e *inputError) Error() string { return e.text }

// planMistakes is input that was read and holds mistakes.
type planMistakes struct {
	mistakes *sheet.Mistakes
	sources  map[string][]byte // what was read, by file, for the snippets
}

func (e *planMistakes) Error() string { return e.mistakes.Error() }

// unfinished is work that could not be completed.
type unfinished struct {
	what  string
	cause error
}

func (e *unfinished) Error() string { return e.what + ": " + plainCause(e.cause) }
func (e *unfinished) Unwrap() error { return e.cause }

// plainCause leaves out the name that the system puts before its reason.
func plainCause(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err.Error()
	}
	return err.Error()
}

// explain says on standard error what went wrong and chooses the exit code. A
// failure to write there cannot be told to anyone.
func (env *environment) explain(ctx context.Context, err error) int {
	say := func(format string, args ...any) { _, _ = fmt.Fprintf(env.stderr, format+"\n", args...) }
	hint := func(text string) {
		if text != "" {
			say("hint: %s", text)
		}
	}
	var usage *usageError
	var input *inputError
	var mistakes *planMistakes
	var refused *sim.Refusal
	switch {
	case err == nil || errors.Is(err, pflag.ErrHelp):
		return exitDone
	case (errors.Is(err, context.Canceled) || ctx.Err() != nil) && !errors.Is(err, errHeldUp) && !env.committed && !env.heard:
		say("%s interrupted: nothing was written%s", env.err.Red("rundown:"), env.kept)
		return exitUnfinished
	case errors.As(err, &usage):
		say("%s %s", env.err.Red("rundown:"), usage.text)
		hint(usage.hint)
		say("'rundown help%s' shows how it is used", spaced(usage.command))
		return exitUsage
	case errors.As(err, &mistakes):
		env.showMistakes(mistakes)
		return exitInput
	case errors.As(err, &refused):
		say("%s %s", env.err.Red("rundown:"), refused)
		return exitInput
	case errors.As(err, &input):
		say("%s %s", env.err.Red("rundown:"), harmless(input.text))
		hint(harmless(input.hint))
		return exitInput
	}
	say("%s %s", env.err.Red("rundown:"), err)
	return exitUnfinished
}

func spaced(word string) string {
	if word == "" {
		return ""
	}
	return " " + word
}
