package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// moneyOf is the farm's money by plan and run, of farm-replicates.csv.
func moneyOf(t *testing.T, dir string) map[string][]float64 {
	t.Helper()
	out := map[string][]float64{}
	for _, r := range readCSV(t, filepath.Join(dir, "farm-replicates.csv"))[1:] {
		out[r[1]] = append(out[r[1]], asNumber(t, r[2]))
	}
	return out
}

const farmLine = "farm fields.csv plan.yaml later.yaml --replicates 12 --replicates-csv --quiet"

// fieldNames are those of smallFarm, sorted.
func fieldNames(table string) []string {
	var names []string
	for _, line := range strings.Split(strings.TrimSpace(table), "\n")[1:] {
		name, _, _ := strings.Cut(line, ",")
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// The farm's money is, run by run and to the last digit, the sum of its fields run alone,
// by the command that each row prints.
func TestFarmIsTheSumOfItsFields(t *testing.T) {
	inFull(t)
	numbersAlone(t)
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "later.yaml": strings.Replace(smallPlan, "spring-barley", "spring-beans", 1), "fields.csv": smallFarm})
	if got := run(t, append(strings.Fields(farmLine), "--out", "farm")...); got.code != exitDone {
		t.Fatal(got.stderr)
	}
	whole := moneyOf(t, "farm")
	sum := map[string][]float64{}
	for i, name := range fieldNames(smallFarm) {
		dir := fmt.Sprint("alone", i)
		if got := run(t, append(strings.Fields(farmLine), "--field", name, "--out", dir)...); got.code != exitDone {
			t.Fatalf("%s: %s", name, got.stderr)
		}
		for plan, money := range moneyOf(t, dir) {
			if sum[plan] == nil {
				sum[plan] = make([]float64, len(money))
			}
			for k, x := range money {
				sum[plan][k] += x
			}
		}
	}
	if len(whole) != 3 || len(whole["plan"]) != 12 {
		t.Fatalf("%d columns of %d runs", len(whole), len(whole["plan"]))
	}
	for plan, money := range whole {
		if !slices.Equal(money, sum[plan]) {
			t.Errorf("%q: the farm has %v, its fields together %v", plan, money, sum[plan])
		}
	}
}

// The bytes of a row do not change when other rows go, move or are changed.
func TestRowsStandAlone(t *testing.T) {
	numbersAlone(t)
	inFull(t)
	rows := strings.Split(strings.TrimSpace(smallFarm), "\n")
	moved := append([]string{rows[0]}, slices.Clone(rows[1:])...)
	slices.Reverse(moved[1:])
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "later.yaml": smallPlan, "fields.csv": smallFarm, "moved.csv": strings.Join(moved, "\n") + "\n",
		"fewer.csv": strings.Join([]string{rows[0], rows[5], rows[2]}, "\n") + "\n"})
	lines := func(table string) map[string]string {
		got := run(t, append(strings.Fields(strings.Replace(farmLine, "fields.csv", table, 1)), "--out", table+"-out")...)
		if got.code != exitDone {
			t.Fatalf("%s: %s", table, got.stderr)
		}
		out := map[string]string{}
		for _, line := range strings.Split(strings.TrimSpace(readText(t, table+"-out/farm.csv")), "\n")[1:] {
			cells := strings.SplitN(line, ",", 3)
			out[cells[0]+","+cells[1]] = line
		}
		return out
	}
	all, reversed, some := lines("fields.csv"), lines("moved.csv"), lines("fewer.csv")
	if len(all) != 14 || len(reversed) != 14 || len(some) != 4 {
		t.Fatalf("%d, %d and %d rows", len(all), len(reversed), len(some))
	}
	for key, line := range all {
		if reversed[key] != line {
			t.Errorf("%s: moved rows change it:\n%s\n%s", key, line, reversed[key])
		}
		if other, there := some[key]; there && other != line {
			t.Errorf("%s: fewer rows change it:\n%s\n%s", key, line, other)
		}
	}
	if slices.Equal(strings.Split(all["Ash Corner,plan"], ",")[5:], strings.Split(all["Mill Bank,plan"], ",")[5:]) {
		t.Error("two fields have the same numbers")
	}
}

// A table that holds mistakes is refused with all of them, each at its row and column, and
// so is what does not fit the plans.
func TestMistakesOfAFarm(t *testing.T) {
	bad := "name,area_ha,soil,heads_per_m2,heads_per_m2.low,heads_per_m2.high,resistance.2\n" +
		"Near Piece,four,clay,10,,,0.5\n" + // 2
		"Bell Piece,9,bog,10,,,\n" + // 3
		"Near Piece,9,clay,10,,,\n" + // 4
		",3,clay,1,,,\n" + // 5
		"Long Piece,3,clay,1,2,,\n" + // 6
		"Far Piece,3,clay,,9,2,\n" // 7
	for name, c := range map[string]struct {
		table string
		plan  string
		want  []string
	}{
		"cells": {bad, smallPlan, []string{`fields.csv:2:12: found "four" for "area_ha"`, `fields.csv:4:1: the field "Near Piece" is already in line 2`,
			"fields.csv:5:1: nothing stands in the column \"name\"", "fields.csv:6:21: weed.heads_per_m2 and weed.heads_per_m2.low of \"Long Piece\" are both given"}},
		"names": {"name,area_ha,soil\nNear Piece,4,bog\nBell Piece,9,clay\nFar Piece,9,fen\n", smallPlan,
			[]string{"fields.csv:2:14: the library has no soil \"bog\"", "fields.csv:4:13: the library has no soil \"fen\""}},
		"range": {"name,heads_per_m2.low,heads_per_m2.high\nNear Piece,9,2\n", smallPlan, []string{"fields.csv:2:"}},
		"columns": {"name,area,sole,resistance,weather.file.x\nNear Piece,4,clay,1,1\n", smallPlan, []string{`the column "area" is not known; use "area_ha"`,
			`the column "sole" is not known`,
			`the column "resistance" holds several values`, `the column "weather.file.x" is not known`}},
		"no name":  {"area_ha\n4\n", smallPlan, []string{`the heading has no column "name"`}},
		"no field": {"name,area_ha\n", smallPlan, []string{"the table has no fields"}},
		"plan":     {smallFarm, strings.Replace(smallPlan, "winter-wheat", "winter-weat", 1), []string{"later.yaml:4:11: the library has no crop"}},
		"a menu":   {smallFarm, "menu: {A: {crop: winter-wheat}}\n", []string{"later.yaml:1:1: this is a menu of seasons; rundown farm lays plans over fields"}},
		"start":    {smallFarm, strings.Replace(smallPlan, "2026-08-01", "2026-08-15", 1), []string{"weed.start is 2026-08-15", "let the table say"}},
		"currency": {smallFarm, smallPlan + "economics: {currency: EUR}\n", []string{"counts in EUR"}},
	} {
		t.Run(name, func(t *testing.T) {
			inFolder(t, map[string]string{"plan.yaml": smallPlan, "later.yaml": c.plan, "fields.csv": c.table})
			got := run(t, "farm", "fields.csv", "plan.yaml", "later.yaml", "--out", "out")
			if got.code != exitInput || got.stdout != "" {
				t.Errorf("exit %d, %s", got.code, got.stdout)
			}
			for _, want := range c.want {
				if !strings.Contains(got.stderr, want) {
					t.Errorf("it does not say %q:\n%s", want, got.stderr)
				}
			}
			if _, err := os.Stat("out"); err == nil {
				t.Error("something was written")
			}
		})
	}
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "fields.csv": smallFarm})
	if got := run(t, "farm", "fields.csv", "plan.yaml", "--field", "Bel Piece"); got.code != exitInput || !strings.Contains(got.stderr, "Bell Piece") {
		t.Errorf("exit %d, %s", got.code, got.stderr)
	}
}

// What a row says stands in place of what the plan says: weather files are those of the
// table's folder, and a climate takes a plan's weather away.
func TestRowsOverPlans(t *testing.T) {
	numbersAlone(t)
	inFolder(t, map[string]string{"plan.yaml": strings.Replace(smallPlan, "climate: east-lowland", "weather: gone.csv", 1)})
	if err := os.Mkdir("table", 0o755); err != nil {
		t.Fatal(err)
	}
	putFile(t, "table/years.csv", weatherYears())
	putFile(t, "table/fields.csv", "name;area_ha;climate;weather;seedbank_per_m2.0-5\nNear Piece;4,5;east-lowland;;\nFar Piece;3;;years.csv;800\n")
	got := run(t, "farm", "table/fields.csv", "plan.yaml", "--replicates", "5", "--out", "out", "--quiet")
	if got.code != exitDone {
		t.Fatal(got.stderr)
	}
	rows := readCSV(t, "out/farm.csv")
	if len(rows) != 3 || rows[1][0] != "Far Piece" || rows[2][2] != "4.5" {
		t.Errorf("%v", rows)
	}
	if text := readText(t, "out/provenance.json"); !strings.Contains(text, "years.csv") || !strings.Contains(text, "fields.csv") {
		t.Error("the provenance does not name what was read")
	}
}

// farm.csv has one width, whatever the names, and every share lies in 0 to 1.
func TestFarmTable(t *testing.T) {
	numbersAlone(t)
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "later.yaml": strings.Replace(smallPlan, "spring-barley", "spring-beans", 1), "fields.csv": smallFarm})
	if got := run(t, append(strings.Fields(farmLine), "--out", "farm")...); got.code != exitDone {
		t.Fatal(got.stderr)
	}
	rows := readCSV(t, "farm/farm.csv")
	most := map[string]float64{}
	for _, r := range rows[1:] {
		for i, head := range rows[0] {
			if !strings.HasSuffix(head, "_share") {
				continue
			}
			x, err := strconv.ParseFloat(r[i], 64)
			if err != nil || x < 0 || x > 1 {
				t.Errorf("%s of %s: %q", head, r[0], r[i])
			}
			if head == "earns_most_share" {
				most[r[0]] += x
			}
		}
	}
	for name, x := range most {
		if x < 0.999999 || x > 1.000001 {
			t.Errorf("%s: plans earn most in %v of the runs together", name, x)
		}
	}
}

// The JSON keeps to its published schema: of several plans and of one, of a farm and of a
// field alone.
func TestFarmJSON(t *testing.T) {
	rules := readSchema(t, filepath.Join(schemaFolder, "farm.json"))
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "later.yaml": strings.Replace(smallPlan, "spring-barley", "spring-beans", 1), "fields.csv": smallFarm})
	for _, line := range []string{"farm fields.csv plan.yaml later.yaml", "farm fields.csv plan.yaml", "farm fields.csv plan.yaml later.yaml --field=Drove%End"} {
		args := strings.Fields(line + " --replicates 9 --json")
		for i := range args {
			args[i] = strings.ReplaceAll(args[i], "%", " ")
		}
		got := run(t, args...)
		if got.code != exitDone {
			t.Fatalf("%s: %s", line, got.stderr)
		}
		var v any
		if err := json.Unmarshal([]byte(got.stdout), &v); err != nil {
			t.Fatal(err)
		}
		if wrong := rules.check(rules.root, v, "$"); wrong != "" {
			t.Errorf("%s: %s", line, wrong)
		}
	}
}
