package main

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// What follows knows nothing of the program but its files: replicates.csv is read and
// every fact of an answer is worked out anew.

// table is replicates.csv: values by column, season and replicate.
type table struct {
	years  []string
	text   map[string]map[string][]string // column, year
	number map[string]map[string][]float64
}

func readReplicates(t *testing.T, file string) *table {
	t.Helper()
	rows := readCSV(t, file)
	out := &table{text: map[string]map[string][]string{}, number: map[string]map[string][]float64{}}
	for _, r := range rows[1:] {
		year := r[1]
		if !slices.Contains(out.years, year) {
			out.years = append(out.years, year)
		}
		for c, name := range rows[0] {
			if out.text[name] == nil {
				out.text[name], out.number[name] = map[string][]string{}, map[string][]float64{}
			}
			x, err := strconv.ParseFloat(r[c], 64)
			if err != nil {
				x = math.NaN()
			}
			out.text[name][year], out.number[name][year] = append(out.text[name][year], r[c]), append(out.number[name][year], x)
		}
	}
	return out
}

func average(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// lessThan is the share of pairs in which the first is less, ties half.
func lessThan(x, y []float64) float64 {
	n := 0.0
	for k := range x {
		if x[k] < y[k] {
			n++
		} else if x[k] == y[k] {
			n += 0.5
		}
	}
	return n / float64(len(x))
}

// wordFor is the verdict on a share of runs that end lower. The interval is found by
// trying shares: those within 1.96 standard errors of what was seen.
func wordFor(lower float64, runs int) string {
	low, high := 1.0, 0.0
	for p := 0.00005; p < 1; p += 0.0001 {
		if math.Abs(lower-p) <= 1.96*math.Sqrt(p*(1-p)/float64(runs)) {
			low, high = min(low, p), max(high, p)
		}
	}
	switch {
	case low > 0.90:
		return "down"
	case low > 0.66:
		return "likely-down"
	case high < 0.10:
		return "up"
	case high < 0.33:
		return "likely-up"
	}
	return "either-way"
}

// cropKinds are the kinds of the crops that the plans here grow.
var cropKinds = map[string]string{"winter-wheat": "winter", "winter-barley": "winter", "winter-oilseed-rape": "winter", "winter-beans": "winter",
	"winter-oats": "winter", "spring-barley": "spring",
	"spring-oats": "spring", "spring-beans": "spring", "spring-wheat": "spring", "grass-ley": "ley", "fallow": "fallow"}

// lastOfKind is the year whose seed is the end: the last of the start's kind in the last
// course of crops, else the last.
func lastOfKind(planned []string, before string) int {
	n := len(planned)
	first := 0
	for p := 1; 2*p <= n; p++ {
		if slices.Equal(planned[p:], planned[:n-p]) {
			first = n - p
			break
		}
	}
	for i := n - 1; i >= first; i-- {
		if cropKinds[planned[i]] == cropKinds[before] {
			return i
		}
	}
	return n - 1
}

type jsonAnswer struct {
	Verdict   string
	Facts     map[string]any
	Sentences []string
}

func answerOf(t *testing.T, text string) (jsonAnswer, map[string]any) {
	t.Helper()
	var doc struct{ Answer jsonAnswer }
	var all map[string]any
	for _, to := range []any{&doc, &all} {
		if err := json.Unmarshal([]byte(text), to); err != nil {
			t.Fatal(err)
		}
	}
	checkSentences(t, doc.Answer.Sentences)
	return doc.Answer, all
}

// checkSentences holds what an answer may say.
func checkSentences(t *testing.T, sentences []string) {
	t.Helper()
	for _, s := range sentences {
		if n := len(strings.Fields(s)); n > 25 {
			t.Errorf("%d words: %s", n, s)
		}
		for _, never := range []string{"run by run", "median", "index", "NaN", "Inf"} {
			if strings.Contains(s, never) {
				t.Errorf("%q stands in: %s", never, s)
			}
		}
		depth, deepest := 0, 0
		for _, r := range s {
			if r == '(' {
				depth++
			} else if r == ')' {
				depth--
			}
			deepest = max(deepest, depth)
		}
		if deepest > 1 || depth != 0 {
			t.Errorf("brackets in brackets: %s", s)
		}
	}
}

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*max(1, math.Abs(a), math.Abs(b)) }

// heldForecast runs a forecast and holds its answer against replicates.csv. It gives
// the verdict.
func heldForecast(t *testing.T, plan string, runs int, area, threshold float64) string {
	t.Helper()
	if err := os.WriteFile("plan.yaml", []byte(plan), 0o644); err != nil {
		t.Fatal(err)
	}
	got := run(t, "forecast", "plan.yaml", "--replicates", fmt.Sprint(runs), "--json", "--out", "out", "--replicates-csv", "--quiet")
	if got.code != exitDone {
		t.Fatalf("exit %d, %s\n%s", got.code, got.stderr, plan)
	}
	a, all := answerOf(t, got.stdout)
	x := readReplicates(t, "out/replicates.csv")
	var planned []string
	for _, s := range all["seasons"].([]any) {
		planned = append(planned, s.(map[string]any)["crop"].(string))
	}
	end := lastOfKind(planned, "winter-wheat")
	before, after := x.number["seed_before_per_m2"][x.years[0]], x.number["seed_after_per_m2"][x.years[end]]
	var ratios []float64
	for k := range before {
		if before[k] > 0 {
			ratios = append(ratios, after[k]/before[k])
		}
	}
	under, margin := 0.0, 0.0
	for k := range before {
		ok := true
		for _, y := range x.years {
			ok = ok && !(x.number["heads_per_m2"][y][k] >= threshold)
			margin += x.number["margin_per_ha"][y][k] / float64(len(x.years)) / float64(runs)
		}
		if ok {
			under += 1 / float64(runs)
		}
	}
	lower := lessThan(after, before)
	for name, want := range map[string]float64{"seed_start_per_m2": average(before), "seed_end_per_m2": average(after), "ends_lower_share": lower,
		"under_threshold_share": under, "margin_per_ha_year": margin, "margin_field_year": margin * area} {
		if have, _ := a.Facts[name].(float64); !near(have, want) {
			t.Errorf("%s is %v, want %v\n%s", name, a.Facts[name], want, plan)
		}
	}
	if q := a.Facts["seed_ratio"].(map[string]any); q["n"] != float64(len(ratios)) || len(ratios) > 0 && !near(q["mean"].(float64), average(ratios)) {
		t.Errorf("seed_ratio %v, want the mean %v of %d\n%s", q, average(ratios), len(ratios), plan)
	}
	if want := wordFor(lower, runs); a.Verdict != want {
		t.Errorf("verdict %s, want %s: %v of %d runs end lower\n%s", a.Verdict, want, lower, runs, plan)
	}
	heldWords(t, a, x, planned, end)
	return a.Verdict
}

// verdictWords are how the verdicts are said.
var verdictWords = map[string]string{"down": " goes down: ", "likely-down": " probably goes down: ", "either-way": " can go either way",
	"likely-up": " probably goes up: ", "up": " goes up: "}

// heldWords holds the sentences of a forecast's answer against its facts.
func heldWords(t *testing.T, a jsonAnswer, x *table, planned []string, end int) {
	t.Helper()
	text := strings.Join(a.Sentences, " ")
	word := verdictWords[a.Verdict]
	if facts := a.Facts; facts["seed_start_per_m2"] == 0.0 && facts["seed_end_per_m2"] == 0.0 {
		if !strings.Contains(text, "Black-grass has no seed here") {
			t.Errorf("no seed from start to end: %s", text)
		}
	} else if !strings.Contains(text, word) || !strings.Contains(text, "harvest "+x.years[end]) || !strings.Contains(text, "No resistance is assumed") {
		t.Errorf("%s, to harvest %s: %s", a.Verdict, x.years[end], text)
	}
	seldom := false
	for i, y := range x.years {
		grown := 0
		for _, crop := range x.text["crop"][y] {
			if crop == planned[i] {
				grown++
			}
		}
		seldom = seldom || float64(grown) < 0.8*float64(len(x.text["crop"][y]))
	}
	if told := strings.Contains(a.Sentences[0], "goes in") || strings.Contains(a.Sentences[0], "be drilled"); told != seldom {
		t.Errorf("a planned crop is seldom grown: %v; it is told first: %v: %s", seldom, told, text)
	}
}

const knownHead = `field: {name: Far Piece, area_ha: %v, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, %s, threshold_heads_per_m2: 12}
seasons:
`

const (
	loose = "  - {crop: winter-wheat, cultivate: [], spray_off: [], drill: {date: 12 Sep}, herbicides: []}\n"
	tight = "  - {crop: spring-barley, spray_off: [25 Sep, 12 Mar], drill: {date: 20 Mar}}\n"
	bare  = "  - crop: fallow\n"
	ley   = "  - {crop: grass-ley, years: 3}\n"
	fails = "  - {crop: winter-wheat, drill: {date: 20 Nov, latest: 22 Nov}, otherwise: spring-barley}\n"
)

// Plans whose course is known: every verdict word stands where shares worked out
// from replicates.csv put it, and each of the five at least twice, of many runs and, milder, of
// few.
func TestForecastVerdicts(t *testing.T) {
	inFull(t)
	simtest.NotRacing(t)
	numbersAlone(t)
	inFolder(t, nil)
	seen := map[string]int{}
	for _, c := range []struct{ start, seasons string }{
		{"heads_per_m2: 5", strings.Repeat(loose, 4)},
		{"heads_per_m2: 0.5", loose + loose},
		{"heads_per_m2: 400", ley},
		{"heads_per_m2: 900", strings.Repeat(tight, 3)},
		{"heads_per_m2: 60", strings.Repeat(bare, 3)},
		{"seedbank_per_m2: {0-5: 900, 10-15: 300, fresh: 4000}", ley},
		{"heads_per_m2: {low: 10, high: 90}", ley + loose + loose + loose},
		{"heads_per_m2: 20", loose + loose + bare + bare + bare},
		{"heads_per_m2: 30", strings.Repeat(tight+"  - crop: winter-wheat\n", 2)},
		{"heads_per_m2: 30", strings.Repeat("  - crop: winter-wheat\n"+tight, 3)},
		{"heads_per_m2: 25", fails + fails},
		{"seedbank_per_m2: {0-5: 0}", loose},
	} {
		for _, runs := range []int{3, 13, 160} {
			seen[heldForecast(t, fmt.Sprintf(knownHead, 7.5, c.start)+c.seasons, runs, 7.5, 12)]++
		}
	}
	for _, word := range []string{"down", "likely-down", "either-way", "likely-up", "up"} {
		if seen[word] < 2 {
			t.Errorf("%q was said %d times of %v", word, seen[word], seen)
		}
	}
}

// Random valid plans are held likewise.
func TestForecastVerdictsOfRandomPlans(t *testing.T) {
	simtest.NotRacing(t)
	numbersAlone(t)
	tries := 40
	if testing.Short() {
		tries = 6
	}
	if os.Getenv("RUNDOWN_SLOW") != "" {
		tries = 400
	}
	inFolder(t, nil)
	p := rand.New(rand.NewPCG(71, 5))
	pick := func(s ...string) string { return s[p.IntN(len(s))] }
	for range tries {
		var b strings.Builder
		area := float64(1 + p.IntN(30))
		start := pick("heads_per_m2: 3", "heads_per_m2: {low: 1, high: 80}", "seedbank_per_m2: {0-5: 300, 10-15: 90, fresh: 900}")
		fmt.Fprintf(&b, knownHead, area, start)
		for range 1 + p.IntN(5) {
			b.WriteString(pick(loose, tight, bare, ley, fails, "  - crop: winter-wheat\n", "  - crop: winter-barley\n", "  - crop: spring-oats\n",
				"  - {crop: winter-oilseed-rape, otherwise: spring-barley}\n", "  - {crop: spring-barley, cover: {mix: mustard, sow: 20 Sep, destroy: 1 Feb}}\n"))
		}
		heldForecast(t, b.String(), 24+p.IntN(30), area, 12)
	}
}
