package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/params/sheet"
	"rundown/rotations"
)

// resolvedPlan is a plan ready to run.
type resolvedPlan struct {
	calendar *rotations.Calendar
	sha256   string // of the file as written
	text     report.PlanText
	starter  bool // the embedded starter plan
	read     []string
}

// resolve reads a plan and everything it names; "" is the starter plan, "-"
// standard input. A user's own library, in dir, is laid over the program's,
// unless dir is "". An interruption ends the reading.
func (env *environment) resolve(ctx context.Context, path, dir string) (*resolvedPlan, error) {
	plan, err := withCancel(ctx, func() (*resolvedPlan, error) { return env.resolveAll(path, dir) })
	if err != nil {
		return nil, err
	}
	env.inputs = append(env.inputs, plan.read...)
	return plan, nil
}

func (env *environment) resolveAll(path, dir string) (*resolvedPlan, error) {
	name, data, err := env.readPlan(path)
	if err != nil {
		return nil, err
	}
	library, err := params.Load()
	if err != nil {
		return nil, &unfinished{what: "the library cannot be loaded", cause: err}
	}
	mistakes := &sheet.Mistakes{}
	found := &planMistakes{mistakes: mistakes, sources: map[string][]byte{name: data}}
	plan := rotations.Read(name, data, mistakes)
	if plan == nil {
		return nil, found
	}
	read, open := []string{name}, plan.Open
	plan.Open = func(file string) (io.ReadCloser, error) {
		read = append(read, file)
		return open(file)
	}
	if dir != "" {
		if own := plan.Root.Get("library"); own != nil {
			return nil, &inputError{fmt.Sprintf("%s: the plan has a library of its own, %s, and --library gives %s", own.Place, own.Text, dir), "leave one of them out"}
		}
		if err := overlay(library, dir, mistakes); err != nil {
			return nil, err
		}
		if mistakes.Len() > 0 {
			return nil, found
		}
	}
	calendar := plan.Resolve(library, mistakes) // also of a plan with mistakes, to find the rest of them
	if calendar == nil || mistakes.Len() > 0 {
		return nil, found
	}
	return &resolvedPlan{calendar, sha256Of(data), report.PlanText{Name: filepath.Base(name), Text: string(data)}, path == "",
		append(read, calendar.Library.Own()...)}, nil
}

// sha256Of is the sum of a file's bytes in hexadecimal.
func sha256Of(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// overlay lays the library of --library over the program's.
func overlay(library *params.Library, dir string, mistakes *sheet.Mistakes) error {
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return &inputError{"--library " + dir + ": there is no such folder", libraryHint}
	case err == nil && !info.IsDir():
		return &inputError{"--library " + dir + ": it is a file; a folder was expected", libraryHint}
	}
	library.Overlay(dir, mistakes)
	return nil
}

const libraryHint = "a library is a folder that holds weeds/NAME.yaml, crops/NAME.yaml and so on; 'rundown library' lists the program's own"

func (env *environment) readPlan(path string) (name string, data []byte, err error) {
	if path == "" {
		return "starter.yaml", rotations.Starter(), nil
	}
	data, err = env.readInput(path, sheet.MaxBytes)
	if err != nil {
		return "", nil, unreadable(path, err, "'rundown new "+path+"' writes a plan to begin with")
	}
	return inputName(path), data, nil
}
