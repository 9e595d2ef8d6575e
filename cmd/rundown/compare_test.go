package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// comparedPlans are four plans of one invented field: two that differ only in
// the fourth season, one that differs from the first, and one on other soil.
func comparedPlans(t *testing.T) {
	const head = `field: {name: Far Piece, area_ha: 7, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 30}
seasons:
`
	const wheat, barley = "  - crop: winter-wheat\n", "  - crop: spring-barley\n"
	inFolder(t, map[string]string{
		"wheat.yaml":  head + strings.Repeat(wheat, 5),
		"turn.yaml":   head + strings.Repeat(wheat, 3) + barley + wheat,
		"spring.yaml": head + strings.Repeat(barley+wheat, 2),
		"sand.yaml":   strings.Replace(head, "soil: clay", "soil: sandy-loam", 1) + wheat,
		"again.yaml":  head + strings.Repeat(wheat, 5),
	})
}

// document runs a command and gives its JSON, checked against its schema.
func document(t *testing.T, schema, args string) map[string]any {
	t.Helper()
	got := run(t, strings.Fields(args)...)
	if got.code != exitDone || got.stderr != "" {
		t.Fatalf("%s: exit %d, stderr %q", args, got.code, got.stderr)
	}
	keyOrder(t, got.stdout)
	var value map[string]any
	if err := json.Unmarshal([]byte(got.stdout), &value); err != nil { // refuses NaN and infinities, too
		t.Fatal(err)
	}
	rules := parseSchema(t, []byte(schema))
	if wrong := rules.check(rules.root, any(value), "$"); wrong != "" {
		t.Errorf("%s: %s", args, wrong)
	}
	return value
}

func schemaText(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(schemaFolder, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// numbersUnder calls f with every number below a key of that name.
func numbersUnder(key string, value any, f func(path string, x float64)) {
	var walk func(path string, v any, under bool)
	walk = func(path string, v any, under bool) {
		switch v := v.(type) {
		case map[string]any:
			for k, w := range v {
				walk(path+"."+k, w, under || k == key)
			}
		case []any:
			for i, w := range v {
				walk(fmt.Sprintf("%s[%d]", path, i), w, under)
			}
		case float64:
			if under {
				f(path, v)
			}
		}
	}
	walk("$", value, false)
}

// A plan against itself differs by exactly zero, everywhere.
func TestCompareWithItself(t *testing.T) {
	schema := schemaText(t, "compare.json")
	comparedPlans(t)
	got := document(t, schema, "compare wheat.yaml again.yaml wheat.yaml --json --replicates 60")
	seen := 0
	numbersUnder("difference", got["plans"], func(path string, x float64) {
		want := 0.0
		switch {
		case strings.HasSuffix(path, ".zero"):
			want = 1
		case strings.HasSuffix(path, ".n"):
			return
		}
		if x != want {
			t.Errorf("%s is %v, expected %v", path, x, want)
		}
		seen++
	})
	if seen < 3*5*6*7 {
		t.Errorf("only %d numbers under difference", seen)
	}
	for _, p := range got["plans"].([]any) {
		plan := p.(map[string]any)
		if better := fmt.Sprint(plan["better"]); better != "map[both:0.5 fewer_heads:0.5 more_margin:0.5]" || plan["variance_ratio"] != nil ||
			plan["variance_ratio_margin"] != nil {
			t.Errorf("%v: better %v, variance ratios %v and %v", plan["name"], better, plan["variance_ratio"], plan["variance_ratio_margin"])
		}
	}
	if text := fmt.Sprint(got["warnings"]); strings.Contains(text, "ranking-within-error") {
		t.Errorf("equal plans are no unsettled ranking: %s", text)
	}
}

// Two plans that differ only after season 3 agree to the byte before it.
func TestCompareAgreesUntilPlansDiffer(t *testing.T) {
	schema := schemaText(t, "compare.json")
	comparedPlans(t)
	got := document(t, schema, "compare wheat.yaml turn.yaml --json --replicates 60")
	seasons := func(plan int) []any { return got["plans"].([]any)[plan].(map[string]any)["seasons"].([]any) }
	for i := range 5 {
		a, b := seasons(0)[i].(map[string]any), seasons(1)[i].(map[string]any)
		x, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		y, err := json.Marshal(b)
		if err != nil {
			t.Fatal(err)
		}
		if same := string(x) == string(y); same != (i < 3) {
			t.Errorf("season %d: same %v", i+1, same)
		}
	}
}

func TestCompareRefuses(t *testing.T) {
	comparedPlans(t)
	for _, c := range []struct {
		args, want string
		code       int
	}{
		{"compare wheat.yaml", "something is missing: rundown compare PLAN PLAN …", exitUsage},
		{"compare" + strings.Repeat(" wheat.yaml", 9), "is one argument too many", exitUsage},
		{"compare wheat.yaml turn.yaml --threshold-heads -1", "--threshold-heads -1: expected a number from 0.001 to", exitUsage},
		{"compare wheat.yaml sand.yaml", "sand.yaml:1:44: field.soil is sandy-loam, but clay in wheat.yaml:1:44; plans that are compared share field, " +
			"weed and start", exitInput},
		{"compare wheat.yaml nothing.yaml", "nothing.yaml", exitInput},
	} {
		got := run(t, strings.Fields(c.args)...)
		if got.code != c.code || got.stdout != "" || !strings.Contains(got.stderr, c.want) {
			t.Errorf("%s: exit %d (want %d), stdout %d bytes, stderr %q, expected %q", c.args, got.code, c.code, len(got.stdout), got.stderr, c.want)
		}
	}
}

func TestCompareFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("draws every picture")
	}
	schema := schemaText(t, "compare.json")
	comparedPlans(t)
	args := "compare wheat.yaml spring.yaml turn.yaml --replicates 50 --threshold-heads 25 --json --jobs "
	one := run(t, strings.Fields(args+"1 --out out")...)
	if two := run(t, strings.Fields(args+"2")...); one.stdout != two.stdout || one.code != exitDone {
		t.Error("--jobs changes the result")
	}
	if want := "[compare.csv compare.json decision.png decision.svg heads.png heads.svg margin.png margin.svg provenance.json report.html " +
		"seedbank.png seedbank.svg]"; fmt.Sprint(baseNames(listing(t, "out"))) != want {
		t.Errorf("files %v", listing(t, "out"))
	}
	got := document(t, schema, args+"1")
	if got["threshold_heads_per_m2"] != 25.0 || !strings.Contains(fmt.Sprint(got["warnings"]), "plans-differ-in-length") {
		t.Errorf("threshold %v, warnings %v", got["threshold_heads_per_m2"], got["warnings"])
	}
	comparedToTheCommonEnd(t, got)
	f, err := os.Open("out/compare.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 1000 || strings.Join(rows[0], ",") != "plan,season,metric,unit,comparison,quantile,estimate" {
		t.Errorf("%d rows, heading %v, %v", len(rows), rows[0], err)
	}
	for _, r := range rows[1:] { // the first plan against itself
		if r[0] == "wheat" && r[4] == "difference" && r[6] != "0" {
			t.Fatalf("the first plan differs from itself: %v", r)
		}
	}
}

// comparedToTheCommonEnd checks that plans of five, four and five seasons are set
// against each other at the fourth harvest, and that margins so far are sums.
func comparedToTheCommonEnd(t *testing.T, got map[string]any) {
	t.Helper()
	if got["compared_to_harvest"] != 2030.0 {
		t.Errorf("compared to harvest %v, the shortest plan ends in 2030", got["compared_to_harvest"])
	}
	mean := func(q any) float64 { return q.(map[string]any)["mean"].(float64) }
	for _, p := range got["plans"].([]any) {
		plan := p.(map[string]any)
		sum := 0.0
		for i, s := range plan["seasons"].([]any) {
			season := s.(map[string]any)
			if sum += mean(season["margin_per_ha"]); math.Abs(sum-mean(season["cumulative_margin_per_ha"])) > 1e-6 {
				t.Errorf("%v, season %d: mean margins add up to %v, so far %v", plan["name"], i+1, sum, season["cumulative_margin_per_ha"])
			}
			if i != 3 {
				continue
			}
			for whole, at := range map[string]string{"cumulative_margin_per_ha": "cumulative_margin_per_ha", "better": "better"} {
				if fmt.Sprint(plan[whole]) != fmt.Sprint(season[at]) {
					t.Errorf("%v: %s is %v, in the season compared %v", plan["name"], whole, plan[whole], season[at])
				}
			}
			heads := season["difference"].(map[string]any)["heads_per_m2"]
			if end := plan["final_heads_difference"].(map[string]any)["difference"]; fmt.Sprint(end) != fmt.Sprint(heads) {
				t.Errorf("%v: difference of heads %v, in the season compared %v", plan["name"], end, heads)
			}
			if math.Abs(4*mean(plan["mean_margin_per_ha"])-sum) > 1e-6 {
				t.Errorf("%v: mean margin %v, the first four add up to %v", plan["name"], plan["mean_margin_per_ha"], sum)
			}
		}
	}
}

func baseNames(paths []string) []string {
	var out []string
	for _, p := range paths {
		out = append(out, filepath.Base(p))
	}
	return out
}

// Few runs of plans that hardly differ: the ranking is within error, and it is said how
// many would settle it. The text says what a person wants to know.
func TestCompareText(t *testing.T) {
	comparedPlans(t)
	text, err := os.ReadFile("wheat.yaml")
	if err != nil {
		t.Fatal(err)
	}
	near := strings.Replace(string(text), "  - crop: winter-wheat\n", "  - {crop: winter-wheat, drill: {date: 26 Sep}}\n", 1)
	if err := os.WriteFile("near.yaml", []byte(near), 0o644); err != nil {
		t.Fatal(err)
	}
	got := run(t, "compare", "wheat.yaml", "near.yaml", "spring.yaml", "--replicates", "8", "--full")
	for _, want := range []string{"Far Piece: 3 plans compared", "Spring is cleanest: it ends with", "ithin the error of 8 runs",
		"Where each plan leads", "Against wheat, run by run",
		"Control from all causes", "needed", "Heads, season by season", "Margin, season by season", "Margin so far", "How often better than wheat",
		"less wheat", "Pairing worth"} {
		if !strings.Contains(strings.Join(strings.Fields(got.stdout), " "), want) {
			t.Errorf("the text does not say %q:\n%s", want, got.stdout)
		}
	}
	if err := os.WriteFile("copy.yaml", text, 0o644); err != nil {
		t.Fatal(err)
	}
	if got := run(t, "compare", "wheat.yaml", "copy.yaml", "--replicates", "8"); !strings.Contains(got.stdout, "The plans cannot be told apart") ||
		strings.Contains(got.stdout, "best on both") {
		t.Errorf("a plan against its copy:\n%s", got.stdout)
	}
}

// Of three plans or more the answer says what all of them earn, in order, as the JSON has it, and
// what each leaves in the soil.
func TestCompareTellsTheOrderOfAll(t *testing.T) {
	comparedPlans(t)
	got := run(t, strings.Fields("compare wheat.yaml turn.yaml spring.yaml --replicates 60 --json")...)
	a, all := answerOf(t, got.stdout)
	var money, seed string
	for _, s := range a.Sentences {
		if strings.Contains(s, " earns most, about ") || strings.Contains(s, " comes first by margin, about ") {
			money = s
		}
		if strings.Contains(s, " seeds per m²; ") || strings.HasPrefix(s, "Seeds per m² at the end") {
			seed = s
		}
	}
	type earner struct {
		name string
		mean float64
	}
	var plans []earner
	for _, p := range all["plans"].([]any) {
		plan := p.(map[string]any)
		plans = append(plans, earner{plan["name"].(string), plan["mean_margin_per_ha"].(map[string]any)["mean"].(float64)})
	}
	slices.SortFunc(plans, func(a, b earner) int { return int(b.mean - a.mean) })
	at := -1
	for _, p := range plans {
		where := strings.Index(strings.ToLower(money), p.name)
		told := fmt.Sprintf("%.0f", math.Round(p.mean/10)*10)
		if where <= at || !strings.Contains(money[where:], told) {
			t.Errorf("%s earns %v, expected %s in its place in %q", p.name, p.mean, told, money)
		}
		if at = where; !strings.Contains(strings.ToLower(seed), p.name) {
			t.Errorf("%s is not in %q", p.name, seed)
		}
	}
}
