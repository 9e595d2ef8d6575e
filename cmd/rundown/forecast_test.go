package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"rundown/sim/testfile"
)

const schemaFolder = "../../testdata/schema"

// forecastKeys are the keys of forecast.json in their order, as the format
// fixes them; an ellipsis stands for keys that depend on the plan or build.
var (
	forecastKeys = []string{"format", "plan", "answer", "seed", "replicates", "version", "provenance", "units", "warnings", "seasons", "threshold",
		"extinct_fraction"}
	seasonKeys = []string{"harvest_year", "crop", "grown", "drilled", "waited_days", "plants_per_m2", "heads_per_m2", "seed_return_per_m2",
		"seedbank_june_per_m2", "seedbank_per_m2", "yield_loss_fraction", "yield_t_per_ha", "margin_per_ha", "extinct_fraction", "ledger_per_m2", "work",
		"costs_per_ha"}
	ledgerKeys     = []string{"start", "shed", "brought_in", "died", "eaten", "fatal_germination", "emerged", "carried_off", "end"}
	bandKeys       = []string{"n", "zero", "mean", "p05", "p25", "p50", "p75", "p95"}
	provenanceKeys = []string{"commit", "executable", "go", "modules", "plan_sha256", "library_sha256", "arguments"}
)

// keyOrder is the keys of every object of a JSON text in the order written, by
// path without list indices.
func keyOrder(t *testing.T, text string) map[string][]string {
	t.Helper()
	orders := map[string][]string{}
	d := json.NewDecoder(strings.NewReader(text))
	d.UseNumber()
	var walk func(path string)
	walk = func(path string) {
		token, err := d.Token()
		if err != nil {
			t.Fatal(err)
		}
		switch token {
		case json.Delim('{'):
			var keys []string
			for d.More() {
				key, _ := d.Token()
				keys = append(keys, key.(string))
				walk(path + "." + key.(string))
			}
			_, _ = d.Token()
			if old, seen := orders[path]; seen && fmt.Sprint(old) != fmt.Sprint(keys) && !strings.HasSuffix(path, ".grown") && path != ".warnings" {
				t.Errorf("%s has keys %v here and %v there", path, old, keys)
			}
			orders[path] = keys
		case json.Delim('['):
			for d.More() {
				walk(path)
			}
			_, _ = d.Token()
		}
	}
	walk("")
	if d.More() {
		t.Error("more than one JSON value was printed")
	}
	return orders
}

func TestForecastJSON(t *testing.T) {
	rules := readSchema(t, filepath.Join(schemaFolder, "forecast.json"))
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	shareRuns(t)
	for _, args := range []string{"forecast plan.yaml --json --replicates 40", "forecast --json --replicates 30 --seed 18446744073709551615",
		"forecast plan.yaml --json --replicates 1"} {
		got := run(t, strings.Fields(args)...)
		if got.code != exitDone || got.stderr != "" {
			t.Fatalf("%s: exit %d, stderr %q", args, got.code, got.stderr)
		}
		orders := keyOrder(t, got.stdout)
		for path, want := range map[string][]string{"": forecastKeys, ".seasons": seasonKeys, ".seasons.ledger_per_m2": ledgerKeys,
			".seasons.heads_per_m2": bandKeys, ".seasons.waited_days": bandKeys, ".provenance": provenanceKeys} {
			if fmt.Sprint(orders[path]) != fmt.Sprint(want) {
				t.Errorf("%s: keys of %q are %v, want %v", args, path, orders[path], want)
			}
		}
		var value any
		if err := json.Unmarshal([]byte(got.stdout), &value); err != nil { // refuses NaN and infinities, too
			t.Fatal(err)
		}
		if wrong := rules.check(rules.root, value, "$"); wrong != "" {
			t.Errorf("%s: %s", args, wrong)
		}
		checkSeasons(t, args, value.(map[string]any))
	}
}

// checkSeasons looks at what the schema cannot say: ledgers close, quantiles
// ascend, shares add up, counts agree.
func checkSeasons(t *testing.T, args string, document map[string]any) {
	t.Helper()
	replicates := document["replicates"].(float64)
	for i, each := range document["seasons"].([]any) {
		s := each.(map[string]any)
		l := func(key string) float64 { return s["ledger_per_m2"].(map[string]any)[key].(float64) }
		in := l("start") + l("shed") + l("brought_in")
		out := l("died") + l("eaten") + l("fatal_germination") + l("emerged") + l("carried_off") + l("end")
		if math.Abs(in-out) > 1e-9*math.Max(1, in) {
			t.Errorf("%s: season %d: %v seeds came in, %v went", args, i+1, in, out)
		}
		sum := 0.0
		for _, share := range s["grown"].(map[string]any) {
			sum += share.(float64)
		}
		if math.Abs(sum-1) > 1e-12 {
			t.Errorf("%s: season %d: shares grown add up to %v", args, i+1, sum)
		}
		planned := math.Round(replicates * s["grown"].(map[string]any)[s["crop"].(string)].(float64))
		for key, q := range s {
			band, ok := q.(map[string]any)
			if !ok || band["n"] == nil {
				continue
			}
			want := replicates
			if key == "yield_loss_fraction" || key == "yield_t_per_ha" {
				want = planned
			}
			if band["n"].(float64) != want {
				t.Errorf("%s: season %d: %s has n %v, want %v", args, i+1, key, band["n"], want)
			}
			last := math.Inf(-1)
			for _, p := range bandKeys[3:] {
				x, ok := band[p].(float64)
				if ok && x < last {
					t.Errorf("%s: season %d: %s falls at %s", args, i+1, key, p)
				}
				last = x
			}
		}
	}
}

// The same plan, seed and program give the same bytes, whatever --jobs is and
// wherever they go.
func TestForecastIsReproducible(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	one := run(t, "forecast", "plan.yaml", "--json", "--replicates", "50", "--jobs", "1")
	eight := run(t, "forecast", "--jobs", "8", "--replicates", "50", "plan.yaml", "--json", "--out", "out")
	if one.stdout != eight.stdout || one.code != exitDone {
		t.Error("--jobs 1 and --jobs 8 --out differ")
	}
	file, err := os.ReadFile("out/forecast.json")
	if err != nil || string(file) != one.stdout {
		t.Errorf("forecast.json differs from what --json prints (%v)", err)
	}
	if other := run(t, "forecast", "plan.yaml", "--json", "--replicates", "50", "--seed", "2"); other.stdout == one.stdout {
		t.Error("another seed changes nothing")
	}
}

func TestForecastFiles(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	shareRuns(t)
	got := run(t, "forecast", "plan.yaml", "--replicates", "20", "--out", "a/out", "--replicates-csv", "--quiet")
	if got.code != exitDone || got.stdout != "" || got.stderr != "" {
		t.Fatalf("exit %d, stdout %q, stderr %q; --quiet --out says nothing", got.code, got.stdout, got.stderr)
	}
	want := "a/out a/out/bands.csv a/out/bands.png a/out/bands.svg a/out/forecast.json a/out/parameters.csv a/out/provenance.json " +
		"a/out/replicates.csv a/out/report.html a/out/seed-budget.png a/out/seed-budget.svg"
	if names := strings.Join(listing(t, "a"), " "); names != want {
		t.Errorf("written: %s\nwant: %s", names, want)
	}
	for _, name := range []string{"bands", "seed-budget"} {
		data, err := os.ReadFile("a/out/" + name + ".png")
		if err != nil {
			t.Fatal(err)
		}
		if c, err := png.DecodeConfig(bytes.NewReader(data)); err != nil || c.Width < 600 {
			t.Errorf("%s.png: %v, %d wide", name, err, c.Width)
		}
		data, _ = os.ReadFile("a/out/" + name + ".svg")
		if !bytes.Contains(data, []byte("<svg")) || !bytes.Contains(data, []byte("Far Piece")) {
			t.Errorf("%s.svg has no title", name)
		}
	}
	if rows := readCSV(t, "a/out/bands.csv"); len(rows) != 1+2*9*6 {
		t.Errorf("bands.csv has %d rows; want a heading, 2 seasons × 9 metrics × 6 numbers", len(rows))
	}
	if rows := readCSV(t, "a/out/replicates.csv"); len(rows) != 1+2*20 {
		t.Errorf("replicates.csv has %d rows; want a heading, 2 seasons × 20 replicates", len(rows))
	}
}

// readCSV reads a table that a command wrote.
var readCSV = testfile.Rows

// The text fits every width from 60 columns, holds no colour in a pipe, and
// never goes without its cautions.
func TestForecastText(t *testing.T) {
	for _, columns := range []int{60, 80, 120} {
		t.Setenv("COLUMNS", fmt.Sprint(columns))
		got := run(t, "forecast", "--replicates", "30")
		if got.code != exitDone || got.stderr != "" {
			t.Fatalf("exit %d, stderr %q", got.code, got.stderr)
		}
		for _, line := range strings.Split(got.stdout, "\n") {
			if utf8.RuneCountInString(line) > columns {
				t.Errorf("%d columns: %q is wider", columns, line)
			}
		}
		plain := strings.Join(strings.Fields(got.stdout), " ")
		for _, want := range []string{"A forecast is a spread, not a promise.", "a qualified adviser rule", "planning averages", "no dose is given",
			"its field is invented", "under 10 per m² at every harvest", "per m², new seed too", "GBP/ha"} {
			if !strings.Contains(plain, want) {
				t.Errorf("%d columns: %q is missing", columns, want)
			}
		}
		if strings.Contains(got.stdout, "\x1b") || strings.Contains(got.stdout, "NaN") {
			t.Errorf("%d columns: colour or NaN in the text", columns)
		}
	}
}
