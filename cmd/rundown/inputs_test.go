package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What a command reads is not written over: plans, counts, the weather and the
// library that a plan names, and posteriors, however the file is called or named.
func TestInputIsNotWrittenOver(t *testing.T) {
	writingFolder(t)
	shareRuns(t)
	copies := map[string]string{ // a file called as an output is, and what it is a copy of
		"a/bands.csv": "plan.yaml", "b/compare.csv": "plan.yaml", "c/drilling.csv": "plan.yaml", "d/indices.csv": "plan.yaml",
		"e/counted.csv": "counts.csv", "f/counts.csv": "counts.csv", "i/farm.csv": "fields.csv", "g/forecast.json": "past.json",
	}
	kept := map[string]string{"plan.yaml": "", "counts.csv": "", "fields.csv": "", "past.json": "", "h/bands.csv": weatherYears(),
		"h/plan.yaml":                strings.Replace(smallPlan, "climate: east-lowland", "weather: bands.csv", 1),
		"own/weeds/black-grass.yaml": ownLibrary["own/weeds/black-grass.yaml"]}
	for name, text := range kept {
		if text == "" {
			kept[name] = readText(t, name)
		}
	}
	for name, from := range copies {
		kept[name] = kept[from]
	}
	for name, text := range kept {
		if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, args := range []string{
		"forecast a/bands.csv --replicates 5 --out a",
		"compare b/compare.csv plan.yaml --replicates 5 --out ./b",
		"drilling c/drilling.csv --every 40d --replicates 5 --out c",
		"drivers d/indices.csv --replicates 8 --values 1 --out d",
		"update plan.yaml e/counted.csv --replicates 20 --out e",
		"counts f/counts.csv --out f/../f",
		"farm i/farm.csv plan.yaml --replicates 5 --out i --resume",
		"forecast plan.yaml --posterior g/forecast.json --out g",
		"forecast h/plan.yaml --replicates 5 --out h",
		"update h/plan.yaml counts.csv --replicates 20 --posterior h/bands.csv",
		"update plan.yaml counts.csv --replicates 20 --posterior plan.yaml",
		"update plan.yaml counts.csv --replicates 20 --posterior ./counts.csv",
		"update plan.yaml counts.csv --replicates 20 --library own --posterior own/weeds/black-grass.yaml",
	} {
		if got := run(t, strings.Fields(args)...); got.code != exitUsage || !strings.Contains(got.stderr, "is read and would be written over") {
			t.Errorf("%s: exit %d, %s", args, got.code, got.stderr)
		}
	}
	for name, text := range kept {
		if readText(t, name) != text {
			t.Errorf("%s is no longer what it was", name)
		}
	}
}

// A link where an output would stand is left alone, wherever it leads.
func TestLinkIsLeftAlone(t *testing.T) {
	updateFolder(t)
	if err := os.Mkdir("out", 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("../plan.yaml", "out/bands.csv"); err != nil {
		t.Skip("no links can be made here")
	}
	got := run(t, strings.Fields("forecast later.yaml --replicates 5 --out out")...)
	if got.code != exitUnfinished || !strings.Contains(got.stderr, "is no ordinary file; it is left alone") || readText(t, "out/bands.csv") != smallPlan {
		t.Errorf("exit %d, %s", got.code, got.stderr)
	}
	if names := strings.Join(listing(t, "out"), " "); names != "out/bands.csv" {
		t.Errorf("the folder holds %s", names)
	}
}

// What stands in a plan or beside it and cannot be run is bad input, and where
// it is the user's own, check says it too.
func TestRefusals(t *testing.T) {
	inFolder(t, map[string]string{
		"plan.yaml": smallPlan, "cold.csv": strings.NewReplacer(",2,", ",-50,", ",9,", ",-40,").Replace(weatherYears()),
		"cold.yaml": strings.Replace(smallPlan, "climate: east-lowland", "weather: cold.csv", 1),
		"many.yaml": strings.NewReplacer("area_ha: 7", "area_ha: 10000", "heads_per_m2: 30", "heads_per_m2: {low: 1e-300, high: 1000}").Replace(smallPlan),
		"last.csv":  "date,zone,kind,quadrat_m2,count\n2028-08-20,all,heads,1,30\n",
		"zones.csv": "date,zone,kind,quadrat_m2,count\n" + rowsOf(mostGroups+1, "2027-04-12,z%d,plants,1,3\n"),
		"depth.csv": "date,zone,kind,quadrat_m2,count,depth_cm\n" + rowsOf(mostWatches+1, "2027-04-12,all,core-seedlings,1,3,1.%04d\n"),
		"odd.csv":   "date,zone,kind,quadrat_m2,count,depth_cm\n2027-04-12,all,plants,1,3,5\n",
	})
	for args, want := range map[string]string{
		"forecast cold.yaml --replicates 5":          "cold.yaml:1:59: in this climate no seed of black-grass would ever germinate in autumn",
		"check cold.yaml":                            "no seed of black-grass would ever germinate in autumn",
		"forecast many.yaml --replicates 20":         "many.yaml:2:63: at the start ",
		"update plan.yaml last.csv --replicates 20":  "plan.yaml:4:3: by 2028-08-20 the plan is over in some runs",
		"counts zones.csv":                           "zones.csv:2002: the file tells of more than 2000 zones",
		"update plan.yaml zones.csv --replicates 20": "zones.csv:2002: the file tells of more than 2000 zones",
		"counts depth.csv":                           "the file tells of more than 400 dates, kinds and depths",
		"counts odd.csv":                             "odd.csv:2:27: depth_cm is for core-seedlings; leave it empty for plants",
	} {
		if got := run(t, strings.Fields(args)...); got.code != exitInput || !strings.Contains(got.stderr, want) || got.stdout != "" {
			t.Errorf("%s: exit %d, stdout %d bytes, stderr %.300q; want exit 3 and %q", args, got.code, len(got.stdout), got.stderr, want)
		}
	}
}

// weatherYears is a record of three mild years, day by day.
func weatherYears() string {
	var b strings.Builder
	b.WriteString("date,tmin_c,tmax_c,rain_mm\n")
	for year := 2022; year <= 2024; year++ {
		for month, days := range []int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31} {
			if month == 1 && year%4 == 0 {
				days = 29
			}
			for day := range days {
				fmt.Fprintf(&b, "%d-%02d-%02d,2,9,%d\n", year, month+1, day+1, day%3)
			}
		}
	}
	return b.String()
}

func rowsOf(n int, format string) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, format, i)
	}
	return b.String()
}

func readText(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
