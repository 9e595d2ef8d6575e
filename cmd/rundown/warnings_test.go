package main

import (
	"encoding/json"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const smallField = "field: {name: Far Piece, area_ha: 0.5, soil: sandy-loam, climate: east-lowland}\n"

// warned are plans with the warnings that they have, and some that they have not.
var warned = []struct {
	why, plan  string
	replicates string
	has, lacks []string
}{
	{"nothing to say of a crop that needs no drilling, where there is no weed",
		smallField + "weed: {species: sterile-brome, start: 2026-08-01, heads_per_m2: 0}\nseasons: [{crop: fallow}]\n", "20",
		[]string{"weed-free-start"}, []string{"died-out", "planned-crop-not-drilled", "cover-not-modelled", "resistance", "starter-plan", "ledger"}},
	{"a drilling day that can hardly be met, few seeds, few runs",
		smallField + "weed: {species: wild-oat, start: 2026-09-01, seedbank_per_m2: {0-5: 0.001}}\nseasons: [{crop: spring-barley, drill: {date: 1 Feb, " +
			"latest: 1 Feb}, otherwise: fallow}]\n", "60",
		[]string{"planned-crop-not-drilled", "died-out"}, []string{"weed-free-start", "ledger", "no-fallback"}},
	{"a crop that waits on heavy land with nothing to follow it",
		strings.Replace(smallField, "sandy-loam", "clay", 1) +
			"weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 30}\nseasons: [{crop: winter-wheat, drill: {date: 5 Nov, latest: 20 Nov}}]\n", "60",
		[]string{"no-fallback"}, []string{"planned-crop-not-drilled", "ledger"}},
	{"a cover, resistance, an uncertain count",
		smallField + "weed: {species: black-grass, start: 2026-08-01, heads_per_m2: {low: 1, high: 90}, resistance: {\"2\": 0.5}}\n" +
			"seasons: [{crop: spring-barley, cover: {mix: oats-legumes, sow: 12 Oct, destroy: 25 Jan}}]\n", "30",
		[]string{"cover-not-modelled", "resistance", "start-uncertain", "tails-uncertain"}, []string{"weed-free-start", "died-out", "ledger"}},
	{"hands sent among far too many weeds",
		smallField + "weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 30}\nseasons: [{crop: winter-wheat, herbicides: [], in_crop: [{date: " +
			"8 Jun, with: hand-rogue}]}]\n", "60",
		[]string{"too-many-to-pull"}, []string{"weed-free-start", "died-out", "ledger"}},
	{"hands sent after the last few",
		smallField + "weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 0.01}\nseasons: [{crop: winter-wheat, in_crop: [{date: 8 Jun, with: " +
			"hand-rogue}]}]\n", "60",
		nil, []string{"too-many-to-pull", "ledger"}},
}

// What a reader must know before acting is said, with its code, and not said
// where it does not hold. All fields are invented.
func TestForecastWarnings(t *testing.T) {
	rules := readSchema(t, filepath.Join(schemaFolder, "forecast.json"))
	for _, c := range warned {
		inFolder(t, map[string]string{"plan.yaml": c.plan})
		shareRuns(t)
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

// What a plan itself gives to think over, and that it names nothing to grow where a crop
// cannot be drilled, is said wherever the plan is run; in a comparison with the plan's
// name. Seasons that are alike are told together, each still in the JSON.
func TestWarningsOfThePlanEverywhere(t *testing.T) {
	inFull(t)
	const head = "field: {name: Far Piece, area_ha: 0.5, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, " +
		"heads_per_m2: 30}\nseasons:\n"
	const sprays = "herbicides: [{programme: autumn-residual-stack, days_after_drilling: 2}, {programme: autumn-residual-single, days_after_drilling: 20}, " +
		"{programme: autumn-residual-single, days_after_drilling: 40}]"
	odd := head + "  - {crop: winter-wheat, drill: {date: 5 Nov, latest: 20 Nov}, " + sprays + "}\n" +
		"  - {crop: spring-barley, cover: {mix: mustard, sow: 10 Sep, destroy: 25 Jan}, spray_off: [24 Jan], otherwise: fallow}\nrepeat: 2\n"
	sound := head + "  - {crop: winter-wheat, otherwise: fallow}\n  - {crop: spring-barley, otherwise: fallow}\nrepeat: 2\n"
	inFolder(t, map[string]string{"odd.yaml": odd, "sound.yaml": sound})
	shareRuns(t)
	for args, named := range map[string]string{
		"forecast odd.yaml --replicates 60":                                               "",
		"compare sound.yaml odd.yaml --replicates 60":                                     "odd: ",
		"drilling odd.yaml --from 2026-10-20 --to 2026-11-19 --every 15d --replicates 40": "",
	} {
		got := run(t, append(strings.Fields(args), "--json")...)
		var document struct{ Warnings []struct{ Code, Text string } }
		if err := json.Unmarshal([]byte(got.stdout), &document); err != nil {
			t.Fatalf("%s: exit %d, %s", args, got.code, got.stderr)
		}
		times := map[string]int{}
		for _, w := range document.Warnings {
			if slices.Contains([]string{"sprayed-often", "cover-sprayed-off", "no-fallback"}, w.Code) {
				times[w.Code]++
				if !strings.HasPrefix(w.Text, named) {
					t.Errorf("%s: %q does not begin with %q", args, w.Text, named)
				}
			}
		}
		missed := 2
		if strings.HasPrefix(args, "drilling") {
			missed = 1 // about the dates, not the seasons
		}
		if times["sprayed-often"] != 2 || times["cover-sprayed-off"] != 2 || times["no-fallback"] != missed {
			t.Errorf("%s: %v", args, times)
		}
		text := strings.Join(strings.Fields(run(t, strings.Fields(args)...).stdout), " ")
		for _, want := range []string{"Sprayed a third time in one season; labels seldom allow so many", named +
			"residual-15-oxyacetamide in season 1 (winter-wheat) (odd.yaml:", ", and 1 more like it",
			"A burn-off kills the cover while it was to stand", named + "in season 2 (spring-barley) on 24 Jan 2028 (odd.yaml:", "names nothing to grow"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s lacks %q:\n%s", args, want, text)
			}
		}
	}
	for _, args := range []string{"forecast sound.yaml", "compare sound.yaml sound.yaml", "drilling sound.yaml --every 30d"} {
		got := run(t, append(strings.Fields(args), "--json", "--replicates", "20")...)
		if got.code != exitDone || strings.Contains(got.stdout, "sprayed-often") || strings.Contains(got.stdout, "cover-sprayed-off") ||
			strings.Contains(got.stdout, "no-fallback") {
			t.Errorf("%s: exit %d, warns of what the plan does not do\n%s", args, got.code, got.stderr)
		}
	}
}
