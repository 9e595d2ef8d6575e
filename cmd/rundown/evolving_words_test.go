package main

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// toldProgramme is a herbicide as the JSON of a forecast tells of it.
type toldProgramme struct {
	Programme string
	Stated    float64 `json:"kill_without_resistance"`
	Kill      []struct {
		Harvest int `json:"harvest_year"`
		Band    struct{ P50 float64 }
	}
	Falls *int    `json:"falls_to_half"`
	Never float64 `json:"never_share"`
}

// toldResistance is what a forecast says of resistance, in words and numbers.
type toldResistance struct {
	Answer struct {
		Facts struct {
			Cost float64 `json:"resistance_cost_per_ha_year"`
		}
		Sentences []string
	}
	Warnings   []struct{ Code, Text string }
	Resistance struct{ Programmes []toldProgramme }
}

var (
	fromLast = regexp.MustCompile(`([a-zA-Z][a-z0-9 -]*) kills (\d+) of 100 at first(?: \((\d+) without resistance\))? and (\d+) by (\d+)\.`)
	halved   = regexp.MustCompile(`[Aa]t first ([a-z0-9 -]+) kills (\d+) of 100(?: \((\d+) without resistance\))?, from harvest (\d+) on less than half of that\.`)
	falling  = regexp.MustCompile(`^([A-Z][a-z0-9 -]*) falls from (\d+) to (\d+) of 100 by (\d+)\.`)
	loses    = regexp.MustCompile(`([a-zA-Z][a-z0-9 -]*) loses half of its kill in (\S+) of 100 runs\.`)
	noted    = regexp.MustCompile(`; ([a-z0-9 -]+) kills (\d+) of 100 at first, (\d+) without resistance`)
	costing  = regexp.MustCompile(`Growing resistance costs about ([\d,]+) GBP/ha a year\.`)
)

// of100 fails where words are not a share of the numbers.
func (r *toldResistance) of100(t *testing.T, text, words string, want float64) {
	t.Helper()
	if n, err := strconv.ParseFloat(words, 64); err != nil || math.Abs(n-100*want) > 0.5001 {
		t.Errorf("%q: %s, the numbers say %.4f", text, words, want)
	}
}

// named is the programme of a name as words have it.
func (r *toldResistance) named(t *testing.T, text, name string) *toldProgramme {
	t.Helper()
	name = strings.Replace(strings.ToLower(name), "burn-off", "spray off", 1) // as it is spoken
	for i := range r.Resistance.Programmes {
		p := &r.Resistance.Programmes[i]
		if strings.EqualFold(strings.ReplaceAll(p.Programme, "-", " "), strings.TrimSpace(name)) {
			return p
		}
	}
	t.Fatalf("%q names no spray of the plan", text)
	return nil
}

// Every sentence of a forecast on resistance is held against the numbers beside it, for what a plan may say of it in three weeds: which
// spray falls first and when, what it kills at first, at last and without resistance, and what that costs. Sprays that
// are not meant for the weed are not told of, and where nothing is known the answer says that it starts rare.
func TestWordsOnResistanceAreTrue(t *testing.T) {
	inFull(t)
	plan := func(weed, said string) string {
		wheat := "  - {crop: winter-wheat, drill: {date: 5 Oct}, otherwise: spring-barley, herbicides: [{programme: autumn-residual-stack, " +
			"days_after_drilling: 2}, {programme: contact-acc-cereals, date: 1 Nov}, {programme: spring-contact, date: 15 Mar}]}\n"
		return "field: {name: Words (invented), area_ha: 8, soil: clay, climate: east-lowland}\nweed:\n  species: " + weed +
			"\n  start: 2026-08-01\n  heads_per_m2: 15\n  evolve: yes\n" + said + "seasons:\n" + strings.Repeat(wheat, 8)
	}
	kinds := map[string]int{}
	for _, x := range []struct{ weed, said string }{
		{"black-grass", ""}, {"italian-rye-grass", ""}, {"sterile-brome", ""},
		{"black-grass", "{1: 0.5, 2: 0.3, 15: 0.1}"}, {"sterile-brome", "{2: most survive}"}, {"sterile-brome", "{2: {survived: 0.35}}"},
		{"black-grass", "{2: {survived: 0.35, by: one-gene}}"}, {"italian-rye-grass", "{1: {rating: RR}, 2: {survey: 1-19}, 15: {rating: R-maybe}}"},
		{"italian-rye-grass", "{1: {tested: 20, carriers: 3}, 2: {tested: 20, carriers: 0, by: both}}"},
	} {
		said := ""
		if x.said != "" {
			said = "  resistance: " + x.said + "\n"
		}
		inFolder(t, map[string]string{"plan.yaml": plan(x.weed, said)})
		out := run(t, strings.Fields("forecast plan.yaml --json --replicates 80")...)
		if out.code != exitDone {
			t.Fatalf("%s %s: %s", x.weed, x.said, out.stderr)
		}
		var r toldResistance
		if err := json.Unmarshal([]byte(out.stdout), &r); err != nil {
			t.Fatal(err)
		}
		all := strings.Join(r.Answer.Sentences, " ")
		if (x.said == "") != strings.Contains(all, "Resistance starts rare, not absent") {
			t.Errorf("%s %s: %s", x.weed, x.said, all)
		}
		for _, s := range r.Answer.Sentences {
			if n := len(strings.Fields(s)); n > 25 {
				t.Errorf("%d words: %s", n, s)
			}
			r.sentence(t, s, kinds)
		}
		for _, w := range r.Warnings {
			for _, m := range noted.FindAllStringSubmatch(w.Text, -1) {
				kinds["note"]++
				p := r.named(t, w.Text, m[1])
				r.of100(t, w.Text, m[2], p.Kill[0].Band.P50)
				r.of100(t, w.Text, m[3], p.Stated)
			}
		}
	}
	t.Log(kinds)
	for _, kind := range []string{"halved", "to the last", "note", "cost"} {
		if kinds[kind] == 0 {
			t.Errorf("no plan has a sentence of the kind %q: it was not tried", kind)
		}
	}
}

// sentence holds one sentence of an answer against the numbers.
func (r *toldResistance) sentence(t *testing.T, s string, kinds map[string]int) {
	t.Helper()
	if m := halved.FindStringSubmatch(s); m != nil {
		kinds["halved"]++
		p := r.named(t, s, m[1])
		r.of100(t, s, m[2], p.Kill[0].Band.P50)
		if m[3] != "" {
			r.of100(t, s, m[3], p.Stated)
		}
		year, _ := strconv.Atoi(m[4])
		for i := range r.Resistance.Programmes {
			q := &r.Resistance.Programmes[i]
			if q.Stated >= 0.2 && q.Falls != nil && *q.Falls < year || p.Falls == nil || *p.Falls != year {
				t.Errorf("%q: %s falls in %v", s, q.Programme, q.Falls)
			}
		}
	} else if m := fromLast.FindStringSubmatch(strings.TrimPrefix(s, "Resistance starts rare, not absent: ")); m != nil {
		kinds["to the last"]++
		p := r.named(t, s, m[1])
		last := p.Kill[len(p.Kill)-1]
		r.of100(t, s, m[2], p.Kill[0].Band.P50)
		r.of100(t, s, m[4], last.Band.P50)
		if m[3] != "" {
			r.of100(t, s, m[3], p.Stated)
		}
		if m[5] != fmt.Sprint(last.Harvest) || p.Stated < 0.2 {
			t.Errorf("%q: the last harvest is %d; it kills %.2f without resistance", s, last.Harvest, p.Stated)
		}
	} else if m := loses.FindStringSubmatch(strings.TrimPrefix(s, "Resistance starts rare, not absent: ")); m != nil {
		kinds["share"]++
		r.of100(t, s, m[2], 1-r.named(t, s, m[1]).Never)
	}
	if m := falling.FindStringSubmatch(s); m != nil {
		kinds["falling"]++
		p := r.named(t, s, m[1])
		r.of100(t, s, m[2], p.Kill[0].Band.P50)
		r.of100(t, s, m[3], p.Kill[len(p.Kill)-1].Band.P50)
	}
	if m := costing.FindStringSubmatch(s); m != nil {
		kinds["cost"]++
		if x, _ := strconv.ParseFloat(strings.ReplaceAll(m[1], ",", ""), 64); math.Abs(x-r.Answer.Facts.Cost) > 5.001 {
			t.Errorf("%q: the numbers say %.1f", s, r.Answer.Facts.Cost)
		}
	}
	if strings.Contains(s, "no spray loses half") {
		kinds["none"]++
		for _, p := range r.Resistance.Programmes {
			if p.Stated >= 0.2 && p.Never < 0.95 {
				t.Errorf("%q: %s keeps half of its kill in %.2f of the runs", s, p.Programme, p.Never)
			}
		}
	}
}
