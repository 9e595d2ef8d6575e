package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"rundown/cmd/internal/output"
)

// fallowPlan has a season without a yield.
const fallowPlan = `field: {name: Far Piece, area_ha: 7, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 30}
seasons:
  - crop: winter-wheat
  - crop: fallow
`

// Both forms of the JSON hold to the schema; so do those in which an index has
// no value.
func TestDriversJSON(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	rules := readSchema(t, filepath.Join(schemaFolder, "drivers.json"))
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "fallow.yaml": fallowPlan})
	shareRuns(t)
	for _, args := range []string{
		"drivers plan.yaml --json --replicates 8", "drivers plan.yaml --json --replicates 8 --metric yield-loss --values 3",
		"drivers plan.yaml --json --replicates 8 --metric margin_per_ha --season 2027", "drivers fallow.yaml --json --replicates 8 --metric yield",
		"drivers plan.yaml --json --replicates 8 --sweep weeds/black-grass/seeds_per_head=60:150:30",
		"drivers fallow.yaml --json --replicates 8 --metric yield --sweep crops/winter-wheat/establishment=0.7:0.9:0.1",
	} {
		got := run(t, strings.Fields(args)...)
		if got.code != exitDone || got.stderr != "" {
			t.Fatalf("%s: exit %d, stderr %q", args, got.code, got.stderr)
		}
		var v map[string]any
		if err := json.Unmarshal([]byte(got.stdout), &v); err != nil {
			t.Fatalf("%s: %v", args, err)
		}
		if wrong := rules.check(rules.root, v, "$"); wrong != "" {
			t.Errorf("%s: %s", args, wrong)
		}
		if (v["sweep"] == nil) != !strings.Contains(args, "--sweep") {
			t.Errorf("%s: sweep is %v", args, v["sweep"])
		}
	}
}

// The keys stand in the order of the format, in both forms.
func TestDriversKeyOrder(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	shareRuns(t)
	head := "format plan seed replicates version provenance units warnings metric label unit season "
	for args, want := range map[string]map[string]string{
		"drivers plan.yaml --json --replicates 8": {
			"": strings.Replace(head, "plan ", "plan answer ", 1) +
				"scale runs rows rows_used walks mean variance screening inputs groups first_order_sum evidence split rows_for_width rows_for_order sweep",
			".screening":     "name label short grade root_mean_square mu_star mu_star_error mu sigma",
			".inputs":        "name label short grade first total",
			".groups":        "name label short first total",
			".inputs.total":  "value low high",
			".split":         "harvest_year crop rows_used weather season_effects chance parameters first_order_sum",
			".split.weather": "first total",
			".evidence":      "published grey memory derived assumed your-plan",
		},
		"drivers plan.yaml --json --replicates 8 --sweep weeds/black-grass/viability=0.3:0.9:0.3": {
			"":                           strings.Replace(head, "plan ", "plan answer ", 1) + "runs screening inputs groups split sweep",
			".sweep":                     "name label short unit grade points",
			".sweep.points":              "value seed_return_a_year seasons",
			".sweep.points.seasons":      "harvest_year band",
			".sweep.points.seasons.band": strings.Join(bandKeys, " "),
		},
	} {
		orders := keyOrder(t, run(t, strings.Fields(args)...).stdout)
		for path, keys := range want {
			if got := strings.Join(orders[path], " "); got != keys {
				t.Errorf("%s: keys of %q are %q, want %q", args, path, got, keys)
			}
		}
	}
}

// The four kinds take what they should: each first-order index at most its
// total within their intervals, no chance in the counts of a large field, and
// the indices of the season asked for ranked by total.
func TestDriversNumbers(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	shareRuns(t)
	got := run(t, "drivers", "plan.yaml", "--json", "--replicates", "128")
	type estimate struct{ Value, Low, High float64 }
	type block struct {
		Name         string
		First, Total estimate
	}
	var v struct {
		Runs, Rows, Walks int
		Season            int
		Inputs, Groups    []block
		Screening         []struct{ Name string }
		Split             []map[string]any
	}
	if err := json.Unmarshal([]byte(got.stdout), &v); err != nil {
		t.Fatal(err)
	}
	if v.Season != 2028 || v.Rows != 128 || len(v.Inputs) != 12 || len(v.Split) != 2 || v.Runs != v.Walks*(len(v.Screening)+1)+128*21 {
		t.Errorf("season %d, %d rows, %d inputs, %d seasons split, %d runs of %d walks through %d inputs", v.Season, v.Rows, len(v.Inputs), len(v.Split),
			v.Runs, v.Walks, len(v.Screening))
	}
	for i, b := range append(v.Inputs, v.Groups...) {
		if b.First.Low > b.Total.High {
			t.Errorf("%s: first-order %+v, total %+v", b.Name, b.First, b.Total)
		}
		if i > 0 && i < len(v.Inputs) && b.Total.Value > v.Inputs[i-1].Total.Value {
			t.Errorf("%s stands after %s and has the larger total", b.Name, v.Inputs[i-1].Name)
		}
		if b.Total.Value < 0 || b.Total.Value > 1.5 {
			t.Errorf("%s has the total index %v", b.Name, b.Total.Value)
		}
	}
	chance := v.Split[1]["chance"].(map[string]any)["total"].(map[string]any)["value"].(float64)
	knowing := v.Split[1]["parameters"].(map[string]any)["total"].(map[string]any)["value"].(float64)
	if chance > 0.01 || knowing < 0.2 {
		t.Errorf("on 7 ha chance in counts makes %v of the variance, not knowing %v", chance, knowing)
	}
}

// Equal bytes whatever --jobs is; another seed gives others.
func TestDriversReproducible(t *testing.T) {
	inFull(t)
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	one := run(t, "drivers", "plan.yaml", "--json", "--replicates", "8", "--jobs", "1")
	many := run(t, "drivers", "plan.yaml", "--json", "--replicates", "8", "--jobs", "7")
	other := run(t, "drivers", "plan.yaml", "--json", "--replicates", "8", "--seed", "2")
	if one.stdout != many.stdout || one.code != exitDone || one.stdout == other.stdout {
		t.Errorf("jobs change the result: %v; the seed does not: %v", one.stdout != many.stdout, one.stdout == other.stdout)
	}
}

// What --out writes: the tables, the pictures, and last the JSON; the same
// names for every analysis and for every sweep.
func TestDriversFiles(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	shareRuns(t)
	for args, want := range map[string]string{
		"drivers plan.yaml --replicates 8 --quiet --out out": "out/design.csv out/drivers.json " +
			"out/drivers.png out/drivers.svg out/indices.csv out/provenance.json out/report.html out/runs.csv out/screening.csv out/split.csv out/split.png " +
			"out/split.svg",
		"drivers plan.yaml --replicates 8 --quiet --out swept --sweep weeds/black-grass/seeds_per_head=60:150:30": "swept/drivers.json " +
			"swept/provenance.json swept/report.html swept/sweep.csv swept/sweep.png swept/sweep.svg",
	} {
		got := run(t, strings.Fields(args)...)
		dir, _, _ := strings.Cut(want, "/")
		if names := strings.Join(listing(t, dir), " "); got.code != exitDone || got.stdout != "" || got.stderr != "" || names != want {
			t.Errorf("%s: exit %d, stdout %q, stderr %q, written: %s\nwant: %s", args, got.code, got.stdout, got.stderr, names, want)
		}
	}
	if rows := readCSV(t, "out/indices.csv"); len(rows) != 1+2*19*2 {
		t.Errorf("indices.csv has %d rows; want a heading, 2 seasons × 19 blocks × 2 indices", len(rows))
	}
	if rows := readCSV(t, "out/split.csv"); len(rows) != 1+2*4 {
		t.Errorf("split.csv has %d rows; want a heading, 2 seasons × 4 kinds", len(rows))
	}
	if rows := readCSV(t, "swept/sweep.csv"); len(rows) != 1+4*2*6 {
		t.Errorf("sweep.csv has %d rows; want a heading, 4 points × 2 seasons × 6 numbers", len(rows))
	}
	svg, err := os.ReadFile("out/drivers.svg")
	if err != nil || !bytes.Contains(svg, []byte("seed returned a year")) {
		t.Errorf("drivers.svg does not name the seed return (%v)", err)
	}
}

// stopping cancels a run as soon as a text is told to it.
type stopping struct {
	bytes.Buffer
	at   string
	stop func()
}

func (w *stopping) Write(b []byte) (int, error) {
	n, err := w.Buffer.Write(b)
	if strings.Contains(w.String(), w.at) {
		w.stop()
	}
	return n, err
}

func (w *stopping) WriteString(s string) (int, error) { return w.Write([]byte(s)) }

// An analysis or a sweep that is interrupted leaves nothing: before it has said
// what it costs, as soon as it has, in the screening or later; and it keeps what
// was there.
func TestDriversInterrupted(t *testing.T) {
	inFull(t)
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	if err := os.Mkdir("out", 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile("out/drivers.json", []byte("earlier"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, args := range []string{"drivers plan.yaml --replicates 65536 --out out",
		"drivers plan.yaml --replicates 65536 --sweep weeds/black-grass/viability=0.3:0.9:0.1 --out out"} {
		for _, after := range []time.Duration{0, 50 * time.Millisecond, 600 * time.Millisecond, -1} {
			ctx, stop := context.WithCancel(context.Background())
			stderr := &stopping{at: " at a time: about ", stop: stop}
			if after >= 0 {
				stderr.stop = func() {}
				time.AfterFunc(after, stop)
			}
			var stdout bytes.Buffer
			code := Main(ctx, strings.Fields(args), strings.NewReader(""), &stdout, stderr)
			stop()
			if names := strings.Join(listing(t, "."), " "); code != exitUnfinished || !strings.Contains(stderr.String(), "interrupted: nothing was written") ||
				stdout.Len() > 0 || names != "out out/drivers.json plan.yaml" {
				t.Errorf("%s, stopped after %v: exit %d, stdout %q, stderr %q, left %s", args, after, code, stdout.String(), stderr.String(), names)
			}
			if after < 0 && !strings.Contains(stderr.String(), " runs (") {
				t.Errorf("%s: the cost was not told: %q", args, stderr.String())
			}
		}
	}
	if b, _ := os.ReadFile("out/drivers.json"); string(b) != "earlier" {
		t.Errorf("the earlier drivers.json holds %q", b)
	}
}

// What too few rows cannot tell is told: neighbours whose intervals overlap,
// indices below 0, rows without a value, and an output that does not vary.
func TestDriversWarnings(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "fallow.yaml": fallowPlan})
	shareRuns(t)
	for args, want := range map[string][]string{
		"drivers plan.yaml --replicates 8":                                                  {"order-open", "negative-index"},
		"drivers --replicates 8":                                                            {"starter-plan", "order-open"},
		"drivers fallow.yaml --replicates 8 --metric yield":                                 {"nothing-varies"},
		"drivers plan.yaml --replicates 16 --sweep weeds/black-grass/viability=0.3:0.9:0.3": {"all-else-equal"},
	} {
		var v struct {
			Warnings       []struct{ Code, Text string }
			RowsForWidth   *int                     `json:"rows_for_width"`
			FirstOrderSum  *struct{ Value float64 } `json:"first_order_sum"`
			Inputs, Groups []struct {
				Label string
				First *struct{ Value, Low, High float64 }
			}
		}
		got := run(t, append(strings.Fields(args), "--json")...)
		if err := json.Unmarshal([]byte(got.stdout), &v); err != nil {
			t.Fatalf("%s: %v", args, err)
		}
		text := map[string]string{}
		for _, w := range v.Warnings {
			text[w.Code] = w.Text
		}
		for _, code := range want {
			if text[code] == "" {
				t.Errorf("%s: no warning %s among %v", args, code, v.Warnings)
			}
		}
		if text["negative-index"] == "" {
			continue
		}
		for _, b := range append(v.Inputs, v.Groups...) {
			if below := b.First.Value < -0.01; below != strings.Contains(text["negative-index"], b.Label+" -") {
				t.Errorf("%s: first-order index %v of %s; told: %s", args, b.First.Value, b.Label, text["negative-index"])
			}
		}
		if v.RowsForWidth == nil || *v.RowsForWidth <= 8 || v.FirstOrderSum == nil {
			t.Errorf("%s: %v rows are held to be enough, the sum of first-order indices is %v", args, v.RowsForWidth, v.FirstOrderSum)
		}
	}
}

// A long run says what it costs before it begins; a short or quiet one does not.
func TestDriversCost(t *testing.T) {
	env := &environment{err: output.Terminal{Columns: 80}}
	pilot := func() (int, error) { time.Sleep(time.Millisecond); return 10, nil }
	for _, c := range []struct {
		runs  int
		quiet bool
		want  string
	}{{100, false, ""}, {30000, true, ""}, {30000, false, "30000 runs (as told), 2 at a time: about "}} {
		var said bytes.Buffer
		env.stderr = &said
		o := &driversOptions{runOptions: runOptions{jobs: 2, quiet: c.quiet}}
		if err := env.announce(c.runs, "as told", o, pilot); err != nil {
			t.Fatal(err)
		}
		if c.want == "" && said.Len() > 0 || !strings.HasPrefix(said.String(), c.want) {
			t.Errorf("%d runs, quiet %v: said %q", c.runs, c.quiet, said.String())
		}
	}
	for d, want := range map[time.Duration]string{10 * time.Millisecond: "1 s", 42300 * time.Millisecond: "42 s", 150 * time.Second: "3 min"} {
		if got := roughly(d); got != want {
			t.Errorf("%v is roughly %q, want %q", d, got, want)
		}
	}
}

func TestDriversWrongUse(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	const sweep = "drivers plan.yaml --sweep "
	for args, want := range map[string]string{
		"drivers plan.yaml --metric head":                    `did you mean "heads"?`,
		"drivers plan.yaml --season 2040":                    "--season 2040: the plan has no harvest of that year",
		"drivers plan.yaml --replicates 4":                   "expected a whole number from 8 to 65536",
		"drivers plan.yaml --values 33":                      "from 1 to 32",
		"drivers plan.yaml --sweep a=0:1:0.5 --values 3":     "leave one of them out",
		sweep + "weeds/black-grass/seeds_per_head":           "expected PATH=LOW:HIGH:STEP",
		sweep + "weeds/black-grass/seeds_per_head=60:150":    "expected PATH=LOW:HIGH:STEP",
		sweep + "weeds/black-grass/seeds_per_head=60:x:10":   `"x" is not a number`,
		sweep + "weeds/black-grass/seeds_per_head=60:NaN:10": `"NaN" is not a number`,
		sweep + "weeds/black-grass/seeds_per_head=150:60:10": "a low end below the high end",
		sweep + "weeds/black-grass/seeds_per_head=60:150:0":  "a step above 0",
		sweep + "weeds/black-grass/seeds_per_head=0:150:1":   "2 to 60 can be swept",
		sweep + "weeds/black-grass/seed_per_head=60:150:10":  "did you mean weeds/black-grass/seeds_per_head?",
		sweep + "weeds/black-grass/viability=0.5:1.5:0.5":    "can be 0 to 1",
		sweep + "weeds/black-grass/viability=-1e308:1e308:1": "2 to 60 can be swept",
		sweep + "weeds/black-grass/viability=0.5:0.9:1e-300": "2 to 60 can be swept",
		sweep + "weeds/black-grass/viability=0x1:0x2:1":      `"0x1" is not a number`,
		sweep + "weeds/black-grass/viability=0.5:Inf:0.1":    `"Inf" is not a number`,
		sweep + "weeds/black-grass/viability==0.5:0.9:0.1":   "is not a number",
		sweep + "=0.5:0.9:0.1":                               "expected PATH=LOW:HIGH:STEP",
		sweep + "../../etc/passwd=0.5:0.9:0.1":               "not among the values that this plan draws",
		sweep + "weeds/black-gras/viability=0.5:0.9:0.1":     "did you mean weeds/black-grass/viability?",
		"drivers plan.yaml --metric":                         "metric",
		"drivers plan.yaml --metric \x00heads":               `did you mean "heads"?`,
		"drivers plan.yaml --metric ledger":                  "expected one of",
		"drivers plan.yaml --values 0":                       "from 1 to 32",
	} {
		got := run(t, strings.Fields(args)...)
		if got.code != exitUsage || !strings.Contains(got.stderr, want) || got.stdout != "" {
			t.Errorf("rundown %s: exit %d, stdout %q, stderr %q; want exit 2 and %q", args, got.code, got.stdout, got.stderr, want)
		}
	}
}

// The text fits every width and says what a reader must know.
func TestDriversText(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	shareRuns(t)
	facts, all := answerOf(t, run(t, strings.Fields("drivers plan.yaml --replicates 8 --json")...).stdout)
	grades := map[any]any{} // which lead hangs on the model
	for _, x := range all["inputs"].([]any) {
		input := x.(map[string]any)
		grades[input["name"]] = input["grade"]
	}
	grade := fmt.Sprint(grades[facts.Facts["first"].([]any)[0]])
	for _, columns := range []int{60, 80, 120} {
		t.Setenv("COLUMNS", fmt.Sprint(columns))
		for _, args := range []string{"drivers plan.yaml --replicates 8 --full", "drivers plan.yaml --replicates 8",
			"drivers plan.yaml --replicates 8 --metric yield-loss --sweep weeds/black-grass/seeds_per_head=60:150:45 --full"} {
			got := run(t, strings.Fields(args)...)
			if got.code != exitDone {
				t.Fatalf("exit %d, stderr %q", got.code, got.stderr)
			}
			for _, line := range strings.Split(got.stdout, "\n") {
				if utf8.RuneCountInString(line) > columns {
					t.Errorf("%d columns: %q is wider", columns, line)
				}
			}
			plain := strings.Join(strings.Fields(got.stdout), " ")
			wanted := []string{"what one seed returns a year", "The widest interval", "First-order indices of all the rows below add up to",
				"There are too few rows", "memory", "weather, seasons and chance", "no dose is given"}
			if !strings.Contains(args, "--full") { // the answer, its table, warnings and cautions
				wanted = append(slices.Clone(facts.Sentences), "there are too few rows", "Evidence", grade,
					"Luck of weather, seasons and chance makes", "no dose is given")
			}
			if strings.Contains(args, "--sweep") {
				wanted = []string{"All else stays as drawn", "Yield lost to the weed at harvest 2028, %:", "evidence: grey", "no dose is given"}
			}
			for _, want := range wanted {
				if !strings.Contains(plain, want) {
					t.Errorf("%s at %d columns: %q is missing", args, columns, want)
				}
			}
			if strings.Contains(got.stdout, "NaN") || strings.Contains(got.stdout, "\x1b") {
				t.Errorf("%s: NaN or colour in the text", args)
			}
		}
	}
}
