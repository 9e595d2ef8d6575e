package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// smallCounts is what was found in two invented walks over smallPlan's field.
const smallCounts = `date,zone,kind,quadrat_m2,count,depth_cm
2026-10-05,whole,core-seedlings,0.005,3,10
2026-10-05,whole,core-seedlings,0.005,1,10
2026-10-05,whole,core-seedlings,0.005,6,10
2027-04-12,whole,plants,0.25,2,
2027-04-12,whole,plants,0.25,0,
2027-04-12,whole,plants,0.25,7,
2027-04-12,whole,plants,0.25,3,
2027-06-14,whole,heads,0.25,6,
2027-06-14,whole,heads,0.25,1,
2027-06-14,whole,heads,0.25,11,
`

// wrongCounts are files of counts with something wrong, by name.
func wrongCounts() map[string]string {
	row := func(s string) string {
		return "date,zone,kind,quadrat_m2,count,depth_cm\n2027-04-12,whole,plants,0.25,2,\n" + s + "\n"
	}
	return map[string]string{
		"negative.csv": row("2027-04-12,whole,plants,0.25,-2,"), "fraction.csv": row("2027-04-12,whole,plants,0.25,2.5,"),
		"area.csv": row("2027-04-12,whole,plants,0,2,"),
		"date.csv": row("2027-04-31,whole,plants,0.25,2,"), "outside.csv": row("2026-07-31,whole,plants,0.25,2,") + "2028-12-01,whole,plants,0.25,2,\n",
		"kind.csv":  row("2027-04-12,whole,plant,0.25,2,"),
		"depth.csv": row("2027-04-12,whole,core-seedlings,0.005,2,"), "empty.csv": "date,zone,kind,quadrat_m2,count\n",
	}
}

func updateFolder(t *testing.T) {
	t.Helper()
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "counts.csv": smallCounts,
		"later.yaml":   strings.Replace(smallPlan, "spring-barley\n", "spring-barley\n    drill: {date: 10 Apr}\n", 1),
		"earlier.yaml": strings.Replace(smallPlan, "winter-wheat\n", "winter-wheat\n    drill: {date: 20 Oct}\n", 1)})
}

// The JSON holds to its schema, bands narrow, and what goes on from the posterior
// has, on the days of the counts, exactly the bands that the update found.
func TestUpdateAndGoOn(t *testing.T) {
	numbersAlone(t)
	inFull(t)
	schema := map[string]string{}
	for _, name := range []string{"update", "forecast", "compare", "drilling"} {
		schema[name] = schemaText(t, name+".json")
	}
	updateFolder(t)
	shareRuns(t)
	v := document(t, schema["update"], "update plan.yaml counts.csv --json --replicates 60 --posterior p.json")
	if v["last_count"] != "2027-06-14" || len(v["counted"].([]any)) != 3 || len(v["seasons"].([]any)) != 2 {
		t.Errorf("last count %v, %d counts", v["last_count"], len(v["counted"].([]any)))
	}
	f := document(t, schema["forecast"], "forecast plan.yaml --json --posterior p.json")
	if f["replicates"] != 60.0 {
		t.Errorf("%v runs go on from 60 histories", f["replicates"])
	}
	goneOn := f["posterior"].(map[string]any)["counted"].([]any)
	if len(goneOn) != 3 {
		t.Fatalf("%d counts are gone on from, there are 3", len(goneOn))
	}
	sameCounts(t, v, goneOn)
	for i, s := range v["seasons"].([]any) {
		for name, q := range f["seasons"].([]any)[i].(map[string]any) {
			if now, ok := s.(map[string]any)["after"].(map[string]any)[name]; ok && !reflect.DeepEqual(now, q) {
				t.Errorf("season %d: %s is %v in the update, %v in the forecast that goes on", i+1, name, now, q)
			}
		}
	}
	before := document(t, schema["forecast"], "forecast plan.yaml --json --replicates 60")
	for i, s := range v["seasons"].([]any) {
		if then := s.(map[string]any)["before"].(map[string]any); !reflect.DeepEqual(then["heads_per_m2"],
			before["seasons"].([]any)[i].(map[string]any)["heads_per_m2"]) {
			t.Errorf("season %d: before the counts heads are %v, in a forecast %v", i+1, then["heads_per_m2"], before["seasons"].([]any)[i])
		}
	}
	c := document(t, schema["compare"], "compare plan.yaml later.yaml --json --posterior p.json --replicates 60")
	plans := c["plans"].([]any)
	first := func(p any) any {
		return p.(map[string]any)["seasons"].([]any)[0].(map[string]any)["heads_per_m2"]
	}
	if !reflect.DeepEqual(first(plans[0]), first(plans[1])) {
		t.Errorf("plans that part after the count differ before it: %v, %v", first(plans[0]), first(plans[1]))
	}
	d := document(t, schema["drilling"], "drilling plan.yaml --json --posterior p.json --replicates 60 --every 28d")
	for name, v := range map[string]map[string]any{"compare": c, "drilling": d} {
		if then := v["posterior"].(map[string]any)["counted"]; !reflect.DeepEqual(then, any(goneOn)) {
			t.Errorf("%s has on the days of the counts %v, the forecast %v", name, then, goneOn)
		}
	}
	if d["season"] != 2028.0 || d["crossover"] != nil || d["posterior"] == nil {
		t.Errorf("season %v, crossover %v, posterior %v", d["season"], d["crossover"], d["posterior"])
	}
	if got := run(t, "drilling", "plan.yaml", "--posterior", "p.json", "--replicates", "20", "--every", "14d", "--out", "d", "--quiet"); got.code != exitDone {
		t.Errorf("exit %d, %s", got.code, got.stderr)
	}
}

// sameCounts holds what a forecast that goes on had on the days of the counts against the update.
func sameCounts(t *testing.T, v map[string]any, goneOn []any) {
	t.Helper()
	for i, kind := range []string{"seed", "plants", "heads"} {
		a, b := v["counted"].([]any)[i].(map[string]any), goneOn[i].(map[string]any)
		if b["kind"] != kind || i > 0 && !reflect.DeepEqual(a["after"], b["per_m2"]) {
			t.Errorf("count %d of %s: the update has %v, the forecast that goes on %v", i+1, kind, a["after"], b["per_m2"])
		}
		// Of cores the update has what germinates, a share of 0.3 to 0.9 of the seed.
		shown, seed := a["after"].(map[string]any)["mean"].(float64), b["per_m2"].(map[string]any)["mean"].(float64)
		if i == 0 && !(shown > 0.3*seed && shown < 0.9*seed) {
			t.Errorf("count %d: %v seedlings from cores per m² of %v seeds", i+1, shown, seed)
		}
	}
}

// Wrong input to an update and to what goes on from it: exit 3, the reason and its
// line on standard error, nothing on standard output and no file.
func TestUpdateRefuses(t *testing.T) {
	numbersAlone(t)
	updateFolder(t)
	if got := run(t, "update", "plan.yaml", "counts.csv", "--replicates", "20", "--posterior", "p.json", "--quiet", "--out", "o"); got.code != exitDone {
		t.Fatal(got.stderr)
	}
	whole, err := os.ReadFile("p.json")
	if err != nil {
		t.Fatal(err)
	}
	files := wrongCounts()
	maps.Copy(files, map[string]string{
		"short.json": string(whole[:len(whole)/2]), "nan.json": strings.Replace(string(whole), `"theta":[`, `"theta":[NaN,`, 1),
		"weights.json": strings.Replace(string(whole), `"weight":`, `"weight":0.5,"x":`, 1),
		"edited.json":  strings.Replace(string(whole), `"seed": 1,`, `"seed": 2,`, 1),
		"seed.json":    sealed(strings.Replace(string(whole), `"seed": 1,`, `"seed": 2,`, 1)),
		"library.json": sealed(strings.Replace(string(whole), `"library_sha256": "`, `"library_sha256": "0`, 1)),
	})
	for name, text := range files {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct{ args, want string }{
		{"update plan.yaml negative.csv", "negative.csv:3:30: found \"-2\" for \"count\"; expected a whole number"},
		{"update plan.yaml fraction.csv", "fraction.csv:3:30: found \"2.5\" for \"count\""},
		{"update plan.yaml area.csv", "area.csv:3:25: found \"0\" for \"quadrat_m2\""},
		{"update plan.yaml date.csv", "date.csv:3:1:"},
		{"update plan.yaml outside.csv", "outside.csv:3:1: 2026-07-31 is outside the plan, which goes from 2026-08-01 to 2028-08-"},
		{"update plan.yaml outside.csv", "outside.csv:4:1: 2028-12-01 is outside the plan"},
		{"update plan.yaml kind.csv", "kind.csv:3:18:"},
		{"update plan.yaml depth.csv", "depth.csv:3:18: core-seedlings need depth_cm"},
		{"update plan.yaml empty.csv", "empty.csv:1: the file has no counts"},
		{"update plan.yaml none.csv", "none.csv: there is no such file"},
		{"update plan.yaml counts.csv --zone north", "--zone north: counts.csv has no counts of that zone"},
		{"forecast plan.yaml --posterior none.json", "none.json: there is no such file"},
		{"forecast plan.yaml --posterior short.json", ": the file ends early: it was cut short"},
		{"forecast plan.yaml --posterior nan.json", "NaN and infinities are no numbers here"},
		{"forecast plan.yaml --posterior weights.json", `unknown field "x"`},
		{"forecast plan.yaml --posterior library.json", "it was made with other values: the library's sha256"},
		{"forecast plan.yaml --posterior edited.json", "it was changed after 'rundown update' wrote it"},
		{"forecast plan.yaml --posterior seed.json", "do not come out as they were kept"},
		{"forecast earlier.yaml --posterior p.json", "only this plan has: harvest 2027: winter-wheat drilled 2026-10-20"},
		{"compare plan.yaml earlier.yaml --posterior p.json", "earlier.yaml does not go on from p.json: up to the last count, on 14 Jun 2027, it does other things"},
		{"compare plan.yaml earlier.yaml --posterior p.json", "Change only what comes after 14 Jun 2027, or run 'rundown update' with this plan"},
		{"drilling plan.yaml --season 2027 --posterior p.json --from 2026-09-20 --to 2026-10-20", "does not go on from p.json"},
	} {
		got := run(t, strings.Fields(c.args)...)
		if got.code != exitInput || got.stdout != "" || !strings.Contains(got.stderr, c.want) {
			t.Errorf("%s: exit %d, stdout %q, stderr %q; want exit %d and %q", c.args, got.code, got.stdout, got.stderr, exitInput, c.want)
		}
	}
}

// sealed gives an edited posterior the sum of what it now holds, as another program
// that writes them would.
func sealed(text string) string {
	held := text[:strings.LastIndex(text, ",\n \"sha256\"")]
	return held + ",\n \"sha256\": \"" + sha256Of([]byte(held)) + "\"}\n"
}

// Wrong use of update and of what goes on from it.
func TestUpdateWrongUse(t *testing.T) {
	updateFolder(t)
	for args, want := range map[string]string{
		"update plan.yaml": "something is missing: rundown update PLAN COUNTS", "update plan.yaml counts.csv --replicates 3": "give at least 20",
		"forecast plan.yaml --posterior p.json --seed 4": "--seed and --posterior do not go together",
	} {
		if got := run(t, strings.Fields(args)...); got.code != exitUsage || !strings.Contains(got.stderr, want) {
			t.Errorf("%s: exit %d, %q; want %q", args, got.code, got.stderr, want)
		}
	}
}

// A season before the last count is past: whoever asks to move it is told so, and what to write.
func TestDrillingOfAPastSeason(t *testing.T) {
	updateFolder(t)
	if got := run(t, strings.Fields("update plan.yaml counts.csv --replicates 30 --posterior p.json")...); got.code != exitDone {
		t.Fatal(got.stderr)
	}
	for args, want := range map[string][]string{
		"--from 2026-09-20 --to 2026-10-20": {"is past for these counts, the last of which is of 14 Jun 2027", "that for harvest 2028", "write --from 2027-09-20"},
		"--season 2027":                     {"harvest 2027 is past for these counts", "on 14 Jun 2027", "name a harvest that is drilled later"},
	} {
		got := run(t, strings.Fields("drilling plan.yaml --posterior p.json "+args)...)
		for _, w := range want {
			if got.code != exitUsage || !strings.Contains(got.stderr, w) {
				t.Errorf("%s: exit %d, %q; want %q", args, got.code, got.stderr, w)
			}
		}
	}
}

// Equal bytes whatever --jobs is and wherever the results go; every file is there.
func TestUpdateFiles(t *testing.T) {
	updateFolder(t)
	shareRuns(t)
	one := run(t, "update", "plan.yaml", "counts.csv", "--json", "--replicates", "30", "--jobs", "1", "--posterior", "one.json")
	many := run(t, "update", "plan.yaml", "counts.csv", "--json", "--replicates", "30", "--jobs", "5", "--posterior", "a/many.json", "--out", "out", "--quiet")
	if one.code != exitDone || one.stdout != many.stdout {
		t.Errorf("--jobs changes the result (exit %d, %d; %s)", one.code, many.code, many.stderr)
	}
	a, _ := os.ReadFile("one.json")
	b, err := os.ReadFile("a/many.json")
	if err != nil || string(a) != string(b) || len(a) == 0 {
		t.Errorf("--jobs changes the posterior (%v)", err)
	}
	want := "out/counted.csv out/counted.png out/counted.svg out/moved.csv out/moved.png out/moved.svg out/provenance.json out/report.html " +
		"out/update.csv out/update.json out/updated.png out/updated.svg"
	if names := strings.Join(listing(t, "out"), " "); names != want {
		t.Errorf("written: %s\nwant: %s", names, want)
	}
	if rows := readCSV(t, "out/update.csv"); len(rows) != 1+2*2*8*6 {
		t.Errorf("update.csv has %d rows; want a heading, 2 seasons × before and after × 8 metrics × 6 numbers", len(rows))
	}
	if rows := readCSV(t, "out/counted.csv"); len(rows) != 1+3*2*6 {
		t.Errorf("counted.csv has %d rows; want a heading, 3 counts × before and after × 6 numbers", len(rows))
	}
	if file, err := os.ReadFile("out/update.json"); err != nil || string(file) != many.stdout {
		t.Errorf("update.json is not what --json prints (%v)", err)
	}
}

// A count beyond the model, one beyond what earlier counts left, thin counts and
// zones taken together are warned of; an ordinary count is not.
func TestUpdateWarns(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	updateFolder(t)
	shareRuns(t)
	many := func(date, zone, kind string, each, n int) string {
		return strings.Repeat(fmt.Sprintf("%s,%s,%s,0.25,%d\n", date, zone, kind, each), n)
	}
	const head = "date,zone,kind,quadrat_m2,count\n"
	for _, c := range []struct{ why, rows, code string }{
		{"an ordinary count", many("2027-04-12", "all", "plants", 2, 12), ""},
		{"thousands of plants", many("2027-04-12", "all", "plants", 2000, 12), "outside-forecast"},
		{"heads in December", many("2026-12-10", "all", "heads", 3, 12), "outside-forecast"},
		{"one quadrat", many("2027-04-12", "all", "plants", 2, 1), "few-quadrats"},
		{"three quadrats", many("2027-04-12", "all", "plants", 2, 3), "few-quadrats"},
		{"two zones", many("2027-04-12", "north", "plants", 2, 12) + many("2027-04-12", "south", "plants", 3, 12), "zones-together"},
	} {
		if err := os.WriteFile("c.csv", []byte(head+c.rows), 0o644); err != nil {
			t.Fatal(err)
		}
		got := run(t, "update", "plan.yaml", "c.csv", "--json", "--replicates", "100")
		var v struct{ Warnings []struct{ Code, Text string } }
		if err := json.Unmarshal([]byte(got.stdout), &v); err != nil {
			t.Fatalf("%s: %v, %s", c.why, err, got.stderr)
		}
		var codes []string
		for _, w := range v.Warnings {
			if w.Code != "few-histories" && w.Code != "work-not-done" { // those hang on the plan, not on the count
				codes = append(codes, w.Code)
			}
		}
		if strings.Join(codes, " ") != c.code {
			t.Errorf("%s: warnings %v, want %q", c.why, v.Warnings, c.code)
		}
		text := run(t, "update", "plan.yaml", "c.csv", "--replicates", "100").stdout
		if strings.Contains(text, "NaN") {
			t.Errorf("%s: the text has NaN:\n%s", c.why, text)
		}
		beyond := c.code == "outside-forecast"
		first := strings.SplitN(text, "\n", 3)[1]
		if strings.Contains(first, "The count of ") != beyond || strings.Contains(text, "lies beyond what the model") != beyond || beyond &&
			strings.Contains(text, "better known") {
			t.Errorf("%s: what comes first is\n%s", c.why, text)
		}
	}
}

// The histories are kept with the report or not at all.
func TestPosteriorComesWithTheRest(t *testing.T) {
	updateFolder(t)
	if err := os.WriteFile("taken", nil, 0o644); err != nil {
		t.Fatal(err)
	}
	got := run(t, "update", "plan.yaml", "counts.csv", "--replicates", "20", "--out", "taken", "--posterior", "p.json")
	if got.code != exitUnfinished {
		t.Errorf("--out on a file: exit %d, %s", got.code, got.stderr)
	}
	if _, err := os.Stat("p.json"); err == nil {
		t.Error("--out could not be written, yet the histories were")
	}
	for _, name := range []string{"update.json", "moved.svg", "report.html"} {
		got := run(t, "update", "plan.yaml", "counts.csv", "--replicates", "20", "--out", "out", "--posterior", "out/"+name)
		if got.code != exitUsage {
			t.Errorf("histories over %s: exit %d, %s", name, got.code, got.stderr)
		}
	}
}

// The first sentence of an update says what its numbers say: within the forecast is between the quarters
// that it names, more is above the forecast and less is below it.
func TestUpdateFirstSentence(t *testing.T) {
	inFull(t)
	number := func(text string) float64 {
		x, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSuffix(text, "."), ",", ""), 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	within := regexp.MustCompile(`^Within the forecast: .* has about (\S+) .*, where half of the forecasts had (\S+) to (\S+)$`)
	apart := regexp.MustCompile(`^(More|Less) weed than was forecast: .* has about (\S+) .*, where the forecast had (\S+)$`)
	seen := map[string]bool{}
	for _, head := range []string{"0", "2", "5", "9", "15", "40"} {
		quadrats := "date,zone,kind,quadrat_m2,count\n" + strings.Repeat("2027-06-14,whole,heads,0.25,"+head+"\n2027-06-14,whole,heads,0.25,1\n", 6)
		inFolder(t, map[string]string{"plan.yaml": smallPlan, "walked.csv": quadrats})
		got := run(t, strings.Fields("update plan.yaml walked.csv --replicates 100 --json")...)
		a, _ := answerOf(t, got.stdout)
		if m := within.FindStringSubmatch(a.Sentences[0]); m != nil {
			if x := number(m[1]); x < number(m[2]) || x > number(m[3]) || a.Verdict != "as-forecast" {
				t.Errorf("%s, %q", a.Verdict, a.Sentences[0])
			}
			seen["within"] = true
		} else if m := apart.FindStringSubmatch(a.Sentences[0]); m != nil {
			if (number(m[2]) > number(m[3])) != (m[1] == "More") || a.Verdict != strings.ToLower(m[1]) {
				t.Errorf("%s, %q", a.Verdict, a.Sentences[0])
			}
			seen[m[1]] = true
		}
	}
	if len(seen) < 2 {
		t.Errorf("only %v was tried", seen)
	}
}
