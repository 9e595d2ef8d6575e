package main

import (
	"bytes"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"testing"
	"time"

	"rundown/sim/simtest"
)

// A program that waits for its input, or for someone to take its output, ends at
// the first signal: exit code 4, a word about it, and nothing left behind.
func TestSignalWhileWaiting(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "weather.yaml": strings.Replace(smallPlan, "climate: east-lowland", "weather: {file: pipe}", 1)})
	if err := os.MkdirAll("own/weeds", 0o777); err != nil {
		t.Fatal(err)
	}
	for _, pipe := range []string{"pipe", "own/weeds/pipe.yaml"} {
		if err := syscall.Mkfifo(pipe, 0o600); err != nil {
			t.Skipf("no pipe can be made here: %v", err)
		}
	}
	before := strings.Join(listing(t, "."), " ")
	signals := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) {
		signals = append(signals, syscall.SIGHUP)
	}
	const cut = "interrupted: nothing was written"
	for i, c := range []struct{ args, says string }{
		{"forecast -", cut}, {"forecast pipe", cut}, {"check weather.yaml", cut}, {"check plan.yaml --library own", cut}, {"library --library own", cut},
		{"counts pipe", cut}, {"update plan.yaml pipe", cut}, {"compare plan.yaml pipe", cut}, {"forecast plan.yaml --posterior pipe", cut},
		{"library --json", "standard output cannot be written: interrupted before all of it was taken"},
	} {
		for _, s := range signals {
			said, code, spent := endedBy(t, s, strings.Fields(c.args)...)
			if code != exitUnfinished || !strings.Contains(said, c.says) {
				t.Errorf("%s, %v: exit %d, said %q; want exit 4 and %q", c.args, s, code, said, c.says)
			}
			if spent > 2*time.Second && !instrumented {
				t.Errorf("%s: ended %v after %v", c.args, spent, s)
			}
			if i > 2 && !simtest.InStage("processes") { // the first three with every signal, the rest with one
				break
			}
		}
	}
	if after := strings.Join(listing(t, "."), " "); after != before {
		t.Errorf("left %s; before: %s", after, before)
	}
}

// endedBy starts the program with pipes that nobody serves, sends it a signal and
// tells what it said and how long it took to end.
func endedBy(t *testing.T, s os.Signal, args ...string) (said string, code int, spent time.Duration) {
	t.Helper()
	c := child(t, "0", args...)
	stdin, err := c.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	defer stdin.Close()
	unread, out, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer unread.Close()
	defer out.Close()
	var stderr bytes.Buffer
	c.Stdout, c.Stderr = out, &stderr
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(150 * time.Millisecond)
	began := time.Now()
	if err := c.Process.Signal(s); err != nil {
		t.Fatalf("%v: %v, it had ended: %s", args, err, stderr.String())
	}
	end := time.AfterFunc(20*time.Second, func() { _ = c.Process.Kill() }) // it hangs; the exit code tells
	defer end.Stop()
	_ = c.Wait() // the exit code is looked at by the caller
	return stderr.String(), c.ProcessState.ExitCode(), time.Since(began)
}
