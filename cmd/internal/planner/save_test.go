package planner

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

type saved struct {
	Name, Hash, Text, There string
	Ask                     bool
}

func (v *served) save(name, text, hash string, replace bool) (int, saved) {
	var out saved
	code := v.post("/api/save", map[string]any{"Name": name, "Text": text, "Hash": hash, "Replace": replace}, &out)
	return code, out
}

func (v *served) file(name string) string {
	data, err := os.ReadFile(filepath.Join(v.folder, name))
	if err != nil {
		return "(none)"
	}
	return string(data)
}

// A file is written over where it is what the page takes it for, or where the person said so.
func TestSavingAsksBeforeItReplaces(t *testing.T) {
	v := serve(t, map[string]string{"plan.yaml": "a: 1\n", "there.yaml": "b: 1\n"})
	v.enter()
	var opened saved
	v.post("/api/open", map[string]string{"Name": "plan.yaml"}, &opened)
	if code, out := v.save("plan.yaml", "a: 2\n", opened.Hash, false); code != 200 || v.file("plan.yaml") != "a: 2\n" || out.Hash != sumOf([]byte("a: 2\n")) {
		t.Fatalf("a plan as it was opened is not saved: %d %+v", code, out)
	}
	if code, out := v.save("there.yaml", "x: 1\n", "", false); code != 409 || !out.Ask || v.file("there.yaml") != "b: 1\n" || out.There != "b: 1\n" {
		t.Errorf("saved under a name that is taken: %d %+v", code, out)
	}
	if code, _ := v.save("there.yaml", "x: 1\n", "", true); code != 200 || v.file("there.yaml") != "x: 1\n" {
		t.Errorf("not saved where the person said so: %d", code)
	}
	if err := os.WriteFile(filepath.Join(v.folder, "plan.yaml"), []byte("a: elsewhere\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if code, out := v.save("plan.yaml", "a: 3\n", sumOf([]byte("a: 2\n")), false); code != 409 || !out.Ask || out.There != "a: elsewhere\n" ||
		v.file("plan.yaml") != "a: elsewhere\n" {
		t.Errorf("written over what something else wrote: %d %+v", code, out)
	}
	if err := os.Remove(filepath.Join(v.folder, "plan.yaml")); err != nil {
		t.Fatal(err)
	}
	if code, out := v.save("plan.yaml", "a: 3\n", sumOf([]byte("a: 2\n")), false); code != 409 || !out.Ask {
		t.Errorf("a file that is gone is made again unasked: %d %+v", code, out)
	}
	if code, _ := v.save("new.yaml", "n: 1\n", "", false); code != 200 || v.file("new.yaml") != "n: 1\n" {
		t.Errorf("a new file is not saved: %d", code)
	}
	v.leftNothing(t)
}

// leftNothing tells of files that wait for a name and never got one.
func (v *served) leftNothing(t *testing.T) {
	t.Helper()
	entries, _ := os.ReadDir(v.folder)
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".rundown") {
			t.Errorf("%s was left", e.Name())
		}
	}
}

func TestAFileKeepsItsPermissions(t *testing.T) {
	v := serve(t, map[string]string{"plan.yaml": "a: 1\n"})
	v.enter()
	if err := os.Chmod(filepath.Join(v.folder, "plan.yaml"), 0o600); err != nil {
		t.Fatal(err)
	}
	if code, _ := v.save("plan.yaml", "a: 2\n", sumOf([]byte("a: 1\n")), false); code != 200 {
		t.Fatal(code)
	}
	info, err := os.Stat(filepath.Join(v.folder, "plan.yaml"))
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("it has %v, %v", info.Mode(), err)
	}
}

// A folder that is swapped for a link while plans are saved into it: nothing is ever written
// outside, and between the swaps saving goes on.
func TestLinksSwappedWhileSaving(t *testing.T) {
	inFull(t)
	outside := t.TempDir()
	v := serve(t, map[string]string{"sub/plan.yaml": "a: 1\n"})
	v.enter()
	sub, aside := filepath.Join(v.folder, "sub"), filepath.Join(v.folder, "aside")
	var wait sync.WaitGroup
	stop := make(chan struct{})
	wait.Go(func() {
		for {
			select {
			case <-stop:
				return
			default:
			}
			_ = os.Rename(sub, aside)
			_ = os.Symlink(outside, sub)
			_ = os.Remove(sub)
			_ = os.Rename(aside, sub)
			time.Sleep(2 * time.Millisecond) // for a save between two swaps
		}
	})
	good := 0
	for range 150 {
		if code, _ := v.save("sub/plan.yaml", "a: 2\n", "", true); code == 200 {
			good++
		}
	}
	close(stop)
	wait.Wait()
	entries, err := os.ReadDir(outside)
	if err != nil || len(entries) > 0 {
		t.Errorf("%d files were written outside: %v", len(entries), err)
	}
	if code, _ := v.save("sub/plan.yaml", "a: 3\n", "", true); code != 200 || good == 0 {
		t.Errorf("nothing could be saved: %d, %d times before", code, good)
	}
}

// Two tabs save one plan: the second is told, whichever it is.
func TestTwoTabsSaveOnePlan(t *testing.T) {
	v := serve(t, map[string]string{"plan.yaml": "a: 1\n"})
	v.enter()
	hash := sumOf([]byte("a: 1\n"))
	if code, _ := v.save("plan.yaml", "a: first\n", hash, false); code != 200 {
		t.Fatal(code)
	}
	if code, out := v.save("plan.yaml", "a: second\n", hash, false); code != 409 || out.There != "a: first\n" {
		t.Errorf("the second tab is answered %d %+v", code, out)
	}
}
