package main

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// The usual text keeps to its lines at 100 columns, whatever the plan, and still holds
// every warning and caution that the JSON holds; the answer keeps to six. All of the plans
// are a stage; always tried are the longest, one example, a farm and two comparisons.
func TestTextBudgets(t *testing.T) {
	simtest.NotRacing(t)
	files := plansOfBudget(t)
	many := "name,area_ha,heads_per_m2\n"
	for i := range 300 {
		many += fmt.Sprintf("The Far Piece Behind The Long Plantation And The Old Brick Kiln %d,%d,%d\n", i, 1+i%17, 1+i)
	}
	maps.Copy(files, examplesFor(t, "fields.csv"))
	files["many.csv"], files["evolving.yaml"] = many, evolvingPlan
	inFolder(t, files)
	shareRuns(t)
	t.Setenv("COLUMNS", "100")
	if simtest.InStage("texts") {
		withinBudget(t, 40, "farm fields.csv early-wheat.yaml late-wheat.yaml wheat-and-oats.yaml two-springs.yaml --replicates 24")
		withinBudget(t, 40, "farm many.csv oats-with-cover.yaml oats-without-cover.yaml --replicates 4")
	}
	withinBudget(t, 40, "farm fields.csv late-wheat.yaml --replicates 24")
	for name := range files {
		if filepath.Ext(name) != ".yaml" {
			continue
		}
		if !simtest.InStage("texts") && name != "longest.yaml" && name != "early-wheat.yaml" && name != "evolving.yaml" {
			continue
		}
		withinBudget(t, 32, "forecast "+name+" --replicates 24")
	}
	withinBudget(t, 40, "compare early-wheat.yaml late-wheat.yaml wheat-and-oats.yaml two-springs.yaml --replicates 24")
	withinBudget(t, 40, "compare oats-with-cover.yaml oats-without-cover.yaml oats-sprayed-once.yaml --replicates 24")
	if !simtest.InStage("texts") {
		return
	}
	var widest []string
	for name := range files {
		if strings.Contains(files[name], "Old Brick Kiln") && strings.Contains(name, "-") {
			widest = append(widest, name)
		}
	}
	slices.Sort(widest)
	withinBudget(t, 40, "compare "+strings.Join(append(widest, widest...), " ")+" longest.yaml longer.yaml --replicates 24")
	withinBudget(t, 40, "drilling early-wheat.yaml --replicates 24 --every 2d")
	withinBudget(t, 40, "drilling longest.yaml --replicates 20 --every 20d")
}

// plansOfBudget are every example, every shipped rotation, and the longest and widest plans that
// may be written, by the names of their files.
func plansOfBudget(t *testing.T) map[string]string {
	t.Helper()
	examples, err := filepath.Glob("../../examples/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	shipped, err := filepath.Glob("../../rotations/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{}
	for _, path := range examples {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(path)] = string(text)
	}
	for _, path := range shipped {
		if name := strings.TrimSuffix(filepath.Base(path), ".yaml"); name != "starter" {
			files["shipped-"+name+".yaml"] =
				"field: {area_ha: 10, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 20}\nrotation: " + name + "\n"
		}
	}
	files["longest.yaml"] = fmt.Sprintf(knownHead, 9999.5, "heads_per_m2: {low: 1, high: 900}") +
		"  - {crop: hybrid-winter-barley, otherwise: spring-barley}\n" +
		"  - {crop: winter-oilseed-rape, cover: {mix: mustard, sow: 1 Aug, destroy: 15 Aug}}\n" + fails + "repeat: 20\n"
	files["longest.yaml"] = strings.Replace(files["longest.yaml"], "name: Far Piece",
		"name: The Far Piece Behind The Long Plantation And The Old Brick Kiln", 1)
	files["longer.yaml"] = strings.Replace(files["longest.yaml"], "crop: hybrid-winter-barley", "crop: winter-barley", 1)
	for i, name := range []string{"hybrid-barley-all-in-late", "a-plan-as-long-as-any-is", "the-other-one-of-the-two"} {
		files[name+".yaml"] = strings.Replace(files["longest.yaml"], "date: 20 Nov", fmt.Sprintf("date: %d Nov", 17+i), 1)
	}
	return files
}

func withinBudget(t *testing.T, lines int, args string) {
	t.Helper()
	shareRuns(t)
	got := run(t, strings.Fields(args)...)
	if got.code != exitDone {
		t.Fatalf("%s: %s", args, got.stderr)
	}
	if n := strings.Count(got.stdout, "\n"); n > lines {
		t.Errorf("%s: %d lines, at most %d\n%s", args, n, lines, got.stdout)
	}
	brief := run(t, strings.Fields(args+" --brief")...)
	if n := strings.Count(brief.stdout, "\n"); n > 6 || n == 0 {
		t.Errorf("%s: the answer takes %d lines\n%s", args, n, brief.stdout)
	}
	if !strings.Contains(got.stdout, brief.stdout) {
		t.Errorf("%s: --brief is not the answer of the rest", args)
	}
	json := run(t, strings.Fields(args+" --json")...)
	a, all := answerOf(t, json.stdout)
	plain := strings.Join(strings.Fields(got.stdout), " ")
	for _, s := range a.Sentences {
		if !strings.Contains(strings.ReplaceAll(plain, " - ", " "), s) {
			t.Errorf("%s: the text has no %q", args, s)
		}
	}
	for _, w := range all["warnings"].([]any) {
		warning := w.(map[string]any)
		if !told(plain, warning["text"].(string)) {
			t.Errorf("%s: the text does not warn %v\n%s", args, warning, got.stdout)
		}
	}
	for _, caution := range []string{"A forecast is a spread, not a promise.", "a qualified adviser rule", "no dose is given"} {
		if !strings.Contains(plain, caution) {
			t.Errorf("%s: no %q", args, caution)
		}
	}
}

// told tells whether a text holds a warning, in its own words or with others of its
// kind: then most of its numbers and names stand there.
func told(text, warning string) bool {
	if strings.Contains(text, warning) {
		return true
	}
	words := strings.FieldsFunc(warning, func(r rune) bool { return strings.ContainsRune(" .,;:()%", r) })
	here := 0
	for _, w := range words {
		if strings.Contains(text, w) {
			here++
		}
	}
	return 4*here >= 3*len(words)
}
