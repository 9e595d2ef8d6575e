package main

import (
	"fmt"
	"os"
	"runtime/debug"
	"strings"
)

// fault is a panic: a mistake in the program itself.
type fault struct {
	command string
	what    string
	where   string // file and line in this program; may be empty
}

func (e *fault) Error() string {
	at := ""
	if e.where != "" {
		at = " (" + e.where + ")"
	}
	return fmt.Sprintf("%s could not be finished: %s%s; this is a fault of the program, please report it with the plan", e.command, e.what, at)
}

// traceVariable shows where a fault came from, for those who look for it.
const traceVariable = "RUNDOWN_TRACE"

// faultless does work and turns a panic into an error. Work that runs beside
// catches its own and panics anew where it is waited for, with its stack after the
// first line.
func faultless(args []string, work func() error) (err error) {
	defer func() {
		found := recover()
		if found == nil {
			return
		}
		what, stack, beside := strings.Cut(fmt.Sprint(found), "\n")
		if !beside {
			stack = string(debug.Stack())
		}
		f := &fault{commandLine(args), what, placeOf(stack)}
		if os.Getenv(traceVariable) != "" {
			_, _ = fmt.Fprintln(os.Stderr, stack) // for whoever asked for it
		}
		err = f
	}()
	return work()
}

// placeOf is the line of this program at which a stack panicked.
func placeOf(stack string) string {
	lines := strings.Split(stack, "\n")
	began := false
	for i, line := range lines {
		if strings.HasPrefix(line, "panic(") {
			began = true
		}
		if !began || !strings.HasPrefix(line, "rundown/") && !strings.HasPrefix(line, "main.") || i+1 == len(lines) {
			continue
		}
		file, _, _ := strings.Cut(strings.TrimSpace(lines[i+1]), " ")
		folders := strings.Split(file, "/")
		return strings.Join(folders[max(0, len(folders)-2):], "/")
	}
	return ""
}

// commandLine is what was asked for, on one line of at most so many letters.
func commandLine(args []string) string {
	const most = 200
	line := []rune(printable(strings.Join(args, " ")))
	if len(line) > most {
		line = append(line[:most], '…')
	}
	if len(line) == 0 {
		return "rundown"
	}
	return string(line)
}
