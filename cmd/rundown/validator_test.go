package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// beyondSchema are the mistakes that no schema of keys, kinds and limits can
// see, and why. Every other plan of testdata/plans/err holds a mistake of
// structure, which the schema must find, or is no YAML at all.
var beyondSchema = map[string][]string{
	"it is about dates": {"before-season", "cover-destroyed-late", "cover-latest", "cover-outside", "cultivation-after-drilling",
		"days-after-harvest", "days-before-start", "drilling-before-start", "drilling-in-summer", "herbicide-before-drilling",
		"impossible-annual-date", "impossible-date", "latest-before-date", "latest-long-after", "no-leap-year", "otherwise-next-year",
		"otherwise-too-early", "outside-season", "spray-after-drilling", "start-in-winter", "year-in-repeat",
		"contact-before-drilling", "cover-destroyed-after-drilling", "cover-latest-too-late", "cover-outside-the-season", "drilling-wished-long-before",
		"impossible-day-of-april", "impossible-full-date", "latest-before-its-date", "leap-day-in-a-full-date", "otherwise-rape-too-late", "ploughed-after-drilling",
		"cover-a-few-days-early", "harvest-too-far-back", "season-of-two-years", "spray-before-season", "spray-counted-too-far-back", "start-in-spring",
		"year-in-repeated-spray"},
	"it is about what the library has, and what can be done with it": {"days-without-drilling", "fallow-drilled", "implement-of-another-kind",
		"misspelt-crop", "norway", "rape-herbicide-in-wheat", "otherwise-misspelt", "otherwise-of-fallow", "price-of-nothing", "residual-alone",
		"resistance-group", "unknown-rotation", "unknown-cover-once-known", "unknown-weed", "wheat-for-years", "wrong-role",
		"beans-for-years", "cost-of-a-crop", "drill-as-cultivator", "fallow-with-a-drill", "otherwise-of-later-fallow", "price-of-a-herbicide", "residual-by-itself",
		"resistance-group-in-letters", "sprayed-before-no-drilling", "unknown-ready-made", "unknown-soil", "unknown-weed-code"},
	"it is about what is seen and decided, and in which order": {
		"rule-before-opening", "rule-before-start", "rule-does-not-fit", "rule-drilled-before-decide", "rule-drilled-by", "rule-facts",
		"rule-harvest-without-control", "rule-if-on-last", "rule-never-holds", "rule-no-if-first", "rule-seedbank-start", "rule-seen-late",
		"rule-shadowed", "rule-shadowed-together", "rule-unequal-years", "rule-work-before-decide"},
	"it is about what can be known of a resistance": {"resistance-carriers-of-fewer", "resistance-dna-of-many-genes",
		"resistance-one-gene-elsewhere", "resistance-tested-without-carriers"},
	"one value is held against another": {"density-low-above-high", "latitude-twice", "low-above-high", "too-many-in-all",
		"too-many-of-three", "weather-beyond"},
	"it is in the file of weather": {"weather-empty", "weather-gap", "weather-heading", "weather-missing-file", "weather-semicolons",
		"weather-short", "weather-short-climate", "weather-values"},
	"it is how YAML is written; once read it is gone": {"anchor", "octal"},
}

// TestSchemaWithAnOutsideValidator holds the schema that 'check --schema' prints
// against ajv (JSON Schema draft 2020-12) and the yaml package (YAML 1.2), which
// know nothing of this program: every good plan is valid, every plan with a
// mistake of structure is not.
func TestSchemaWithAnOutsideValidator(t *testing.T) {
	simtest.Stage(t, "schemas")
	folder := tools(t)
	plans, err := filepath.Abs("../../testdata/plans")
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(plans, "*", "*.yaml"))
	if err != nil || len(files) < 50 {
		t.Fatalf("%d plans, %v", len(files), err)
	}
	schema := filepath.Join(t.TempDir(), "schema.json")
	printed := run(t, "check", "--schema")
	if err := os.WriteFile(schema, []byte(printed.stdout), 0o644); err != nil || printed.code != exitDone {
		t.Fatal(err, printed.stderr)
	}
	var results map[string]struct {
		Verdict string
		Reasons []string
	}
	script(t, folder, &results, "validate.mjs", append([]string{schema}, files...)...)
	why := map[string]string{}
	for reason, names := range beyondSchema {
		for _, n := range names {
			why[n] = reason
		}
	}
	structural := 0
	for _, file := range files {
		got, name := results[file], strings.TrimSuffix(filepath.Base(file), ".yaml")
		switch {
		case filepath.Base(filepath.Dir(file)) == "ok":
			if got.Verdict != "valid" {
				t.Errorf("ok/%s is %s: %q", name, got.Verdict, got.Reasons)
			}
		case why[name] != "":
			if got.Verdict != "valid" {
				t.Errorf("err/%s is %s (%q), though %s: it belongs to the mistakes of structure", name, got.Verdict, got.Reasons, why[name])
			}
		case got.Verdict == "valid":
			t.Errorf("err/%s is valid; its mistake is not among those beyond a schema", name)
		default:
			structural++
		}
		delete(why, name)
	}
	for name := range why {
		t.Errorf("there is no plan err/%s", name)
	}
	t.Logf("%d plans, %d of them with mistakes of structure", len(files), structural)
}
