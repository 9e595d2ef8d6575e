package main

import (
	"encoding/csv"
	"fmt"
	"os"
	"strings"
	"testing"
)

func TestDrillingJSON(t *testing.T) {
	if testing.Short() {
		t.Skip("makes some hundred models")
	}
	schema := schemaText(t, "drilling.json")
	bank := strings.Replace(smallPlan, "heads_per_m2: 30", "seedbank_per_m2: {0-5: 500, fresh: 2000}", 1)
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "bank.yaml": bank})
	shareRuns(t)
	for _, c := range []struct {
		args, season, first, last, unit string
	}{
		{"drilling plan.yaml --every 35d --replicates 30", "2027", "2026-09-25", "2026-10-30", "heads/m²"},
		{"drilling plan.yaml --season 2028 --every 30d --replicates 1", "2028", "2028-03-18", "2028-04-17", "heads/m²"},
		{"drilling bank.yaml --from 2026-09-20 --to 2026-10-20 --every 30 --replicates 30", "2027", "2026-09-20", "2026-10-20", "times the plan's seedbank"},
		{"drilling --from 2027-03-10 --to 2027-04-09 --every 30d --replicates 25", "2027", "2027-03-10", "2027-04-09", "heads/m²"},
	} {
		got := document(t, schema, c.args+" --json")
		dates := got["dates"].([]any)
		first, last := dates[0].(map[string]any)["date"], dates[len(dates)-1].(map[string]any)["date"]
		if fmt.Sprint(got["season"]) != c.season || first != c.first || last != c.last || got["infestation_unit"] != c.unit {
			t.Errorf("%s: season %v from %v to %v in %v", c.args, got["season"], first, last, got["infestation_unit"])
		}
		for _, d := range dates {
			date := d.(map[string]any)
			if date["date"] == got["against"] {
				numbersUnder("difference", date, func(path string, x float64) {
					if x != 0 && !strings.HasSuffix(path, ".n") && !strings.HasSuffix(path, ".zero") {
						t.Errorf("%s: the planned date differs from itself: %s is %v", c.args, path, x)
					}
				})
			}
		}
	}
}

func TestDrillingRefuses(t *testing.T) {
	fallow := strings.Split(smallPlan, "seasons:")[0] + "seasons: [{crop: fallow}]\n"
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "fallow.yaml": fallow})
	for _, c := range []struct {
		args, want string
		code       int
	}{
		{"plan.yaml --season 2031", "--season 2031: the plan drills nothing for harvest 2031\n", exitUsage},
		{"fallow.yaml", "the plan drills nothing\n", exitUsage},
		{"plan.yaml --from 2026-10-10 --to 2026-10-01", "--to 2026-10-01 is before --from 2026-10-10", exitUsage},
		{"plan.yaml --from 2026-10-10 --to 2026-10-12", "--every 5d gives 1 from 2026-10-10 to 2026-10-12; the number of dates must be from 2 to 60", exitUsage},
		{"plan.yaml --every 1d", "must be from 2 to 60", exitUsage},
		{"plan.yaml --every 0d", "--every 0d: expected a number of days from 1d to 60d", exitUsage},
		{"plan.yaml --from 10-10-2026", "--from 10-10-2026:", exitUsage},
		{"plan.yaml --from 2026-07-01 --to 2026-10-01", "2026-07-01 is before the season of harvest 2027 opens, 2026-08-01", exitInput},
		{"plan.yaml --to 2027-07-01 --every 30d", "is less than 80 days before the harvest of 2027", exitInput},
	} {
		got := run(t, append([]string{"drilling"}, strings.Fields(c.args)...)...)
		if got.code != c.code || got.stdout != "" || !strings.Contains(got.stderr, c.want) {
			t.Errorf("%s: exit %d (want %d), stdout %d bytes, stderr %q, expected %q", c.args, got.code, c.code, len(got.stdout), got.stderr, c.want)
		}
	}
}

// A day without a year is the season's, as in a plan; a day as people say it is that day.
func TestDrillingDatesAsPlansWriteThem(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	shareRuns(t)
	printed := ""
	for _, days := range [][2]string{{"2026-09-20", "2026-10-20"}, {"20 Sep", "20 Oct"}, {"20 September", "20 Oct 2026"}} {
		got := run(t, "drilling", "plan.yaml", "--every", "30d", "--replicates", "20", "--from", days[0], "--to", days[1])
		if printed == "" {
			printed = got.stdout
		}
		if got.code != exitDone || got.stdout != printed || !strings.Contains(got.stdout, "20 Sep") {
			t.Errorf("%v: exit %d, %s%s", days, got.code, got.stderr, got.stdout)
		}
	}
	for _, wrong := range []string{"25 Spt", "31 Sep", "Sep", "25.9."} {
		if got := run(t, "drilling", "plan.yaml", "--from", wrong); got.code != exitUsage || !strings.Contains(got.stderr, "expected a date like 25 Sep") {
			t.Errorf("%s: exit %d, %s", wrong, got.code, got.stderr)
		}
	}
}

func TestDrillingFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("makes some hundred models and draws every picture")
	}
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	shareRuns(t)
	args := "drilling plan.yaml --every 20d --replicates 50 --jobs "
	one := run(t, strings.Fields(args+"1 --json --out out")...)
	if two := run(t, strings.Fields(args+"2 --json")...); one.stdout != two.stdout || one.code != exitDone {
		t.Error("--jobs changes the result")
	}
	want := "[drilling-infestation.png drilling-infestation.svg drilling-parts.png drilling-parts.svg drilling.csv drilling.json drilling.png " +
		"drilling.svg plan-2026-09-05.yaml plan-2026-09-25.yaml plan-2026-10-15.yaml plan-2026-11-04.yaml provenance.json report.html]"
	if fmt.Sprint(baseNames(listing(t, "out"))) != want {
		t.Errorf("files %v", listing(t, "out"))
	}
	f, err := os.Open("out/drilling.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || strings.Join(rows[0], ",") != "drilling_date,metric,unit,quantile,estimate" || (len(rows)-1)%(9*6+1) != 0 {
		t.Errorf("%d rows, heading %v, %v", len(rows), rows[0], err)
	}
	got := run(t, strings.Fields(args+"2 --full")...)
	for _, want := range []string{"Far Piece: when to drill winter wheat for harvest 2027",
		"Best mean margin over harvests 2027 to 2028, of the dates that go in in at least 80 of 100 runs", "For harvest 2027 alone it is",
		"Not drilled in time: in", "Between 5 Sep and", "on clean ground the", "Lost to the date", "Lost to weed", "The money and the risk",
		"The best date by infestation (50 runs each)", "low, 3", "high, 430",
		"The last spray before drilling goes on 1 day before it, whatever the date.", "Drilling is given up after 10 Nov"} {
		if !strings.Contains(strings.Join(strings.Fields(got.stdout), " "), want) {
			t.Errorf("the text does not say %q:\n%s", want, got.stdout)
		}
	}
}

// Of an empty seedbank there is no more and no less: only the dates are swept.
func TestDrillingOnCleanGround(t *testing.T) {
	schema := schemaText(t, "drilling.json")
	inFolder(t, map[string]string{"clean.yaml": strings.Replace(smallPlan, "heads_per_m2: 30", "seedbank_per_m2: {0-5: 0}", 1)})
	v := document(t, schema, "drilling clean.yaml --every 30d --replicates 20 --json")
	if n := len(v["infestations"].([]any)); n != 0 || len(v["dates"].([]any)) < 2 {
		t.Errorf("%d infestations, %d dates", n, len(v["dates"].([]any)))
	}
	if got := run(t, strings.Fields("drilling clean.yaml --every 30d --replicates 20")...); strings.Contains(got.stdout, "infestation") {
		t.Errorf("it speaks of infestations:\n%s", got.stdout)
	}
}
