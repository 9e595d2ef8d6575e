package main

import (
	"encoding/json"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// What a reader must know before acting is said, with its code, and not said
// where it does not hold. All fields are invented.
func TestForecastWarnings(t *testing.T) {
	rules := readSchema(t, filepath.Join(schemaFolder, "forecast.json"))
	const field = "field: {name: Far Piece, area_ha: 0.5, soil: sandy-loam, climate: east-lowland}\n"
	for _, c := range []struct {
		why, plan  string
		replicates string
		has, lacks []string
	}{
		{"nothing to say of a crop that needs no drilling, where there is no weed",
			field + "weed: {species: sterile-brome, start: 2026-08-01, heads_per_m2: 0}\nseasons: [{crop: fallow}]\n", "20",
			[]string{"weed-free-start"}, []string{"died-out", "planned-crop-not-drilled", "cover-not-modelled", "resistance", "starter-plan", "ledger"}},
		{"a drilling day that can hardly be met, few seeds, few runs",
			field + "weed: {species: wild-oat, start: 2026-09-01, seedbank_per_m2: {0-5: 0.001}}\nseasons: [{crop: spring-barley, drill: {date: 1 Feb, latest: 1 Feb}, otherwise: fallow}]\n", "60",
			[]string{"planned-crop-not-drilled", "died-out"}, []string{"weed-free-start", "ledger", "no-fallback"}},
		{"a crop that waits on heavy land with nothing to follow it",
			strings.Replace(field, "sandy-loam", "clay", 1) + "weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 30}\nseasons: [{crop: winter-wheat, drill: {date: 5 Nov, latest: 20 Nov}}]\n", "60",
			[]string{"no-fallback"}, []string{"planned-crop-not-drilled", "ledger"}},
		{"a cover, resistance, an uncertain count",
			field + "weed: {species: black-grass, start: 2026-08-01, heads_per_m2: {low: 1, high: 90}, resistance: {\"2\": 0.5}}\n" +
				"seasons: [{crop: spring-barley, cover: {mix: oat-bean-pea, sow: 12 Oct, destroy: 25 Jan}}]\n", "30",
			[]string{"cover-not-modelled", "resistance", "start-uncertain", "tails-uncertain"}, []string{"weed-free-start", "died-out", "ledger"}},
		{"hands sent among far too many weeds",
			field + "weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 30}\nseasons: [{crop: winter-wheat, herbicides: [], in_crop: [{date: 8 Jun, with: hand-rogue}]}]\n", "60",
			[]string{"too-many-to-pull"}, []string{"weed-free-start", "died-out", "ledger"}},
		{"hands sent after the last few",
			field + "weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 0.01}\nseasons: [{crop: winter-wheat, in_crop: [{date: 8 Jun, with: hand-rogue}]}]\n", "60",
			nil, []string{"too-many-to-pull", "ledger"}},
	} {
		inFolder(t, map[string]string{"plan.yaml": c.plan})
		got := run(t, "forecast", "plan.yaml", "--json", "--replicates", c.replicates)
		if got.code != exitDone {
			t.Errorf("%s: exit %d, %s", c.why, got.code, got.stderr)
			continue
		}
		var value any
		var document struct{ Warnings []struct{ Code, Text string } }
		if err := json.Unmarshal([]byte(got.stdout), &value); err != nil {
			t.Fatal(err)
		}
		if wrong := rules.check(rules.root, value, "$"); wrong != "" {
			t.Errorf("%s: %s", c.why, wrong)
		}
		_ = json.Unmarshal([]byte(got.stdout), &document) // read above
		var codes []string
		text := strings.Join(strings.Fields(run(t, "forecast", "plan.yaml", "--replicates", c.replicates).stdout), " ")
		for _, w := range document.Warnings {
			codes = append(codes, w.Code)
			if !strings.Contains(text, w.Text) {
				t.Errorf("%s: the text lacks the note %q", c.why, w.Text)
			}
		}
		// Facts of the trade (common practice, no source) of which the model has no number.
		for _, word := range []string{"slugs", "rolling", "nitrogen"} {
			if named := strings.Contains(text, word); named != slices.Contains(c.has, "cover-not-modelled") {
				t.Errorf("%s: %s named: %v", c.why, word, named)
			}
		}
		for _, code := range c.has {
			if !slices.Contains(codes, code) {
				t.Errorf("%s: %v lacks %s", c.why, codes, code)
			}
		}
		for _, code := range c.lacks {
			if slices.Contains(codes, code) {
				t.Errorf("%s: %v has %s", c.why, codes, code)
			}
		}
	}
}
