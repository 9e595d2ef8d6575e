package main

import (
	"fmt"
	"strings"
	"testing"
)

// Of five plans all stand in the short table, each sentence on money names the plan that it is
// measured by, and a crop that is missed is told in one note, plans that miss alike together. The
// field is invented.
func TestFivePlansAreTold(t *testing.T) {
	files, args := map[string]string{}, "compare"
	for i, latest := range []string{"12 Nov", "12 Nov", "20 Nov", "25 Nov", "30 Nov"} {
		name := fmt.Sprintf("plan%d", i+1)
		files[name+".yaml"] = strings.Replace(smallField, "sandy-loam", "clay", 1) +
			"weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 30}\nseasons: [{crop: winter-wheat, drill: {date: 5 Nov, latest: " + latest +
			fmt.Sprintf("}, cultivate: [{date: %d Sep, with: plough}]}]\n", 5+i)
		args += " " + name + ".yaml"
	}
	inFolder(t, files)
	shareRuns(t)
	got := run(t, strings.Fields(args+" --replicates 60")...)
	if got.code != exitDone {
		t.Fatal(got.stderr)
	}
	for name := range files {
		if !strings.Contains(got.stdout, "\n"+strings.TrimSuffix(name, ".yaml")+" ") {
			t.Errorf("%s has no row:\n%s", name, got.stdout)
		}
	}
	text := strings.Join(strings.Fields(got.stdout), " ")
	if n := strings.Count(text, "drilled in time"); n != 1 || !strings.Contains(text, "plan1, plan2: winter wheat") {
		t.Errorf("crops that are missed are told %d times:\n%s", n, got.stdout)
	}
	if strings.Contains(text, " earns more in ") || strings.Contains(text, "drill a planned crop") {
		t.Errorf("more than what?\n%s", got.stdout)
	}
}
