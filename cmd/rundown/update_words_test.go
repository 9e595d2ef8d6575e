package main

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"rundown/cmd/internal/report"
)

// letIn is what the JSON of an update says.
func letIn(t *testing.T, counts string, args string) (jsonAnswer, map[string]any) {
	t.Helper()
	if err := os.WriteFile("c.csv", []byte(counts), 0o644); err != nil {
		t.Fatal(err)
	}
	got := run(t, strings.Fields("update plan.yaml c.csv --json --quiet --replicates 100 "+args)...)
	if got.code != exitDone {
		t.Fatal(got.stderr)
	}
	return answerOf(t, got.stdout)
}

// walk is a file of twelve quadrats of heads on one day.
func walk(day string, each int) string {
	return "date,zone,kind,quadrat_m2,count\n" + strings.Repeat(fmt.Sprintf("%s,all,heads,0.25,%d\n", day, each), 12)
}

// headsOf are the middle and the ends of a season's heads after the counts, as a table has them.
func headsOf(t *testing.T, all map[string]any, season int, when string) map[string]any {
	t.Helper()
	return all["seasons"].([]any)[season].(map[string]any)[when].(map[string]any)["heads_per_m2"].(map[string]any)
}

// Heads that are counted before all are out are told beside all heads of the season, as the table
// has them; when all are out there is but one number.
func TestHeadsThatAreOut(t *testing.T) {
	updateFolder(t)
	shareRuns(t)
	a, all := letIn(t, walk("2027-05-25", 2), "")
	first := a.Sentences[0]
	if !strings.Contains(first, " weed heads per m² are out (forecast: ") {
		t.Fatalf("counted on 25 May: %s", first)
	}
	for _, c := range []struct{ when, before string }{{"after", "about %s of "}, {"before", "forecast: %s of "}} {
		now := map[string]string{"after": "now_per_m2", "before": "before_per_m2"}[c.when]
		want := fmt.Sprintf(c.before, twoDigits(a.Facts[now].(float64))) + twoDigits(headsOf(t, all, 0, c.when)["p50"].(float64))
		if !strings.Contains(first, want) {
			t.Errorf("counted on 25 May, %s: want %q in %s", c.when, want, first)
		}
	}
	if a, _ := letIn(t, walk("2027-07-10", 10), ""); strings.Contains(a.Sentences[0], "are out") {
		t.Errorf("counted on 10 July: %s", a.Sentences[0])
	}
}

// twoDigits is how texts write a density.
func twoDigits(x float64) string {
	return report.Form{Digits: 2, Least: 0.01}.Value(x)
}

// The heads to come are told with their range, and with whether they are any better known.
func TestHeadsToComeAreOpen(t *testing.T) {
	updateFolder(t)
	shareRuns(t)
	a, all := letIn(t, walk("2027-06-14", 6), "")
	text, end := strings.Join(a.Sentences, " "), headsOf(t, all, 1, "after")
	want := fmt.Sprintf(": %s to %s.", twoDigits(end["p05"].(float64)), twoDigits(end["p95"].(float64)))
	if !strings.Contains(text, "Heads at harvest 2028: about ") || !strings.Contains(text, want) {
		t.Errorf("want the range%s in %s", want, text)
	}
	full := run(t, strings.Fields("update plan.yaml c.csv --full --replicates 100")...).stdout
	full = strings.Join(strings.Fields(full), " ")
	for short, long := range map[string]string{"as open as before": "are as open as before", "less certain than before": "are less certain than before",
		"better known": "better known"} {
		if strings.Contains(text, short) != strings.Contains(full, "Heads at the plan's end "+long) &&
			strings.Contains(text, short) != strings.Contains(full, "Heads at the plan's end are "+long) {
			t.Errorf("%q stands in one of answer and long text: %s", short, text)
		}
	}
}

// A count that the model cannot give is no ground for what is to come: what to look at
// comes first, and no heads or seed to come.
func TestCountBeyondTheModel(t *testing.T) {
	updateFolder(t)
	shareRuns(t)
	a, _ := letIn(t, strings.Replace(walk("2027-06-14", 900), "all", "whole", 1), "")
	text := strings.Join(a.Sentences, " ")
	const first = "The count of weed heads on 14 Jun 2027 lies beyond what the model can give. Check the date, the field, "
	if a.Verdict != "beyond-model" || !strings.HasPrefix(text, first) {
		t.Errorf("%s: %s", a.Verdict, text)
	}
	if strings.Contains(text, "at harvest") || strings.Contains(text, "on its seed") || len(a.Sentences) > 6 {
		t.Errorf("%d sentences: %s", len(a.Sentences), text)
	}
}

// From histories on, forecast and compare count the same harvests: those after the year counted.
// The crop that a season is told for is that year's, and not the one before the start.
func TestHarvestsThatAreOver(t *testing.T) {
	four := strings.Replace(smallPlan, "heads_per_m2: 30", "heads_per_m2: 3", 1) + "  - crop: winter-wheat\n  - crop: spring-barley\n"
	schema := schemaText(t, "compare.json")
	inFolder(t, map[string]string{"plan.yaml": four})
	shareRuns(t)
	letIn(t, walk("2027-06-14", 2), "--posterior past.json")
	got := run(t, strings.Fields("forecast plan.yaml --posterior past.json --json --quiet --replicates-csv --out out")...)
	if got.code != exitDone {
		t.Fatal(got.stderr)
	}
	a, _ := answerOf(t, got.stdout)
	heads := readReplicates(t, "out/replicates.csv").number["heads_per_m2"]
	under := func(from int) float64 {
		n, runs := 0, len(heads["2030"])
		for k := range runs {
			clean := true
			for year := from; year <= 2030; year++ {
				clean = clean && heads[fmt.Sprint(year)][k] < 10
			}
			if clean {
				n++
			}
		}
		return float64(n) / float64(runs)
	}
	forecast := a.Facts["under_threshold_share"].(float64)
	if want := under(2028); !near(forecast, want) || near(want, under(2027)) {
		t.Errorf("forecast: %v; heads stay under 10 from 2028 on in %v, from 2027 on in %v", forecast, want, under(2027))
	}
	if text := strings.Join(a.Sentences, " "); !strings.Contains(text, "at every harvest from 2028 on") ||
		!strings.Contains(text, "like the winter wheat of 2027, the year last counted") || strings.Contains(text, "before the start") {
		t.Error(text)
	}
	v := document(t, schema, "compare plan.yaml plan.yaml --posterior past.json --json --quiet")
	if got := v["plans"].([]any)[0].(map[string]any)["under_threshold_throughout"]; got != forecast {
		t.Errorf("compare: %v, forecast: %v", got, forecast)
	}
	if text := run(t, strings.Fields("compare plan.yaml plan.yaml --posterior past.json")...).stdout; !strings.Contains(text, "from 2028 on") {
		t.Error(text)
	}
}

// Counts are read as weather is: day first, month first, semicolons and decimal commas where the
// file decides it; else the line is named, with both dates that it may be.
func TestCountsAsProgramsSaveThem(t *testing.T) {
	usual := "date,zone,kind,quadrat_m2,count\n2027-06-14,a,heads,0.25,3\n2027-06-05,a,heads,0.25,5\n"
	semi := strings.NewReplacer(",", ";", ".", ",")
	spoken := strings.NewReplacer("2027-06-14", "14/06/2027", "2027-06-05", "05/06/2027")
	inFolder(t, map[string]string{"usual.csv": usual, "day.csv": spoken.Replace(usual), "semi.csv": semi.Replace(spoken.Replace(usual)),
		"month.csv": strings.NewReplacer("2027-06-14", "06/14/2027", "2027-06-05", "06/05/2027").Replace(usual),
		"tabs.csv":  strings.ReplaceAll(usual, ",", "\t"), "either.csv": "date,zone,kind,quadrat_m2,count\n05/06/2027,a,heads,0.25,3\n",
		"both.csv": "date,zone,kind,quadrat_m2,count\n14/06/2027,a,heads,0.25,3\n06/15/2027,a,heads,0.25,3\n"})
	want := run(t, "counts", "usual.csv", "--brief").stdout
	for _, name := range []string{"day", "semi", "month", "tabs"} {
		if got := run(t, "counts", name+".csv", "--brief"); got.code != exitDone || got.stdout != want || !strings.Contains(want, "5 Jun 2027") {
			t.Errorf("%s: exit %d, %s%s; want %s", name, got.code, got.stdout, got.stderr, want)
		}
	}
	for name, want := range map[string]string{"either": "either.csv:2:1: no date of the file tells whether the day or the month comes first; write dates as " +
		"2027-06-05 or 2027-05-06", "both": "both.csv:3:1: the date begins with its month, but the one of line 2 with its day"} {
		if got := run(t, "counts", name+".csv"); got.code != exitInput || !strings.Contains(got.stderr, want) {
			t.Errorf("%s: exit %d, %s", name, got.code, got.stderr)
		}
	}
}
