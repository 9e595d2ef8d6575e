package main

import (
	"context"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"rundown/sim/simtest"
	"rundown/sim/study"
)

const resumeLine = "farm fields.csv plan.yaml later.yaml --replicates 12 --replicates-csv"

func farmFolder(t *testing.T) {
	t.Helper()
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "later.yaml": strings.Replace(smallPlan, "spring-barley", "spring-beans", 1), "fields.csv": smallFarm})
}

// stopAfter makes the runs of so many fields and then interrupts.
func stopAfter(t *testing.T, fields int) context.Context {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	t.Cleanup(stop)
	make, made := makeRuns, 0
	t.Cleanup(func() { makeRuns = make })
	makeRuns = func(r *study.Ready, c context.Context, p study.Part) (study.Outcomes, error) {
		if p.Count > 1 { // not the first run of all
			if made == fields {
				stop()
				return nil, context.Canceled
			}
			made++
		}
		return make(r, c, p)
	}
	return ctx
}

// A farm that is interrupted says what it has kept and where; taken up again it makes the
// rest alone, gives the bytes of a run that was not interrupted, and leaves nothing beside
// them.
func TestFarmGoesOn(t *testing.T) {
	farmFolder(t)
	whole := run(t, append(strings.Fields(resumeLine), "--out", "out")...)
	if whole.code != exitDone {
		t.Fatal(whole.stderr)
	}
	files := hashes(t, "out")
	removeAll(t, "out")
	make := makeRuns
	got := runWith(t, stopAfter(t, 4), "", append(strings.Fields(resumeLine), "--out", "out")...)
	want := "interrupted: nothing was written to out; 4 of 7 fields wait in out.unfinished: the same command with --resume goes on from there"
	if got.code != exitUnfinished || !strings.Contains(got.stderr, want) {
		t.Fatalf("exit %d, %s", got.code, got.stderr)
	}
	if _, err := os.Stat("out"); err == nil {
		t.Error("a folder of results is there")
	}
	made := 0
	makeRuns = func(r *study.Ready, c context.Context, p study.Part) (study.Outcomes, error) {
		made += p.Count
		return make(r, c, p)
	}
	if got := run(t, append(strings.Fields(resumeLine), "--out", "out")...); got.code != exitUsage || !strings.Contains(got.stderr,
		"out.unfinished holds 4 of 7 fields") {
		t.Errorf("without --resume: exit %d, %s", got.code, got.stderr)
	}
	made = 0
	again := run(t, append(strings.Fields(resumeLine), "--out", "out", "--resume")...)
	if again != whole || made != 3*12+1 {
		t.Errorf("exit %d, %s: %d runs were made, expected those of 3 fields and the first of all", again.code, again.stderr, made)
	}
	if !maps.Equal(hashes(t, "out"), files) {
		t.Error("the files are not those of a run that was not interrupted")
	}
	if names := listing(t, "."); slices.ContainsFunc(names, func(n string) bool { return strings.Contains(n, "unfinished") }) {
		t.Errorf("left: %v", names)
	}
}

// What was kept and does not belong here is made anew: torn, of another table, plan, seed
// or number of runs, or of another place.
func TestFarmTakesUpItsOwn(t *testing.T) {
	inFull(t)
	linesAlone(t)
	farmFolder(t)
	if got := run(t, append(strings.Fields(resumeLine), "--out", "whole")...); got.code != exitDone {
		t.Fatal(got.stderr)
	}
	unspoilt := hashes(t, "whole")
	for name, spoil := range map[string]func(t *testing.T){
		"torn": func(t *testing.T) {
			path := "out.unfinished/part-2-of-7.rundown"
			putFile(t, path, content(t, path)[:3000])
		},
		"changed": func(t *testing.T) {
			path := "out.unfinished/part-2-of-7.rundown"
			b := []byte(content(t, path))
			b[len(b)-100] ^= 1
			putFile(t, path, string(b))
		},
		"another place": func(t *testing.T) {
			putFile(t, "out.unfinished/part-2-of-7.rundown", content(t, "out.unfinished/part-1-of-7.rundown"))
		},
		"another table": func(t *testing.T) { putFile(t, "fields.csv", strings.Replace(smallFarm, "200", "201", 1)) },
		"another plan":  func(t *testing.T) { putFile(t, "later.yaml", smallPlan) },
	} {
		t.Run(name, func(t *testing.T) {
			farmFolder(t)
			runWith(t, stopAfter(t, 3), "", append(strings.Fields(resumeLine), "--out", "out")...)
			if names := listing(t, "out.unfinished"); len(names) != 3 {
				t.Fatalf("%v", names)
			}
			spoil(t)
			makeRuns = (*study.Ready).Make
			got := run(t, append(strings.Fields(resumeLine), "--out", "out", "--resume")...)
			whole := unspoilt
			if name == "another table" || name == "another plan" {
				run(t, append(strings.Fields(resumeLine), "--out", "whole")...)
				whole = hashes(t, "whole")
			}
			if got.code != exitDone || len(whole) < 5 || !maps.Equal(hashes(t, "out"), whole) {
				t.Errorf("exit %d, %s: the files are not those of a whole run", got.code, got.stderr)
			}
			if _, err := os.Stat("out.unfinished"); err == nil {
				t.Errorf("left: %v", listing(t, "out.unfinished"))
			}
		})
	}
}

// Killed at once while it writes, a farm goes on to the same bytes.
func TestFarmGoesOnAfterAKill(t *testing.T) {
	simtest.Stage(t, "kill")
	farmFolder(t)
	binary := buildProgram(t)
	line := append(strings.Fields(strings.Replace(resumeLine, "12", "300", 1)), "--quiet", "--jobs", "1")
	c := exec.Command(binary, append(line, "--out", "whole")...)
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, parts := range []int{1, 3, 5} {
		removeAll(t, "out", "out.unfinished")
		c := exec.Command(binary, append(line, "--out", "out")...)
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		deadline := time.Now().Add(60 * time.Second)
		for kept := 0; kept < parts; time.Sleep(2 * time.Millisecond) {
			names, err := filepath.Glob("out.unfinished/part-*")
			if err != nil || time.Now().After(deadline) {
				t.Fatalf("%d fields were kept, %v", kept, err)
			}
			kept = len(names)
		}
		_ = c.Process.Signal(syscall.SIGKILL) // it may have ended by itself
		_ = c.Wait()
		if out, err := exec.Command(binary, append(line, "--out", "out", "--resume")...).CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		if !maps.Equal(hashes(t, "out"), hashes(t, "whole")) {
			t.Errorf("killed after %d fields: the files are not those of a whole run", parts)
		}
		if _, err := os.Stat("out.unfinished"); err == nil {
			t.Errorf("left: %v", listing(t, "out.unfinished"))
		}
	}
}
