package main

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"rundown/sim/simtest"
)

// examplesHere copies the example plans into the working folder.
func examplesHere(t *testing.T) {
	t.Helper()
	found, err := filepath.Glob("../../examples/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{}
	for _, path := range found {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(path)] = string(text)
	}
	inFolder(t, files)
}

// What nobody who walks the field would see is not called cleaner, and what no table shows to earn
// more is not advised: first sentences are held against the numbers that the same run writes.
func TestFirstSentencesAndTheirTables(t *testing.T) {
	simtest.Stage(t, "answers") // some hundred models
	examplesHere(t)
	got := run(t, strings.Fields("compare oats-with-cover.yaml oats-without-cover.yaml oats-sprayed-once.yaml --replicates 200 --json")...)
	a, all := answerOf(t, got.stdout)
	seeds := map[string]float64{}
	for _, p := range all["plans"].([]any) {
		plan := p.(map[string]any)
		last := plan["seasons"].([]any)
		seeds[plan["name"].(string)] = last[len(last)-1].(map[string]any)["seedbank_june_per_m2"].(map[string]any)["p50"].(float64)
	}
	near := a.Facts["about_as_clean"] == true
	if strings.Contains(a.Sentences[0], "end about as clean") != near || strings.Contains(a.Sentences[0], "is cleaner:") == near {
		t.Errorf("about as clean is %v of %v: %s", a.Facts["about_as_clean"], seeds, a.Sentences[0])
	}
	got = run(t, strings.Fields("compare oats-with-cover.yaml oats-without-cover.yaml --replicates 200 --json")...)
	if a, _ := answerOf(t, got.stdout); a.Facts["about_as_clean"] != true || !strings.Contains(a.Sentences[0], "end about as clean") {
		t.Errorf("a cover that leaves 3 %% more seed is told as a difference: %s", a.Sentences[0])
	}
	for _, plan := range []string{"wild-oat", "late-wheat", "early-wheat"} {
		heldDates(t, plan)
	}
}

// shortDay is a date as sentences have it: 20 Sep.
func shortDay(t *testing.T, text string) string {
	t.Helper()
	day, err := time.Parse(time.DateOnly, text)
	if err != nil {
		t.Fatal(err)
	}
	return day.Format("2 Jan")
}

// heldDates holds what is said of drilling dates against their table.
func heldDates(t *testing.T, plan string) {
	t.Helper()
	got := run(t, strings.Fields("drilling "+plan+".yaml --every 10d --replicates 120 --json")...)
	a, all := answerOf(t, got.stdout)
	text := strings.Join(a.Sentences, " ")
	most, best := math.Inf(-1), 0.0
	var heads = map[string]float64{}
	for _, d := range all["dates"].([]any) {
		date := d.(map[string]any)
		more := date["against_planned"].(map[string]any)["margin_difference_per_ha_year"].(float64)
		heads[date["date"].(string)] = date["heads_over_seasons_per_m2"].(map[string]any)["p50"].(float64)
		most = max(most, more)
		if date["date"] == a.Facts["best"] {
			best = more
		}
	}
	if strings.Contains(text, "earns 0 ") || strings.Contains(text, "earn 0 ") {
		t.Errorf("%s: a date is advised that earns nothing more: %s", plan, text)
	}
	if strings.Contains(text, "it is the best date tried.") && most > best {
		t.Errorf("%s: a date earns %v more than the planned one, the best is said to: %s", plan, most, text)
	}
	if a.Verdict == "later" || a.Verdict == "earlier" {
		best, planned := a.Facts["best"].(string), a.Facts["planned"].(string)
		said := regexp.MustCompile(regexp.QuoteMeta(shortDay(t, best)) + ` has ([0-9.,]+) heads per m² where ` + regexp.QuoteMeta(shortDay(t, planned)) +
			` has ([0-9.,]+)`).FindStringSubmatch(text)
		if said == nil {
			t.Fatalf("%s: no heads of both dates in %s", plan, text)
		}
		for i, day := range []string{best, planned} {
			x, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSuffix(said[i+1], "."), ",", ""), 64)
			if err != nil || math.Abs(x/heads[day]-1) > 0.06 { // two digits are told
				t.Errorf("%s: %s has %v heads in the JSON: %s", plan, day, heads[day], text)
			}
		}
	}
}
