package main

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"
)

// meanAndSD are worked out here, apart from the program.
func meanAndSD(x []float64) (mean, sd float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		sd += (v - mean) * (v - mean) / float64(len(x)-1)
	}
	return mean, math.Sqrt(sd)
}

// farmTold is what the tests read of farm.json.
type farmTold struct {
	Answer struct {
		Verdict string
		Facts   struct {
			Plans []struct {
				Name  string
				Best  int     `json:"best_on_fields"`
				Money float64 `json:"money_year"`
			}
			Chosen struct{ Mean, P05, P95 float64 } `json:"chosen_money_year"`
			Over   float64                          `json:"chosen_over_best_everywhere_year"`
			More   float64                          `json:"chosen_earns_more_share"`
			Best   string                           `json:"best_everywhere"`
			Top    string                           `json:"most_at_stake"`
			Stake  float64                          `json:"stake_field_year"`
			Down   int                              `json:"fields_down"`
			Up     int                              `json:"fields_up"`
		}
	}
	Farm struct {
		Chosen struct {
			SD float64 `json:"sd"`
		} `json:"best_of_each"`
	}
}

// What the answer says of the farm is what its runs and its rows hold, worked out again.
func TestFarmAnswer(t *testing.T) {
	inFull(t)
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "later.yaml": strings.Replace(smallPlan, "spring-barley", "spring-beans", 1), "fields.csv": smallFarm})
	got := run(t, strings.Fields("farm fields.csv plan.yaml later.yaml --replicates 60 --replicates-csv --json --out farm")...)
	if got.code != exitDone {
		t.Fatal(got.stderr)
	}
	var v farmTold
	if err := json.Unmarshal([]byte(got.stdout), &v); err != nil {
		t.Fatal(err)
	}
	f, money := v.Answer.Facts, moneyOf(t, "farm")
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
			t.Errorf("%s: %v, the runs say %v", what, got, want)
		}
	}
	mean, sd := meanAndSD(money[""])
	near("money", f.Chosen.Mean, mean)
	near("its spread", v.Farm.Chosen.SD, sd)
	best, top := math.Inf(-1), ""
	for _, p := range f.Plans {
		mean, _ := meanAndSD(money[p.Name])
		near(p.Name, p.Money, mean)
		if mean > best {
			best, top = mean, p.Name
		}
	}
	if top != f.Best {
		t.Errorf("%s earns most on every field, the answer says %s", top, f.Best)
	}
	near("more than that", f.Over, mean-best)
	more := 0.0
	for k, x := range money[""] {
		switch y := money[top][k]; {
		case x > y:
			more++
		case x == y:
			more += 0.5
		}
	}
	near("more in", f.More, more/60)
	rows := readCSV(t, "farm/farm.csv")
	at := func(head string) int { return slices.Index(rows[0], head) }
	on, down, up, stakes := map[string]int{}, 0, 0, map[string][]float64{}
	for _, r := range rows[1:] {
		stakes[r[0]] = append(stakes[r[0]], asNumber(t, r[at("margin_field_year")]))
		if r[at("earns_most")] == "1" {
			on[r[1]]++
			switch r[at("verdict")] {
			case "down", "likely-down":
				down++
			case "up", "likely-up":
				up++
			}
		}
	}
	for _, p := range f.Plans {
		if on[p.Name] != p.Best {
			t.Errorf("%s earns most on %d fields, the answer says %d", p.Name, on[p.Name], p.Best)
		}
	}
	most := 0.0
	for _, x := range stakes {
		most = max(most, slices.Max(x)-slices.Min(x))
	}
	near("at stake", f.Stake, most)
	near("at stake on "+f.Top, slices.Max(stakes[f.Top])-slices.Min(stakes[f.Top]), most)
	if down != f.Down || up != f.Up {
		t.Errorf("down on %d fields and up on %d, the answer says %d and %d", down, up, f.Down, f.Up)
	}
}

// A farm of one field says what compare says of that field, within the error of the runs:
// the field's own luck is another, the law is the same. Means of 400 runs differ by more than
// 4.5 standard errors once in 150,000 seeds.
func TestFarmOfOneField(t *testing.T) {
	inFull(t)
	later := strings.Replace(smallPlan, "spring-barley", "spring-beans", 1)
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "later.yaml": later, "fields.csv": "name,area_ha\nFar Piece,7\n"})
	for _, line := range []string{"farm fields.csv plan.yaml later.yaml --replicates-csv --out farm", "forecast plan.yaml --replicates-csv --out plan",
		"forecast later.yaml --replicates-csv --out later"} {
		if got := run(t, strings.Fields(line+" --replicates 400 --quiet")...); got.code != exitDone {
			t.Fatal(got.stderr)
		}
	}
	farm := moneyOf(t, "farm")
	for _, plan := range []string{"plan", "later"} {
		alone := make([]float64, 400)
		rows := readCSV(t, plan+"/replicates.csv")
		margin := slices.Index(rows[0], "margin_per_ha")
		for _, r := range rows[1:] {
			alone[int(asNumber(t, r[0]))-1] += 7 * asNumber(t, r[margin]) / 2 // ha, seasons
		}
		a, sd := meanAndSD(alone)
		b, other := meanAndSD(farm[plan])
		within := 4.5 * math.Sqrt((sd*sd+other*other)/400)
		t.Logf("%s: %.0f alone, %.0f in a farm, within %.0f; spreads %.0f and %.0f", plan, a, b, within, sd, other)
		if math.Abs(a-b) > within || sd/other > 1.5 || other/sd > 1.5 {
			t.Errorf("%s: %.0f (%.0f) alone, %.0f (%.0f) in a farm of one field", plan, a, sd, b, other)
		}
	}
}
