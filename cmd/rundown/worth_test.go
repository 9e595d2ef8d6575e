package main

import (
	"encoding/json"
	"strings"
	"testing"
)

// With a threshold that is too low, as in the example, more quadrats are worth less than few,
// beyond the paired error and before their cost, and a note says so; with the threshold chosen
// anew they are not. (Of 100 pairs that are alike two or three would seem to lose.)
func TestMoreQuadratsMayLose(t *testing.T) {
	numbersAlone(t)
	if testing.Short() {
		t.Skip("some seconds")
	}
	inFolder(t, examplesFor(t, "decided-too-soon.yaml"))
	got := run(t, strings.Fields("worth decided-too-soon.yaml --replicates 300 --choose-on 20 --json --quiet")...)
	if got.code != exitDone {
		t.Fatal(got.stderr)
	}
	var v struct {
		By []struct {
			Quadrats        *int
			Value           float64 `json:"value_per_ha_year"`
			Error           float64 `json:"error"`
			Written         float64 `json:"value_as_written_per_ha_year"`
			OverFewest      float64 `json:"over_fewest_as_written_per_ha_year"`
			OverFewestError float64 `json:"over_fewest_error"`
		} `json:"by_quadrats"`
		Warnings []struct{ Code string }
	}
	if err := json.Unmarshal([]byte(got.stdout), &v); err != nil {
		t.Fatal(err)
	}
	most, fewest := v.By[len(v.By)-2], v.By[1]
	if *most.Quadrats != 80 || *fewest.Quadrats != 5 {
		t.Fatalf("%d and %d quadrats", *most.Quadrats, *fewest.Quadrats)
	}
	if most.OverFewest+most.OverFewestError >= 0 || most.Written >= fewest.Written {
		t.Errorf("80 quadrats are worth %.1f, 5 %.1f: %.1f ± %.1f", most.Written, fewest.Written, most.OverFewest, most.OverFewestError)
	}
	if most.Value+most.Error+fewest.Error < fewest.Value {
		t.Errorf("with the threshold chosen anew 80 quadrats are worth %.1f, 5 %.1f", most.Value, fewest.Value)
	}
	for _, w := range v.Warnings {
		if w.Code == "better-look-loses" {
			return
		}
	}
	t.Errorf("no note says that a better look loses: %+v", v.Warnings)
}

// The JSON keeps to its schema: of a rule that chooses a crop, and of one that decides on a spray.
func TestWorthKeepsToItsSchema(t *testing.T) {
	inFull(t)
	schema := schemaText(t, "worth.json")
	inFolder(t, examplesFor(t, "decided-in-june.yaml", "sprayed-if-needed.yaml"))
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
