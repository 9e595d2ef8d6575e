package main

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"sort"
	"strconv"
	"strings"
	"testing"
)

// evolvingPlan is wheat each year with two groups of contact sprays, in which resistance evolves.
const evolvingPlan = `field: {name: Test Field (invented), area_ha: 4, soil: clay, climate: east-lowland}
weed:
  species: black-grass
  start: 2026-08-01
  heads_per_m2: 20
  resistance: {1: {survived: 0.3, by: one-gene}, 2: {tested: 20, carriers: 4}, 15: 0.2, 3: {rating: RR}}
  evolve: yes
seasons:
  - crop: winter-wheat
    drill: {date: 1 Oct}
    herbicides:
      - {programme: autumn-residual-stack, days_after_drilling: 2}
      - {programme: contact-acc-cereals, date: 1 Nov}
      - {programme: spring-contact, date: 15 Mar}
repeat: 6
`

// A forecast of resistance that evolves keeps to its schema, whatever the number of jobs, and the same
// in parts; its medians and its year of fall are those of replicates.csv, worked out here.
func TestForecastOfResistance(t *testing.T) {
	inFull(t)
	schema := schemaText(t, "forecast.json")
	inFolder(t, map[string]string{"plan.yaml": evolvingPlan})
	shareRuns(t)
	got := document(t, schema, "forecast plan.yaml --json --replicates 60")
	if again := document(t, schema, "forecast plan.yaml --json --replicates 60 --jobs 1"); !reflect.DeepEqual(got, again) {
		t.Error("another number of jobs gives another result")
	}
	if r := run(t, strings.Fields("forecast plan.yaml --replicates 60 --replicates-csv --out out --quiet")...); r.code != exitDone {
		t.Fatalf("exit %d: %s", r.code, r.stderr)
	}
	rows := readCSV(t, "out/replicates.csv")
	resistance := got["resistance"].(map[string]any)
	for _, p := range resistance["programmes"].([]any) {
		p := p.(map[string]any)
		name := p["programme"].(string)
		byYear := columnByYear(t, rows, "kill_of_"+name)
		fall, first := any(nil), medianOf(byYear[0].values)
		for i, y := range byYear {
			band := p["kill"].([]any)[i].(map[string]any)["band"].(map[string]any)
			m := medianOf(y.values)
			if got := band["p50"].(float64); math.Abs(got-m) > 1e-9 {
				t.Errorf("%s, harvest %s: the median is %v, replicates.csv gives %v", name, y.year, got, m)
			}
			if year, _ := strconv.ParseFloat(y.year, 64); fall == nil && m < first/2 {
				fall = year
			}
		}
		if p["falls_to_half"] != fall {
			t.Errorf("%s falls to half in %v, replicates.csv gives %v", name, p["falls_to_half"], fall)
		}
	}
	for name, want := range map[string]float64{"carriers_group_1": 0.263, "carriers_group_2": 4.5 / 21} {
		if m := medianOf(columnByYear(t, rows, name)[0].values); math.Abs(m-want) > 0.09 {
			t.Errorf("%s is %v in the first season, the plan says about %v", name, m, want)
		}
	}
}

type yearOf struct {
	year   string
	values []float64
}

func columnByYear(t *testing.T, rows [][]string, name string) (out []yearOf) {
	t.Helper()
	at := -1
	for i, h := range rows[0] {
		if h == name {
			at = i
		}
	}
	if at < 0 {
		t.Fatalf("no column %s among %v", name, rows[0])
	}
	index := map[string]int{}
	for _, r := range rows[1:] {
		if r[at] == "" {
			continue
		}
		x, err := strconv.ParseFloat(r[at], 64)
		if err != nil {
			t.Fatal(err)
		}
		k, ok := index[r[1]]
		if !ok {
			k = len(out)
			index[r[1]], out = k, append(out, yearOf{year: r[1]})
		}
		out[k].values = append(out[k].values, x)
	}
	return out
}

// medianOf is the middle of an even number of values.
func medianOf(x []float64) float64 {
	sort.Float64s(x)
	return (x[(len(x)-1)/2] + x[len(x)/2]) / 2
}

// Parts of the runs join to what the whole gives, held-still runs and all.
func TestResistanceInParts(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": evolvingPlan})
	whole := run(t, strings.Fields("forecast plan.yaml --replicates 30 --json")...)
	for _, part := range []string{"1/2", "2/2"} {
		if r := run(t, "forecast", "plan.yaml", "--replicates", "30", "--part", part, "--out", "parts"); r.code != exitDone {
			t.Fatalf("part %s: %s", part, r.stderr)
		}
	}
	joined := run(t, "join", "parts", "--json")
	if joined.code != exitDone || joined.stdout != whole.stdout {
		t.Errorf("joined: exit %d, %s; the same as the whole: %v", joined.code, joined.stderr, joined.stdout == whole.stdout)
	}
}

// Drivers know the values of what the weed inherits, and what the plan says of it.
func TestDriversOfResistance(t *testing.T) {
	inFull(t)
	inFolder(t, map[string]string{"plan.yaml": evolvingPlan})
	shareRuns(t)
	r := run(t, strings.Fields("drivers plan.yaml --replicates 8 --json")...)
	if r.code != exitDone {
		t.Fatalf("exit %d: %s", r.code, r.stderr)
	}
	for _, path := range []string{"genes/black-grass/heritability_15", "genes/black-grass/protection", "weed.resistance.2"} {
		if !strings.Contains(r.stdout, `"`+path+`"`) {
			t.Errorf("drivers do not know %s", path)
		}
	}
	if strings.Contains(r.stdout, "heritability_30") {
		t.Error("drivers list a group that the plan does not spray")
	}
}

// What a comparison says of a plan's resistance is what a forecast says of it, but for its cost, which
// only a forecast asks for.
func TestComparedResistance(t *testing.T) {
	other := strings.Replace(evolvingPlan, "      - {programme: spring-contact, date: 15 Mar}\n", "", 1)
	rules := schemaText(t, "compare.json")
	inFolder(t, map[string]string{"a.yaml": evolvingPlan, "b.yaml": other})
	shareRuns(t)
	type resistance struct {
		Programmes, Genes []any
	}
	var both struct {
		Answer struct{ Sentences []string }
		Plans  []struct{ Resistance resistance }
	}
	read := func(into any, arguments string) {
		t.Helper()
		r := run(t, strings.Fields(arguments)...)
		if r.code != exitDone {
			t.Fatalf("%s: exit %d, %s", arguments, r.code, r.stderr)
		}
		if err := json.Unmarshal([]byte(r.stdout), into); err != nil {
			t.Fatal(err)
		}
	}
	read(&both, "compare a.yaml b.yaml --replicates 30 --json")
	for i, name := range []string{"a.yaml", "b.yaml"} {
		var one struct{ Resistance resistance }
		read(&one, "forecast "+name+" --replicates 30 --json")
		got := both.Plans[i].Resistance
		if len(one.Resistance.Programmes) < 2 || !reflect.DeepEqual(got, one.Resistance) {
			t.Errorf("%s: compared %v, forecast %v", name, got, one.Resistance)
		}
	}
	first := math.Inf(1) // harvest at which a spray's kill is first below half
	for _, p := range both.Plans {
		for _, each := range p.Resistance.Programmes {
			if year, falls := each.(map[string]any)["falls_to_half"].(float64); falls {
				first = min(first, year)
			}
		}
	}
	if said := fmt.Sprintf("From harvest %g on ", first); !strings.Contains(strings.Join(both.Answer.Sentences, " "), said) {
		t.Errorf("%q is not in %q", said, both.Answer.Sentences)
	}
	document(t, rules, "compare a.yaml b.yaml --replicates 30 --json")
}
