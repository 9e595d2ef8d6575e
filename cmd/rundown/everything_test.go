package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/params"
	"rundown/sim/simtest"
)

// Everything that the program ships is forecast at the usual number of runs, where
// what happens once in a thousand does happen: every rotation, crop, cover,
// implement and programme, the last three packed into few plans.
func TestEverythingShippedRuns(t *testing.T) {
	inFull(t)
	plans := map[string]string{}
	shipped, err := filepath.Glob("../../rotations/*.yaml")
	if err != nil || len(shipped) < 5 {
		t.Fatalf("%d rotations: %v", len(shipped), err)
	}
	for _, file := range shipped {
		if name := strings.TrimSuffix(filepath.Base(file), ".yaml"); name != "starter" {
			plans["rotation "+name] = "rotation: " + name + "\n"
		}
	}
	everything(t, plans)
	inFolder(t, nil)
	for name, plan := range plans {
		args := []string{"forecast", "plan.yaml", "--json"}
		if !simtest.InStage("shipped") {
			args = append(args, "--replicates", "60")
		}
		if err := os.WriteFile("plan.yaml", []byte(fieldOfAll+plan), 0o644); err != nil {
			t.Fatal(err)
		}
		if got := run(t, args...); got.code != exitDone {
			t.Errorf("%s: exit %d, %s\n%s", name, got.code, got.stderr, plan)
		} else if !json.Valid([]byte(got.stdout)) {
			t.Errorf("%s: no JSON came out", name)
		}
	}
}

const fieldOfAll = "field: {area_ha: 10, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 20}\n"

// everything adds plans with each crop, cover, implement and programme of the library.
func everything(t *testing.T, plans map[string]string) {
	lib, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, crop := range lib.Names("crops") {
		season := "{crop: " + crop + "}"
		if lib.Find("crops", crop).Text["perennial"] == "yes" {
			season = "{crop: " + crop + ", years: 3}"
		}
		plans["crop "+crop] = "seasons: [" + season + ", {crop: winter-wheat}]\n"
	}
	list := func(title, kind, season string, roles ...string) {
		var seasons []string
		for _, name := range lib.Names(kind) {
			for _, role := range roles {
				if r := lib.Find(kind, name).Text["role"]; r == role || kind == "covers" {
					seasons = append(seasons, "  - {crop: "+strings.ReplaceAll(season, "NAME", name)+"}\n")
				}
			}
		}
		if len(seasons) == 0 {
			t.Fatalf("the library has no %s", title)
		}
		plans[title] = "seasons:\n" + strings.Join(seasons, "")
	}
	list("covers", "covers", "spring-barley, cover: {mix: NAME, sow: 12 Sep, destroy: 25 Jan}", "")
	list("cultivators", "implements", "winter-wheat, cultivate: [{date: 1 Sep, with: NAME}]", "cultivator")
	list("drills", "implements", "winter-wheat, drill: {date: 5 Oct, with: NAME}", "drill")
	list("work in the crop", "implements", "winter-wheat, in_crop: [{date: 20 May, with: NAME}]", "in-crop")
	list("work at harvest", "implements", "winter-wheat, harvest: {with: NAME}", "harvest")
	list("sprays", "herbicides", "winter-wheat, spray_off: [{date: 20 Sep, with: NAME}]", "non-selective")
	for _, name := range lib.Names("herbicides") {
		e := lib.Find("herbicides", name)
		if role := e.Text["role"]; role != "programme" && role != "contact" {
			continue
		}
		crop := "winter-wheat"
		if crops, known := lib.CropsOf(e); known && len(crops) > 0 {
			crop = crops[0]
		}
		plans["programme "+name] = "seasons: [{crop: " + crop + ", herbicides: [{programme: " + name + ", days_after_drilling: 2}]}]\n"
	}
}

// Where a ley was never sown its field lies fallow in the years for which it was to
// stand: every run is one or the other, and the text says in how many.
func TestALeyThatIsNeverSown(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": fieldOfAll +
		"seasons: [{crop: grass-ley, years: 3, drill: {date: 19 Sep, latest: 20 Sep}}]\n"})
	got := run(t, "forecast", "plan.yaml", "--json", "--replicates", "200")
	if got.code != exitDone {
		t.Fatalf("exit %d, %s", got.code, got.stderr)
	}
	var document struct {
		Seasons []struct{ Grown map[string]float64 }
	}
	if err := json.Unmarshal([]byte(got.stdout), &document); err != nil {
		t.Fatal(err)
	}
	var shares []string
	for _, s := range document.Seasons {
		ley, fallow := s.Grown["grass-ley"], s.Grown["fallow"]
		shares = append(shares, fmt.Sprintf("ley %.3f, fallow %.3f", ley, fallow))
		if math.Abs(ley+fallow-1) > 1e-12 || ley == 0 || fallow == 0 {
			t.Errorf("grown: %v; expected grass-ley and fallow, 1 together", s.Grown)
		}
	}
	if len(shares) != 3 || shares[0] != shares[1] || shares[1] != shares[2] {
		t.Errorf("the three years differ: %q", shares)
	}
	if got := run(t, "compare", "plan.yaml", "plan.yaml", "--replicates", "40"); got.code != exitDone {
		t.Errorf("compare: exit %d, %s", got.code, got.stderr)
	}
}

// A climate fitted to a file is named by the file wherever weather is named.
func TestAClimateFromAFile(t *testing.T) {
	var record strings.Builder
	record.WriteString("date,tmin_c,tmax_c,rain_mm\n")
	for year := 2016; year < 2022; year++ {
		for month, days := range [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31} {
			if month == 1 && year%4 == 0 {
				days = 29
			}
			for day := 1; day <= days; day++ { // invented: a warm July, rain every third day or so
				warm := 10 - 7*math.Cos(float64(month)*math.Pi/6) + float64((day*7+year)%5) - 2
				rain := float64((day*5+month*3+year)%7-4) * 2
				fmt.Fprintf(&record, "%d-%02d-%02d,%.1f,%.1f,%.1f\n", year, month+1, day, warm-4, warm+4, max(0, rain))
			}
		}
	}
	const plan = "field: {area_ha: 5, soil: clay, climate: {from: ours.csv}%s}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: " +
		"10}\nseasons: [{crop: winter-wheat}]\n"
	inFolder(t, map[string]string{"plan.yaml": fmt.Sprintf(plan, ""), "ours.csv": record.String(),
		"both.yaml": fmt.Sprintf(plan, ", weather: {file: ours.csv, beyond: climate}")})
	for args, want := range map[string]string{
		"check plan.yaml":                                                                 "weather like that of ours.csv",
		"check plan.yaml --full":                                                          "from: ours.csv",
		"forecast plan.yaml --replicates 20":                                              "weather like that of ours.csv",
		"forecast both.yaml --replicates 20":                                              "weather as recorded, then like that of ours.csv",
		"compare plan.yaml plan.yaml --replicates 20":                                     "weather like that of ours.csv",
		"drilling plan.yaml --every 30d --replicates 10":                                  "weather like that of ours.csv",
		"drivers plan.yaml --replicates 8 --values 1":                                     "weather like that of ours.csv",
		"drivers plan.yaml --sweep weeds/black-grass/viability=0.5:1:0.5 --replicates 10": "weather like that of ours.csv",
	} {
		got := run(t, strings.Fields(args)...)
		if text := strings.Join(strings.Fields(got.stdout), " "); got.code != exitDone || !strings.Contains(text, want) {
			t.Errorf("%s: exit %d, %s; expected %q in\n%s", args, got.code, got.stderr, want, got.stdout)
		}
	}
}

// What check finds without mistakes can be run: a season without a spray or any other work.
func TestAFallowWithoutASpray(t *testing.T) {
	for _, seasons := range []string{
		"[{crop: fallow, spray_off: []}]", "[{crop: fallow, spray_off: [], cultivate: []}]",
		"[{crop: fallow, spray_off: [], herbicides: []}, {crop: fallow, spray_off: []}]",
	} {
		inFolder(t, map[string]string{"plan.yaml": fieldOfAll + "seasons: " + seasons + "\n"})
		shareRuns(t)
		for _, args := range []string{"check plan.yaml", "forecast plan.yaml --replicates 10", "drivers plan.yaml --replicates 8 --values 1"} {
			if got := run(t, strings.Fields(args)...); got.code != exitDone {
				t.Errorf("%s of %s: exit %d, %s", args, seasons, got.code, got.stderr)
			}
		}
	}
}
