package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Nothing is cut at 100 columns in what is said of the examples.
func TestNothingIsCut(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	plans, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(plans) < 5 {
		t.Fatalf("%d plans, %v", len(plans), err)
	}
	files := map[string]string{}
	for _, p := range plans {
		b, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(p)] = string(b)
	}
	inFolder(t, files)
	t.Setenv("COLUMNS", "100")
	for name := range files {
		for _, args := range []string{"forecast " + name + " --replicates 8 --full", "drivers " + name + " --replicates 8 --full", "drivers " + name + " --replicates 8"} {
			got := run(t, strings.Fields(args)...)
			if got.code != exitDone {
				t.Fatalf("%s: exit %d, %s", args, got.code, got.stderr)
			}
			if at := strings.Index(got.stdout, "…"); at >= 0 {
				t.Errorf("%s: something is cut: %q", args, got.stdout[max(0, at-60):min(len(got.stdout), at+20)])
			}
		}
	}
}

// A date is swept by its dates, written as dates again, and pasted back the same.
func TestSweepOfADate(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	const path = "weeds/black-grass/heads_date"
	for _, span := range []string{"20-May:10-Jun:7", "20 May:10 Jun:7", "20 May:10 June:7"} {
		got := run(t, "drivers", "plan.yaml", "--replicates", "8", "--out", "out", "--sweep", path+"="+span, "--full")
		if got.code != exitDone {
			t.Fatalf("%s: %s", span, got.stderr)
		}
		for _, want := range []string{"\n20 May ", "\n27 May ", "\n 3 Jun ", "\n10 Jun ", "at 20 May", "at 10 Jun"} {
			if !strings.Contains(got.stdout, want) {
				t.Errorf("%s: no %q in\n%s", span, want, got.stdout)
			}
		}
		rows := readCSV(t, "out/sweep.csv")
		if r := rows[1]; r[0] != path || r[1] != "20 May" || r[2] != "date" {
			t.Errorf("sweep.csv: %v", r)
		}
		if b, err := os.ReadFile("out/provenance.json"); err != nil || !strings.Contains(string(b), path+"=20-May:10-Jun:7") {
			t.Errorf("the provenance does not hold the sweep in dates: %v", err)
		}
	}
	for span, want := range map[string]string{
		path + "=140:161:7":                             "write --sweep " + path + "=20-May:10-Jun:7",
		path + "=20-May:161:7":                          "expected two dates, or none",
		"weeds/black-grass/viability=20-May:10-Jun:7":   "is no date",
		path + "=10-Jun:20-May:7":                       "low end below the high end",
		"weeds/black-grass/viability=20-May:10-Jun:May": "not a number",
	} {
		if got := run(t, "drivers", "plan.yaml", "--replicates", "8", "--sweep", span); got.code != exitUsage || !strings.Contains(got.stderr, want) {
			t.Errorf("%s: exit %d, %q; expected %q", span, got.code, got.stderr, want)
		}
	}
}
