package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A sweep says of its ends what compare says of two plans whose own libraries hold the value
// fixed at them, to the last digit: the same replicates meet the same luck and other values.
func TestSweepAgainstCompare(t *testing.T) {
	numbersAlone(t)
	inFolder(t, nil)
	value := func(x string) string {
		return "name: winter-wheat\nvalues:\n  establishment: {value: " + x + ", spread: fixed, grade: assumed, source: tried}\n"
	}
	for name, text := range map[string]string{"plan.yaml": smallPlan, "thin.yaml": "library: thin\n" + smallPlan, "thick.yaml": "library: thick\n" + smallPlan,
		"thin/crops/winter-wheat.yaml": value("0.5"), "thick/crops/winter-wheat.yaml": value("0.9")} {
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	swept := run(t, strings.Fields("drivers plan.yaml --sweep crops/winter-wheat/establishment=0.5:0.9:0.2 --replicates 80 --json")...)
	set := run(t, strings.Fields("compare thin.yaml thick.yaml --compare-libraries --replicates 80 --json")...)
	if swept.code != exitDone || set.code != exitDone {
		t.Fatal(swept.stderr, set.stderr)
	}
	a, _ := answerOf(t, swept.stdout)
	b, _ := answerOf(t, set.stdout)
	plan := b.Facts["plans"].([]any)[1].(map[string]any)
	for _, fact := range []string{"seed_difference", "margin_difference_per_ha_year", "margin_difference_field_year", "earns_more_share"} {
		if a.Facts[fact] != plan[fact] {
			t.Errorf("%s is %v in the sweep and %v between the plans", fact, a.Facts[fact], plan[fact])
		}
	}
	if more, cleaner := a.Facts["more_seed_share"].(float64), plan["cleaner_share"].(float64); more+cleaner != 1 {
		t.Errorf("%v have more and %v less", more, cleaner)
	}
	if a.Facts["seed_difference"] == 0.0 {
		t.Error("the value does nothing: nothing was tried")
	}
	if text := strings.Join(a.Sentences, " "); !strings.Contains(text, "from 0.5 to 0.9") || !strings.Contains(text, "the plan earns about") {
		t.Errorf("it does not say what moves and what comes of it: %s", text)
	}
}
