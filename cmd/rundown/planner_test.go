package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"rundown/sim/simtest"
)

// plannerScripts drive the planner page; its modules have tests of their own.
const plannerScripts = "../internal/planner/testdata"

// trial is what planner.mjs tells of one trial.
type trial struct {
	Name      string
	Wrong     []string
	Said      []string // what the browser complained of
	Elsewhere []string // other addresses that were asked for anything
	Axe       []struct {
		State, ID, Impact, Help string
		Where                   []string
	}
	Notes     []string
	File      string   // a plan that was saved
	Sentences []string // and the answer that the page gave of it
}

// The planner page in a real browser, as a person uses it: with the mouse alone, the keyboard
// alone, by touch; and from pages that have no business there. What counts as an error of
// accessibility is axe-core's list for WCAG 2.2 AA.
func TestPlannerInABrowser(t *testing.T) {
	simtest.Stage(t, "planner")
	chromium := outside(t, "chromium", "chromium-browser")
	folder := tools(t)
	keep := "-"
	if *lookInto != "" {
		keep, _ = filepath.Abs(*lookInto)
		if err := os.MkdirAll(keep, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	program := filepath.Join(t.TempDir(), "rundown")
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	scripts, err := filepath.Abs(filepath.Join(plannerScripts, "browser"))
	if err != nil {
		t.Fatal(err)
	}
	var trials []trial
	script(t, scripts, &trials, "planner.mjs", chromium, keep, program, t.TempDir(), folder)
	if len(trials) < 11 {
		t.Fatalf("%d trials were made", len(trials))
	}
	for _, x := range trials {
		for _, list := range [][]string{x.Wrong, x.Said, x.Elsewhere} {
			for _, what := range list {
				t.Errorf("%s: %s", x.Name, what)
			}
		}
		for _, a := range x.Axe {
			t.Errorf("%s, %s: %s (%s) at %q", x.Name, a.State, a.Help, a.ID, a.Where)
		}
		for _, n := range x.Notes {
			t.Logf("%s: %s", x.Name, n)
		}
		if x.File != "" {
			forecastSays(t, x.File, x.Sentences)
		}
	}
}

// forecastSays holds what the page said of a plan against what forecast says of its file.
func forecastSays(t *testing.T, file string, sentences []string) {
	t.Helper()
	got := run(t, "forecast", file, "--json", "--quiet")
	var document struct{ Answer struct{ Sentences []string } }
	if err := json.Unmarshal([]byte(got.stdout), &document); err != nil || !slices.Equal(document.Answer.Sentences, sentences) {
		t.Errorf("the page said %q, forecast says %q, %v", sentences, document.Answer.Sentences, err)
	}
}

// The page's modules that need no page, by node's own test runner.
func TestPlannerModules(t *testing.T) {
	simtest.Stage(t, "planner")
	node := outside(t, "node")
	out, err := exec.Command(node, "--test", filepath.Join(plannerScripts, "modules", "modules.test.mjs")).CombinedOutput()
	if err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}
