package main

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

// With --afterwards a farm says of every field what it says without, to the last digit, and
// more: the farm's value is the sum of its fields', what a field's seed costs is what
// is taken off, and parts of it join to the same bytes.
func TestFarmAfterwards(t *testing.T) {
	numbersAlone(t)
	schema := schemaText(t, "farm.json")
	rows := strings.Split(strings.TrimSpace(smallFarm), "\n")
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "later.yaml": strings.Replace(smallPlan, "spring-barley", "spring-beans", 1),
		"fields.csv": strings.Join(rows[:4], "\n") + "\n"})
	const line = "farm fields.csv plan.yaml later.yaml --replicates 12 --quiet"
	for dir, args := range map[string]string{"plain": "", "after": " --afterwards"} {
		if got := run(t, append(strings.Fields(line+args), "--out", dir)...); got.code != exitDone {
			t.Fatal(got.stderr)
		}
	}
	plain, after := readCSV(t, "plain/farm.csv"), readCSV(t, "after/farm.csv")
	column := map[string]int{}
	for i, name := range after[0] {
		column[name] = i
	}
	sum := map[string]float64{}
	for i, r := range after {
		if a, b := strings.Join(plain[i], ","), strings.Join(r[:len(plain[i])], ","); a != b {
			t.Errorf("with what seed costs afterwards a row is another:\n%s\n%s", a, b)
		}
		if i > 0 {
			value, left := asNumber(t, r[column["value_per_ha_year"]]), asNumber(t, r[column["left_behind_per_ha_year"]])
			sum[r[1]] += value * asNumber(t, r[column["area_ha"]])
			if left < 0 {
				t.Errorf("%s: seed that is left brings %v", r[0], -left)
			}
		}
	}
	var v struct {
		Farm struct {
			Plans []struct {
				Name  string
				Value struct{ Mean float64 } `json:"value_year"`
			} `json:"every_field"`
		}
	}
	document(t, schema, line+" --afterwards --json")
	if err := json.Unmarshal([]byte(readText(t, "after/farm.json")), &v); err != nil {
		t.Fatal(err)
	}
	for _, p := range v.Farm.Plans {
		if math.Abs(p.Value.Mean-sum[p.Name]) > 1e-6*math.Abs(sum[p.Name]) {
			t.Errorf("%s on every field is worth %v, its fields together %v", p.Name, p.Value.Mean, sum[p.Name])
		}
	}
	for _, part := range []string{"2/2", "1/2"} {
		if got := run(t, strings.Fields(line+" --afterwards --out parts --part "+part)...); got.code != exitDone {
			t.Fatal(got.stderr)
		}
	}
	if got := run(t, "join", "parts", "--out", "joined", "--quiet"); got.code != exitDone {
		t.Fatal(got.stderr)
	}
	for _, name := range []string{"farm.csv", "farm.json"} {
		if readText(t, "joined/"+name) != readText(t, "after/"+name) {
			t.Errorf("joined, %s is another", name)
		}
	}
}
