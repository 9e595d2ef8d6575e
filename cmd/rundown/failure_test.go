package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"rundown/sim/ensemble"
)

// brokenWriter accepts some bytes and then fails, as a closed pipe or a full
// disk does.
type brokenWriter struct{ room int }

var errFull = errors.New("no space left on device")

func (w *brokenWriter) Write(b []byte) (int, error) {
	if len(b) > w.room {
		n := w.room
		w.room = 0
		return n, errFull
	}
	w.room -= len(b)
	return len(b), nil
}

// Output that cannot be written is told and gives exit code 4, for every
// command.
func TestStandardOutputFails(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	for _, args := range []string{"forecast plan.yaml --json --replicates 5", "forecast plan.yaml --replicates 5", "check plan.yaml", "check plan.yaml --full",
		"check --schema", "library", "library crops --json", "new", "version", "help", "help forecast", "check --help"} {
		for _, room := range []int{0, 10} {
			var stderr bytes.Buffer
			code := Main(t.Context(), strings.Fields(args), strings.NewReader(""), &brokenWriter{room}, &stderr)
			if code != exitUnfinished || !strings.Contains(stderr.String(), "standard output cannot be written: no space left on device") {
				t.Errorf("rundown %s: exit %d, stderr %q", args, code, stderr.String())
			}
		}
	}
}

func TestFolderThatCannotBeUsed(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "file": "theirs"})
	if err := os.MkdirAll("taken/bands.png", 0o777); err != nil {
		t.Fatal(err)
	}
	for out, want := range map[string]string{"file": "file is a file; a folder was expected", "file/below": "file", "taken": "bands.png is a folder"} {
		before := strings.Join(listing(t, "."), " ")
		got := run(t, "forecast", "plan.yaml", "--replicates", "5", "--out", out)
		if got.code != exitUnfinished || !strings.Contains(got.stderr, want) || got.stdout != "" {
			t.Errorf("--out %s: exit %d, stdout %q, stderr %q; want exit 4 and %q", out, got.code, got.stdout, got.stderr, want)
		}
		if after := strings.Join(listing(t, "."), " "); after != before {
			t.Errorf("--out %s: left %s; before: %s", out, after, before)
		}
	}
}

// An interrupted run ends within a second with exit code 4, leaves no file and
// keeps what an earlier run wrote.
func TestInterrupted(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	if err := os.MkdirAll("old", 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile("old/forecast.json", []byte("earlier"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, out := range []string{"new/deep", "old"} {
		ctx, stop := context.WithCancel(context.Background())
		time.AfterFunc(100*time.Millisecond, stop)
		began := time.Now()
		got := runWith(t, ctx, "", "forecast", "plan.yaml", "--replicates", "200000", "--out", out)
		if spent := time.Since(began); spent > 1100*time.Millisecond && !instrumented {
			t.Errorf("--out %s: took %v after an interrupt at 0.1 s", out, spent)
		}
		if got.code != exitUnfinished || !strings.Contains(got.stderr, "interrupted: nothing was written") || got.stdout != "" {
			t.Errorf("--out %s: exit %d, stdout %q, stderr %q", out, got.code, got.stdout, got.stderr)
		}
	}
	if names := strings.Join(listing(t, "."), " "); names != "old old/forecast.json plan.yaml" {
		t.Errorf("the folder holds %s", names)
	}
	if b, _ := os.ReadFile("old/forecast.json"); string(b) != "earlier" {
		t.Errorf("the earlier forecast.json holds %q", b)
	}
}

// What would not go into the memory is refused before any run, with a number
// that would.
func TestTooLargeForTheMemory(t *testing.T) {
	inFolder(t, map[string]string{"long.yaml": smallPlan + "repeat: 30\n"})
	pieces := strings.Count(run(t, "forecast", "long.yaml", "--json", "--replicates", "1").stdout, `"what":`)
	refused := func(replicates, plans int) string { // what a season takes hangs on how many metrics there are, and on its work
		seasons := 60 * plans
		each := ensemble.SeasonBytes*int64(seasons) + ensemble.WorkBytes*int64(pieces*plans)
		return fmt.Sprintf("rundown: %d replicates of %d seasons in all would take %.1f GiB of memory; at most 4 are taken\n"+
			"hint: give --replicates %d or fewer\n'rundown help' shows how it is used\n", replicates, seasons, gib(each*int64(replicates)), largest/each)
	}
	for args, want := range map[string]string{
		"forecast long.yaml --replicates 1000000 --out out":                   refused(1000000, 1),
		"compare long.yaml long.yaml long.yaml --replicates 200000 --out out": refused(200000, 3),
		"update long.yaml long.yaml --replicates 50001": "rundown: --replicates 50001 are more histories than can be kept; give at " +
			"most 50000\n'rundown help update' shows how it is used\n",
	} {
		got := run(t, strings.Fields(args)...)
		if got.code != exitUsage || got.stderr != want || got.stdout != "" {
			t.Errorf("%s: exit %d, stdout %q, stderr %q; want exit 2 and %q", args, got.code, got.stdout, got.stderr, want)
		}
	}
	if names := listing(t, "."); len(names) != 1 {
		t.Errorf("left behind: %v", names)
	}
}

// child runs the program as a process of its own.
func child(t *testing.T, limit string, args ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(self, args...)
	c.Env = append(os.Environ(), childVariable+"="+limit)
	return c
}

// A real signal, through main.
func TestCtrlC(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("a process cannot be sent an interrupt there")
	}
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	c := child(t, "0", "forecast", "plan.yaml", "--replicates", "200000", "--out", "out")
	var stderr bytes.Buffer
	c.Stderr = &stderr
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(300 * time.Millisecond)
	began := time.Now()
	if err := c.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	_ = c.Wait() // the exit code is looked at below
	if spent := time.Since(began); spent > time.Second && !instrumented {
		t.Errorf("ended %v after the interrupt", spent)
	}
	if c.ProcessState.ExitCode() != exitUnfinished || !strings.Contains(stderr.String(), "interrupted") {
		t.Errorf("exit %d, stderr %q", c.ProcessState.ExitCode(), stderr.String())
	}
	if names := listing(t, "."); len(names) != 1 {
		t.Errorf("left behind: %v", names)
	}
}

// A disk on which no more than 20 kB of a file can be written: bands.csv fits,
// the pictures do not; then nothing at all is left.
func TestDiskFull(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("uses a limit of Linux")
	}
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	c := child(t, "20000", "forecast", "plan.yaml", "--replicates", "5", "--out", "out")
	var stdout, stderr bytes.Buffer
	c.Stdout, c.Stderr = &stdout, &stderr
	_ = c.Run() // the exit code is looked at below
	want := filepath.Join("out", "bands.png") + " cannot be written: file too large"
	if c.ProcessState.ExitCode() != exitUnfinished || !strings.Contains(stderr.String(), want) || stdout.Len() > 0 {
		t.Errorf("exit %d, stdout %q, stderr %q; want exit 4 and %q", c.ProcessState.ExitCode(), stdout.String(), stderr.String(), want)
	}
	if names := listing(t, "."); len(names) != 1 {
		t.Errorf("left behind: %v", names)
	}
}
