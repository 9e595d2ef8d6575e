package main

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
)

// walked is a file of plants counted in wheat, twenty quadrats a day: per m² on each day about so many.
func walked(days ...string) string {
	var b strings.Builder
	b.WriteString("date,zone,kind,quadrat_m2,count,depth_cm\n")
	for _, d := range days {
		day, density, _ := strings.Cut(d, " ")
		var perM2 float64
		fmt.Sscan(density, &perM2)
		for i := range 20 {
			fmt.Fprintf(&b, "%s,whole,plants,0.25,%.0f,\n", day, perM2/4*(0.7+0.3*float64(i%3)))
		}
	}
	return b.String()
}

// Plants counted before a spray say nothing of resistance; counted before and after it they tell whether it
// killed, which is known without the model: of 80 plants 76 left is resistance, 4 left is none. What goes on from
// the posterior has the kill that the update found.
func TestCountsTellOfResistance(t *testing.T) {
	inFull(t)
	schema := schemaText(t, "update.json")
	plan := "field: {name: Tell Field (invented), area_ha: 4, soil: clay, climate: east-lowland, work: on-its-day}\n" +
		"weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 20, resistance: {2: {survived: {low: 0.02, high: 0.98}}}, evolve: yes}\n" +
		"seasons: [{crop: winter-wheat, drill: {date: 5 Oct}, herbicides: [{programme: spring-contact, date: 15 Mar}]}]\n"
	inFolder(t, map[string]string{"plan.yaml": plan, "before.csv": walked("2027-03-10 80"),
		"many.csv": walked("2027-03-10 80", "2027-04-05 76"), "few.csv": walked("2027-03-10 80", "2027-04-05 4")})
	shareRuns(t)
	for name, want := range map[string]string{"before": "The count says nothing of resistance", "many": "The counts tell of more resistance",
		"few": "The counts tell of less resistance"} {
		document(t, schema, "update plan.yaml "+name+".csv --json --replicates 150")
		r := run(t, strings.Fields("update plan.yaml "+name+".csv --json --replicates 150 --posterior past.json")...)
		var got struct {
			Answer     struct{ Sentences []string }
			Resistance struct {
				Most       *string `json:"moved_most"`
				Programmes []struct {
					Programme     string
					Before, After struct{ P05, P50, P95 float64 }
				}
			}
		}
		if err := json.Unmarshal([]byte(r.stdout), &got); err != nil {
			t.Fatal(err)
		}
		said := got.Answer.Sentences[len(got.Answer.Sentences)-1]
		if !strings.HasPrefix(said, want) || (got.Resistance.Most == nil) != (name == "before") {
			t.Errorf("%s: %s", name, said)
		}
		p := got.Resistance.Programmes[1]
		t.Logf("%s: %s kills %.2f (%.2f–%.2f), then %.2f (%.2f–%.2f)", name, p.Programme, p.Before.P50, p.Before.P05, p.Before.P95, p.After.P50,
			p.After.P05, p.After.P95)
		if name == "many" && p.After.P50 > 0.3 || name == "few" && p.After.P05 < 0.7 { // large plants may outlive a spray without resistance
			t.Errorf("%s: the kill of %s is %.2f, nine in ten in %.2f–%.2f", name, p.Programme, p.After.P50, p.After.P05, p.After.P95)
		}
		f := run(t, strings.Fields("forecast plan.yaml --json --replicates 150 --posterior past.json")...)
		var on struct {
			Resistance struct {
				Programmes []struct {
					Kill []struct{ Band struct{ P50 float64 } }
				}
			}
		}
		if err := json.Unmarshal([]byte(f.stdout), &on); err != nil {
			t.Fatal(err)
		}
		if x := on.Resistance.Programmes[1].Kill[0].Band.P50; math.Abs(x-p.After.P50) > 0.02 {
			t.Errorf("%s: the forecast goes on with a kill of %.3f, the update found %.3f", name, x, p.After.P50)
		}
	}
}
