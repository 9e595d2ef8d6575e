package main

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"
)

const decemberPlough = `field: {name: Far Piece, area_ha: 10, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 20}
seasons:
  - crop: spring-barley
    cultivate: [{date: 20 Dec, with: plough}]
    spray_off: [{days_before_drilling: 1}]
    drill: {date: 18 Mar, latest: 20 Apr, with: tine-drill}
    herbicides: [{programme: spring-residual, days_after_drilling: 2}]
  - crop: winter-wheat
    cover: {mix: mustard, sow: 1 Sep, destroy: 30 Sep}
    spray_off: [7 Oct]
    drill: {date: 10 Oct, latest: 10 Nov, with: tine-drill}
    herbicides: [{programme: autumn-residual-stack, days_after_drilling: 2}, {programme: spring-contact, date: 10 Mar}]
`

// work is what forecast.json says of a piece of work.
type work struct {
	What, With, Crop, Planned string
	Called                    float64 `json:"called_share"`
	Done                      float64 `json:"done_share"`
	Grown                     float64 `json:"done_where_grown_share"`
	Lapsed                    map[string]float64
	Killed                    *float64 `json:"killed_share"`
	Of                        *string  `json:"killed_of"`
}

// A plough that seldom runs is told so everywhere: in JSON, table, warning, answer and calendar.
func TestWorkThatSeldomHappens(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": decemberPlough})
	shareRuns(t)
	const args = "forecast plan.yaml --replicates 120"
	var all struct {
		Warnings []struct{ Code, Text string }
		Answer   struct{ Sentences []string }
		Seasons  []struct{ Work []work }
	}
	if err := json.Unmarshal([]byte(run(t, strings.Fields(args+" --json")...).stdout), &all); err != nil {
		t.Fatal(err)
	}
	var ploughs int
	for _, s := range all.Seasons {
		for _, w := range s.Work {
			sum := w.Done
			for _, x := range w.Lapsed {
				sum += x
			}
			if w.Called > 0 && math.Abs(sum-1) > 1e-9 || len(w.Lapsed) != 4 {
				t.Errorf("%+v: the shares add up to %v", w, sum)
			}
			if w.With == "plough" {
				ploughs++
				if w.Done > 0.5 || w.Done+w.Lapsed["ground"] < 0.999 || w.Planned != "2026-12-20" || w.Killed == nil || *w.Of != "standing" {
					t.Errorf("the plough: %+v", w)
				}
			}
		}
	}
	if ploughs != 1 {
		t.Fatalf("%d ploughs", ploughs)
	}
	warned := 0
	for _, w := range all.Warnings {
		if w.Code == "work-not-done" {
			warned++
			if !strings.Contains(w.Text, "plough 20 Dec") || strings.Contains(w.Text, "residual") {
				t.Errorf("warned: %s", w.Text)
			}
		}
	}
	if warned != 1 {
		t.Errorf("%d warnings of work", warned)
	}
	if said := strings.Join(all.Answer.Sentences, " "); !strings.Contains(said, "The plough of 20 December ran in ") {
		t.Errorf("the answer: %s", said)
	}
	workIsShown(t, args)
}

// workIsShown looks for the plough in the full text and on the page.
func workIsShown(t *testing.T, args string) {
	t.Helper()
	t.Setenv("COLUMNS", "140")
	full := run(t, strings.Fields(args+" --full --out out")...).stdout
	for _, want := range []string{"What happened to the work", "ground not fit", "sowing the cover", "coming up"} {
		if !strings.Contains(full, want) {
			t.Errorf("the full text has no %q", want)
		}
	}
	page, err := os.ReadFile("out/report.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"of 100 runs that grew the crop", "pale: done in so many of 100 runs", "20 Dec plough ("} {
		if !strings.Contains(string(page), want) {
			t.Errorf("the page has no %q", want)
		}
	}
}

// Where all is done in time nothing is pale, warned of or named.
func TestWorkThatHappens(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": strings.ReplaceAll(strings.Replace(decemberPlough, "east-lowland", "east-lowland, work: on-its-day", 1),
		"20 Dec", "1 Sep")})
	shareRuns(t)
	got := run(t, strings.Fields("forecast plan.yaml --replicates 40 --out out")...).stdout
	page, err := os.ReadFile("out/report.html")
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(page), "pale: done") || strings.Contains(got, "often was not done") || strings.Contains(got, "The plough") {
		t.Errorf("work that is done is told to fail:\n%s", got)
	}
}
