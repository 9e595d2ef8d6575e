package output

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// set stages files, each of which holds a text, in a folder.
func set(t *testing.T, dir, holds string, names ...string) *Set {
	t.Helper()
	s, err := OpenSet(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		if err := s.Stage(context.Background(), name, text(holds)); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

// contents are the texts of files of a folder.
func contents(t *testing.T, dir string, names ...string) string {
	t.Helper()
	var out []string
	for _, name := range names {
		b, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			out = append(out, "none")
			continue
		}
		out = append(out, string(b))
	}
	return strings.Join(out, " ")
}

// Sets that are written to one folder at one time never mix, and files of others stay.
func TestSetsDoNotMix(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	if err := os.MkdirAll(filepath.Join(dir, "theirs"), 0o777); err != nil {
		t.Fatal(err)
	}
	var names []string
	for i := range 8 {
		names = append(names, fmt.Sprintf("%d.csv", i))
	}
	for round := range 12 {
		var ready []*Set
		for i := range 4 {
			ready = append(ready, set(t, dir, fmt.Sprint(round, "-", i), names...))
		}
		var wait sync.WaitGroup
		for _, s := range ready {
			wait.Go(func() {
				if err := s.Commit(context.Background()); err != nil {
					t.Error(err)
				}
			})
		}
		wait.Wait()
		first := contents(t, dir, names[0])
		if got := contents(t, dir, names...); got != strings.TrimSpace(strings.Repeat(first+" ", len(names))) {
			t.Fatalf("round %d: the files are of several sets: %s", round, got)
		}
	}
	if got := listing(t, dir); len(strings.Fields(got)) != len(names)+1 {
		t.Errorf("the folder holds %s", got)
	}
}

// What was left by a run that was killed goes with the next good one; what a live
// run has staged does not, nor does what only looks alike.
func TestOldTemporaryFilesAreSwept(t *testing.T) {
	dir := t.TempDir()
	killed := set(t, dir, "killed", "a", "b")
	killed.wait.held() // as the system does when a process ends
	alive := set(t, dir, "alive", "a", "b")
	aged := time.Now().Add(-2 * graceTime)
	for name, old := range map[string]bool{".a.0a1b2c3d.part": true, ".b.0a1b2c3d.part": false, ".theirs.part": true, "c": true} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, nil, 0o600); err != nil {
			t.Fatal(err)
		}
		if old {
			if err := os.Chtimes(path, aged, aged); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := set(t, dir, "new", "a", "b").Commit(context.Background()); err != nil {
		t.Fatal(err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if want := ".b.0a1b2c3d.part " + filepath.Base(alive.wait.dir) + " .theirs.part a b c"; strings.Join(got, " ") != want {
		t.Errorf("the folder holds %s; want %s", got, want)
	}
	if err := alive.Commit(context.Background()); err != nil || contents(t, dir, "a", "b") != "alive alive" {
		t.Errorf("the live run: %v, %s", err, contents(t, dir, "a", "b"))
	}
}

// Where one file cannot get its name, the old ones stand as they were, in all the sets.
func TestCommitTakesBack(t *testing.T) {
	dir := t.TempDir()
	one, two := filepath.Join(dir, "one"), filepath.Join(dir, "two")
	if err := CommitAll(context.Background(), set(t, one, "old", "a", "b", "last"), set(t, two, "old", "c")); err != nil {
		t.Fatal(err)
	}
	first, second := set(t, one, "new", "a", "b", "fresh", "last"), set(t, two, "new", "c", "d")
	if err := os.Mkdir(filepath.Join(two, "d"), 0o777); err != nil { // in the meantime
		t.Fatal(err)
	}
	err := CommitAll(context.Background(), first, second)
	if err == nil || !strings.Contains(err.Error(), filepath.Join("two", "d")+" is a folder") {
		t.Errorf("error %v", err)
	}
	if got := listing(t, dir); got != "one one/a one/b one/last two two/c two/d" || contents(t, one, "a", "b", "last") != "old old old" ||
		contents(t, two, "c") != "old" {
		t.Errorf("left: %s with %s, %s", got, contents(t, one, "a", "b", "last"), contents(t, two, "c"))
	}
	// A rename that fails half-way, since what was staged is gone.
	third := set(t, one, "new", "a", "b", "last")
	if err := os.Remove(third.wait.path("b")); err != nil {
		t.Fatal(err)
	}
	if err := third.Commit(context.Background()); err == nil {
		t.Error("a file that is not there got its name")
	}
	if got := contents(t, one, "a", "b", "last"); got != "old old old" {
		t.Errorf("after a commit that failed: %s", got)
	}
}

// While files get their names the sign of a whole set is not there, so that who is
// killed then leaves no set that looks whole.
func TestTheSignComesLast(t *testing.T) {
	dir := t.TempDir()
	if err := set(t, dir, "old", "a", "last").Commit(context.Background()); err != nil {
		t.Fatal(err)
	}
	s := set(t, dir, "new", "a", "last")
	if err := os.Remove(s.wait.path("a")); err != nil { // stands in for the kill
		t.Fatal(err)
	}
	if err := s.give(); err == nil || contents(t, dir, "a", "last") != "old none" {
		t.Errorf("%v, half-way the folder holds %s; want old and no sign", err, contents(t, dir, "a", "last"))
	}
}

// Two sets that would write one file, seen through a link too, are refused; two in
// one folder that would not are one step.
func TestSetsOfOneFolder(t *testing.T) {
	dir := t.TempDir()
	real, link := filepath.Join(dir, "real"), filepath.Join(dir, "link")
	if err := os.Symlink("real", link); err != nil {
		t.Skipf("no links here: %v", err)
	}
	a := set(t, real, "a", "report.html")
	b := set(t, link, "b", "report.html")
	if err := CommitAll(context.Background(), b, a); !errors.Is(err, ErrSameFile) {
		t.Errorf("one file twice: %v", err)
	}
	if got := listing(t, dir); got != "link" {
		t.Errorf("left: %s", got)
	}
	a = set(t, real, "a", "report.html")
	b = set(t, link, "b", "past.json")
	if err := CommitAll(context.Background(), b, a); err != nil || contents(t, real, "report.html", "past.json") != "a b" {
		t.Errorf("two files of one folder: %v, %s", err, contents(t, real, "report.html", "past.json"))
	}
	if same, err := SameFolder(filepath.Join(real, "new"), filepath.Join(link, "new")); !same || err != nil {
		t.Errorf("a folder that is not there yet, by two ways: %v, %v", same, err)
	}
	if got := listing(t, dir); got != "link real real/past.json real/report.html" {
		t.Errorf("left: %s", got)
	}
}

func TestRehearse(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "file"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(dir, "report.html"), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("absent", filepath.Join(dir, "nowhere")); err != nil {
		t.Skipf("no links here: %v", err)
	}
	for out, want := range map[string]string{"new/deep": "", ".": "report.html is a folder", "file": "is a file; a folder was expected",
		"file/deep": "not a directory", "nowhere/deep": "cannot be made"} {
		err := Rehearse(filepath.Join(dir, out), "report.html")
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v; want %q", out, err, want)
		}
	}
	if got := listing(t, dir); got != "file nowhere report.html" {
		t.Errorf("left: %s", got)
	}
}
