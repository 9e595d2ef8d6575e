package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"runtime/debug"
	"time"
)

// withCancel does work that cannot be told to stop, such as a read that waits for
// its other end. When ctx ends it returns at once and leaves the work behind, to
// end with the program; the work must therefore write nothing.
func withCancel[T any](ctx context.Context, work func() (T, error)) (T, error) {
	type result struct {
		value T
		err   error
		fault any
	}
	done := make(chan result, 1)
	go func() {
		var r result
		defer func() {
			r.fault = recover()
			if r.fault != nil {
				r.fault = fmt.Sprintf("%v\n%s", r.fault, debug.Stack())
			}
			done <- r
		}()
		r.value, r.err = work()
	}()
	select {
	case r := <-done:
		if r.fault != nil {
			panic(r.fault) // here, where it is caught
		}
		return r.value, r.err
	case <-ctx.Done():
		var none T
		return none, ctx.Err()
	}
}

// heeding is a stream that may be held up for ever, as a pipe is that nobody
// reads. When ctx ends it waits a moment and then gives up.
type heeding struct {
	ctx context.Context
	to  io.Writer
}

// moment is what a stream is given after an interruption.
const moment = 500 * time.Millisecond

// errHeldUp is output that was still held up a moment after an interruption.
var errHeldUp = errors.New("interrupted before all of it was taken")

func (h heeding) Write(b []byte) (int, error) {
	patience, stop := context.WithCancelCause(context.WithoutCancel(h.ctx))
	defer stop(nil)
	defer context.AfterFunc(h.ctx, func() { time.AfterFunc(moment, func() { stop(errHeldUp) }) })()
	n, err := withCancel(patience, func() (int, error) { return h.to.Write(b) })
	if context.Cause(patience) == errHeldUp {
		err = errHeldUp
	}
	return n, err
}

// inputName is what an argument that names a file is called.
func inputName(path string) string {
	if path == "-" {
		return "standard-input"
	}
	return path
}

// readInput reads what an argument names: a file, or standard input for "-".
func (env *environment) readInput(path string, most int64) ([]byte, error) {
	if path == "-" {
		return io.ReadAll(io.LimitReader(env.stdin, most+1))
	}
	return readFile(path, most)
}

// readFile reads a file, but no more than one byte over the most that is taken
// of its kind, so that its reader can refuse it: a device or a pipe may never end.
func readFile(path string, most int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, most+1))
}

// unreadable says of a file why it cannot be read; hint is what to try where it is not there.
func unreadable(path string, err error, hint string) error {
	if errors.Is(err, fs.ErrNotExist) {
		return &inputError{path + ": there is no such file", hint}
	}
	if info, bad := os.Stat(path); bad == nil && info.IsDir() {
		hint = "it is a folder; name a file"
	} else {
		hint = ""
	}
	return &inputError{fmt.Sprintf("%s cannot be read: %s", path, plainCause(err)), hint}
}

// tooLarge is the refusal of a file that is larger than what is taken of its kind.
func tooLarge(path string, most int64, hint string) error {
	return &inputError{fmt.Sprintf("%s is larger than %d MiB", path, most>>20), hint}
}
