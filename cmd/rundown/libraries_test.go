package main

import (
	"encoding/json"
	"os"
	"strings"
	"testing"
)

// Plans whose libraries differ are not compared unless that is what is asked for;
// then each plan's library has its sum in the result and in provenance.json, and the
// text says that values differ. The same values from two folders are one library.
func TestComparingLibraries(t *testing.T) {
	numbersAlone(t)
	inFull(t)
	inOwnFolder(t)
	value, err := os.ReadFile("own/weeds/black-grass.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"copy/weeds/black-grass.yaml": string(value), "copy.yaml": "library: copy\n" + smallPlan} {
		if err := os.MkdirAll("copy/weeds", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, plans := range []string{"plan.yaml own.yaml", "own.yaml plan.yaml", "plan.yaml plan.yaml copy.yaml"} {
		got := run(t, strings.Fields("compare --replicates 4 "+plans)...)
		if got.code != exitInput || !strings.Contains(got.stderr, "the values of this plan are not those of") ||
			!strings.Contains(got.stderr, "--compare-libraries") {
			t.Errorf("%s: exit %d, %s", plans, got.code, got.stderr)
		}
	}
	for plans, differ := range map[string]bool{"plan.yaml own.yaml --compare-libraries": true, "own.yaml copy.yaml": false,
		"own.yaml copy.yaml --compare-libraries": false} {
		args := append(strings.Fields("compare --json --out out --replicates 8"), strings.Fields(plans)...)
		got := run(t, args...)
		if got.code != exitDone {
			t.Fatalf("%s: exit %d, %s", plans, got.code, got.stderr)
		}
		type made struct {
			Plans []struct {
				Library string `json:"library_sha256"`
			}
			Warnings []struct{ Code string }
		}
		var result, provenance made
		file, err := os.ReadFile("out/provenance.json")
		if err != nil || json.Unmarshal([]byte(got.stdout), &result) != nil || json.Unmarshal(file, &provenance) != nil {
			t.Fatalf("%s: no JSON (%v)", plans, err)
		}
		for _, m := range []made{result, provenance} {
			if len(m.Plans) != 2 || len(m.Plans[0].Library) != 64 || (m.Plans[0].Library != m.Plans[1].Library) != differ {
				t.Errorf("%s: libraries %+v", plans, m.Plans)
			}
		}
		said := false
		for _, w := range result.Warnings {
			said = said || w.Code == "libraries-differ"
		}
		if said != differ {
			t.Errorf("%s: the note that libraries differ: %v", plans, said)
		}
	}
}
