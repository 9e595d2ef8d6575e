package main

import (
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// What the best date earns with the work before it left on its day is what the same dates give
// with --move none, to the last digit, and the text says it; where no work moves nothing is said.
func TestDateAlone(t *testing.T) {
	inFull(t)
	simtest.NotRacing(t)
	examplesHere(t)
	const dates = " --from 2026-09-20 --to 2026-10-20 --every 15d --replicates 60 --json"
	a, all := answerOf(t, run(t, strings.Fields("drilling early-wheat.yaml"+dates)...).stdout)
	b, alone := answerOf(t, run(t, strings.Fields("drilling early-wheat.yaml --move none"+dates)...).stdout)
	if a.Verdict != "later" {
		t.Fatalf("the planned date is kept: nothing is tried: %v", a.Sentences)
	}
	found := false
	for _, x := range alone["dates"].([]any) {
		date := x.(map[string]any)
		if date["date"] != a.Facts["best"] {
			continue
		}
		found = true
		if want := date["against_planned"].(map[string]any)["margin_difference_per_ha_year"]; a.Facts["margin_difference_date_alone"] != want {
			t.Errorf("the date alone earns %v more, with --move none %v", a.Facts["margin_difference_date_alone"], want)
		}
	}
	if !found || a.Facts["margin_difference_date_alone"] == a.Facts["margin_difference_per_ha_year"] {
		t.Error("the work that moves does nothing: nothing is tried")
	}
	if b.Facts["margin_difference_date_alone"] != nil {
		t.Errorf("no work moves, and the date alone earns %v", b.Facts["margin_difference_date_alone"])
	}
	said := ""
	for _, w := range all["warnings"].([]any) {
		said += w.(map[string]any)["text"].(string)
	}
	if !strings.Contains(said, "With the shallow disc left on its day 20 Oct earns about") {
		t.Errorf("it is not said: %s", said)
	}
}
