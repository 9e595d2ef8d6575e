package main

import (
	"os"
	"strings"
	"testing"
)

// The page is the same to the byte whatever --jobs is and wherever it goes, and
// holds what makes it again: the command, the plan, the hashes.
func TestPageIsReproducible(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	one := run(t, "forecast", "plan.yaml", "--replicates", "60", "--jobs", "1", "--out", "a", "--quiet")
	two := run(t, "forecast", "--out", "b", "--jobs", "8", "plan.yaml", "--replicates", "60")
	if one.code != exitDone || two.code != exitDone || !strings.Contains(two.stdout, "report.html") {
		t.Fatalf("%s%s%s", one.stderr, two.stderr, two.stdout)
	}
	a, errA := os.ReadFile("a/report.html")
	b, errB := os.ReadFile("b/report.html")
	if errA != nil || errB != nil || string(a) != string(b) {
		t.Fatalf("the pages differ (%v, %v)", errA, errB)
	}
	for _, want := range []string{"rundown forecast plan.yaml --replicates=60 --seed=1", "species: black-grass, start: 2026-08-01", "by harvest 2028?"} {
		if !strings.Contains(string(a), want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}
