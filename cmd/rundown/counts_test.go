package main

import (
	"bytes"
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/params/date"
)

// oddCounts are what makes numbers infinite or none: single and empty quadrats,
// sides without any, two sizes, cores of two depths.
const oddCounts = `date,zone,kind,quadrat_m2,count,depth_cm
2027-04-12,a,plants,0.25,3,
2027-04-12,b,plants,0.25,0,
2027-04-13,a,plants,0.25,0,
2027-04-13,b,plants,0.25,0,
2027-04-14,a,heads,0.25,2,
2027-04-14,a,heads,1,0,
2027-04-15,b,plants,0.25,0,
2027-04-15,a,plants,0.25,100000,
2026-10-05,a,core-seedlings,0.005,3,5
2026-10-05,a,core-seedlings,0.005,3,10
`

// The JSON holds to its schema, whatever was counted, and no text holds a number
// that is none.
func TestCountsJSON(t *testing.T) {
	schema := schemaText(t, "counts.json")
	example, err := readFile("../../examples/invented-strips.csv", largestCounts)
	if err != nil {
		t.Fatal(err)
	}
	inFolder(t, map[string]string{"odd.csv": oddCounts, "trial.csv": string(example), "small.csv": smallCounts})
	shareRuns(t)
	for _, args := range []string{"counts odd.csv --json", "counts odd.csv --compare zone --json", "counts odd.csv --compare zone --json --level 0.999",
		"counts trial.csv --compare zone --json", "counts small.csv --json --compare zone"} {
		v := document(t, schema, args)
		if strings.Contains(args, "trial") {
			if n, sure := len(v["comparisons"].([]any)), v["comparisons"].([]any)[0].(map[string]any)["cleaner"].(float64); n != 1 || sure < 0.5 || sure > 0.95 {
				t.Errorf("%s: %d comparisons, %v sure", args, n, sure)
			}
		}
	}
	for _, args := range []string{"counts odd.csv --compare zone --out odd", "counts small.csv"} {
		got := run(t, strings.Fields(args)...)
		if got.code != exitDone || strings.Contains(got.stdout, "NaN") || strings.Contains(got.stdout, "Inf") || strings.Contains(got.stdout, "%!") {
			t.Errorf("%s: exit %d, %s\n%s", args, got.code, got.stderr, got.stdout)
		}
	}
	want := "odd/counts-core-seedlings.png odd/counts-core-seedlings.svg odd/counts-heads.png odd/counts-heads.svg odd/counts-plants.png " +
		"odd/counts-plants.svg odd/counts.csv odd/counts.json odd/provenance.json odd/report.html"
	if names := strings.Join(listing(t, "odd"), " "); names != want {
		t.Errorf("written: %s\nwant: %s", names, want)
	}
}

// Rows that are read are sound, whatever the file holds; what is wrong is said with
// its line; nothing is read of a file with mistakes.
func FuzzCounts(f *testing.F) {
	for _, pattern := range []string{"../../examples/*.csv", "../../testdata/counts/*.csv"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			f.Fatalf("no file like %s (%v)", pattern, err)
		}
		for _, file := range files {
			data, err := os.ReadFile(file)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(data)
		}
	}
	for _, text := range wrongCounts() {
		f.Add([]byte(text))
	}
	f.Add([]byte(smallCounts))
	f.Add([]byte(oddCounts))
	f.Add([]byte("date;zone\n2027-04-12;a\n"))
	f.Add([]byte("date,zone,kind,quadrat_m2,count\n2027-04-12,a,plants,NaN,1e9\n2027-04-12,\"a\nb\",heads,0.25,-1\n"))
	f.Add([]byte("\xff\xfedate,zone,kind,quadrat_m2,count\r\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		rows, err := parseCounts("c.csv", data, anyDay)
		if err != nil {
			if len(rows) > 0 || !strings.Contains(err.Error(), "c.csv") {
				t.Errorf("%d rows with the error %q, which names no place", len(rows), err)
			}
			return
		}
		lines, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		if err == nil && len(rows) > len(lines)-1 {
			t.Errorf("%d rows of %d lines", len(rows), len(lines))
		}
		for _, r := range rows {
			if !(r.AreaM2 > 0) || math.IsInf(r.AreaM2, 0) || r.N < 0 || r.Zone == "" || r.Kind == "core-seedlings" && !(r.DepthCM > 0 && r.DepthCM <= 20) ||
				r.Day < date.Of(1, 1, 1) {
				t.Errorf("%+v was read", r)
			}
		}
	})
}
