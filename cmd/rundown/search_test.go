package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// The plans of the front, run by forecast with the same seed and runs, give the numbers that the
// search tells of them, to the last digit: also where a plan lies elsewhere than the menu, and
// holds a choice, and where resistance evolves.
func TestForecastsOfTheFront(t *testing.T) {
	inFull(t)
	t.Run("held still", func(t *testing.T) { frontForecast(t, "") })
	t.Run("evolves", func(t *testing.T) { frontForecast(t, ", resistance: {2: 0.4}, evolve: yes") })
}

func frontForecast(t *testing.T, resistance string) {
	schema := schemaText(t, "search.json")
	inFolder(t, map[string]string{"menu.yaml": `field: {name: Far Piece, area_ha: 7, soil: clay, climate: east-lowland, before: [spring-beans]}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: {low: 20, high: 60}` + resistance + `}
years: 2
menu:
  early wheat: {crop: winter-wheat}
  late wheat: {crop: winter-wheat, drill: {date: 20 Oct}, otherwise: spring-barley}
  barley: {crop: spring-barley}
  as it looks:
    choose:
      - {if: {heads_per_m2: {above: 40}}, crop: spring-barley}
      - {crop: winter-wheat}
economics: {prices: {winter-wheat: {low: 150, high: 220}}}
want: {heads_per_m2: {below: 30, in: 50, from: 2}}
against: today.yaml
`, "today.yaml": `field: {name: Far Piece, area_ha: 7, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: {low: 20, high: 60}` + resistance + `}
seasons: [{crop: winter-wheat}, {choose: [{if: {heads_per_m2: {above: 40}}, crop: spring-barley}, {crop: winter-wheat}]}]
economics: {prices: {winter-wheat: {low: 150, high: 220}}}
`})
	found := document(t, schema, "search menu.yaml --replicates 60 --season-runs 5000 --seed 4 --json --quiet --out out/there")
	front := found["front"].([]any)
	if len(front) < 2 {
		t.Fatalf("%d rotations stand out", len(front))
	}
	for _, member := range front {
		m := member.(map[string]any)
		got := run(t, strings.Fields("forecast out/there/"+m["file"].(string)+" --replicates 60 --seed 4 --json --quiet")...)
		if got.code != exitDone {
			t.Fatal(got.stderr)
		}
		var d map[string]any
		if err := json.Unmarshal([]byte(got.stdout), &d); err != nil {
			t.Fatal(err)
		}
		seasons := d["seasons"].([]any)
		last := seasons[len(seasons)-1].(map[string]any)
		a, _ := json.Marshal(m["heads_per_m2"])
		b, _ := json.Marshal(last["heads_per_m2"])
		if string(a) != string(b) {
			t.Errorf("%s: the search tells of heads %s, the forecast %s", m["file"], a, b)
		}
		told := m["margin_per_ha_year"].(map[string]any)["mean"].(float64)
		alone := d["answer"].(map[string]any)["facts"].(map[string]any)["margin_per_ha_year"].(float64)
		if told != alone {
			t.Errorf("%s: the search tells of a margin of %v, the forecast of %v", m["file"], told, alone)
		}
	}
	said := found["answer"].(map[string]any)["sentences"].([]any)
	if len(said) > 6 {
		t.Errorf("the answer has %d sentences", len(said))
	}
	for _, x := range said {
		if n := len(strings.Fields(x.(string))); n > 25 {
			t.Errorf("%d words: %s", n, x)
		}
	}
	if found["against"] == nil || front[0].(map[string]any)["against"] == nil {
		t.Error("today's plan is not told of")
	}
}

// The same bytes come for any number of jobs, under a budget that lets all be tried and under one
// that does not.
func TestSearchJobs(t *testing.T) {
	if !simtest.Racing { // a smaller tree: TestJobsChangeNothing of sim/search
		simtest.Stage(t, "bytes")
	}
	inFolder(t, map[string]string{"menu.yaml": strings.NewReplacer("years: 2", "years: 4", "at_most_in_a_row: 1", "at_most: 3").Replace(smallMenu)})
	for _, budget := range []string{"40000", "2000"} {
		var first result
		for _, jobs := range []string{"1", "2", "5"} {
			got := run(t, strings.Fields("search menu.yaml --replicates 20 --json --quiet --season-runs "+budget+" --jobs "+jobs)...)
			if got.code != exitDone {
				t.Fatal(got.stderr)
			}
			if jobs == "1" {
				first = got
			}
			if got.stdout != first.stdout {
				t.Errorf("budget %s: %s jobs give other bytes", budget, jobs)
			}
		}
		if exhaustive := strings.Contains(first.stdout, `"exhaustive": true`); exhaustive != (budget == "40000") {
			t.Errorf("budget %s: exhaustive %v", budget, exhaustive)
		}
	}
}

// The menu that the help shows is one. Of 2⁴ rotations five grow three wheats on end: four that
// begin with two, since wheat stands before the start where nothing is said, and barley with three behind it.
func TestTheMenuOfTheHelp(t *testing.T) {
	_, text, _ := strings.Cut(searchAbout, "A menu:\n\n")
	text, _, _ = strings.Cut(text, "\n\n")
	inFolder(t, map[string]string{"menu.yaml": text})
	if got := run(t, "check", "menu.yaml"); got.code != exitDone || !strings.Contains(got.stdout, "allow 11 rotations of 4 years") {
		t.Errorf("exit %d, %s%s", got.code, got.stdout, got.stderr)
	}
}

// A search cannot go on from counts, and says what can.
func TestSearchRefusesAPosterior(t *testing.T) {
	inFolder(t, map[string]string{"menu.yaml": smallMenu})
	got := run(t, "search", "menu.yaml", "--posterior", "posterior.json")
	if got.code != exitUsage || !strings.Contains(got.stderr, "a menu has none") || !strings.Contains(got.stderr, "rundown compare") {
		t.Errorf("exit %d, %s", got.code, got.stderr)
	}
}

// Every mistake of a menu has one line with its place.
func TestMenuMistakes(t *testing.T) {
	files, err := filepath.Glob("../../testdata/menus/*.yaml")
	if err != nil || len(files) < 8 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		want, err := os.ReadFile(strings.TrimSuffix(file, ".yaml") + ".out")
		if err != nil {
			t.Fatal(err)
		}
		for _, command := range []string{"search", "check"} {
			got := run(t, command, file)
			if got.code != exitInput || got.stdout != "" {
				t.Errorf("%s %s: exit %d, stdout %q", command, file, got.code, got.stdout)
			}
			said := strings.ReplaceAll(got.stderr, "../../testdata/menus/", "")
			for _, line := range strings.Split(strings.TrimSpace(string(want)), "\n") {
				if !strings.Contains(said, line) {
					t.Errorf("%s %s:\n%s\nwant\n%s", command, file, said, line)
				}
			}
		}
	}
}
