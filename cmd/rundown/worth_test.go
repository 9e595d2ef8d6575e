package main

import (
	"strings"
	"testing"
)

// The JSON keeps to its schema: of a rule that chooses a crop, and of one that decides on a spray.
func TestWorthKeepsToItsSchema(t *testing.T) {
	inFull(t)
	schema := schemaText(t, "worth.json")
	inFolder(t, examplesFor(t, "decided-in-june.yaml", "sprayed-if-needed.yaml"))
	shareRuns(t)
	for _, plan := range []string{"decided-in-june.yaml", "sprayed-if-needed.yaml"} {
		v := document(t, schema, "worth "+plan+" --replicates 20 --choose-on 20 --json --quiet")
		behind := v["grown_afterwards"].([]any)
		text := strings.Join(strings.Fields(run(t, strings.Fields("worth "+plan+" --replicates 20 --choose-on 20")...).stdout), " ")
		want := "Behind the plan four seasons of " + strings.ReplaceAll(behind[0].(string), "-", " ") + " are grown"
		if len(behind) != 4 || !strings.Contains(text, want) {
			t.Errorf("%s: %v are grown afterwards, the text does not say %q:\n%s", plan, behind, want, text)
		}
	}
}
