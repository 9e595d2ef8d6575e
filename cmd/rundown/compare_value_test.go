package main

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"
)

// With --afterwards a comparison says what it says without, to the last digit, and more: a value
// for each plan. The dirtier plan is charged more, and a year's value is the margin less the charge.
func TestCompareAfterwards(t *testing.T) {
	schema := schemaText(t, "compare.json")
	comparedPlans(t)
	const call = "compare wheat.yaml spring.yaml --replicates 60 --json --quiet"
	plain := document(t, schema, call)
	more := document(t, schema, call+" --afterwards")
	mean := func(plan any, key string) float64 {
		return plan.(map[string]any)["value"].(map[string]any)[key].(map[string]any)["mean"].(float64)
	}
	plans := more["plans"].([]any)
	for _, p := range plans {
		margin, left, year := mean(p, "discounted_margin_per_ha_year"), mean(p, "left_behind_per_ha_year"), mean(p, "value_per_ha_year")
		if math.Abs(margin-left-year) > 1e-6 || left <= 0 {
			t.Errorf("a margin of %v less %v left behind is %v", margin, left, year)
		}
	}
	if dirty, clean := mean(plans[0], "left_behind_per_ha"), mean(plans[1], "left_behind_per_ha"); dirty < 1.5*clean {
		t.Errorf("wheat after wheat leaves seed that costs %v, spring crops %v", dirty, clean)
	}
	answer := more["answer"].(map[string]any)
	most := 0
	if mean(plans[1], "value_per_ha_year") > mean(plans[0], "value_per_ha_year") {
		most = 1
	}
	if name := answer["facts"].(map[string]any)["worth_most"]; name != plans[most].(map[string]any)["name"] {
		t.Errorf("%v is worth most", name)
	}
	for _, p := range plans {
		delete(p.(map[string]any), "value")
	}
	delete(answer["facts"].(map[string]any), "worth_most")
	var said []any
	for _, s := range answer["sentences"].([]any) {
		if !strings.Contains(s.(string), "seed costs afterwards") {
			said = append(said, s)
		}
	}
	answer["sentences"] = said
	for _, d := range []map[string]any{plain, more} {
		delete(d, "provenance") // it holds the flag
	}
	a, _ := json.Marshal(plain)
	b, _ := json.Marshal(more)
	if string(a) != string(b) {
		t.Errorf("valued plans are told otherwise:\n%s\n%s", a, b)
	}
}

// Plans that are charged for their seed must be followed by the same, and by something that fits.
func TestCompareAfterwardsRefuses(t *testing.T) {
	comparedPlans(t)
	write := func(name, more string) {
		if err := os.WriteFile(name, []byte("field: {name: Far Piece, area_ha: 7, soil: clay, climate: east-lowland}\nweed: {species: black-grass, "+
			"start: 2026-08-01, heads_per_m2: 30}\nseasons: [{crop: winter-wheat}]\n"+more), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("own.yaml", "afterwards: [{crop: spring-barley}]\n")
	write("dear.yaml", "discount: 0.08\n")
	write("never.yaml", "afterwards: [{crop: winter-wheat, drill: {date: 2026-10-01}}]\n")
	for _, x := range []struct{ plans, want string }{
		{"wheat.yaml own.yaml", "own.yaml:4:13: afterwards is not that of wheat.yaml"},
		{"wheat.yaml dear.yaml", "dear.yaml:4:11: discount is not that of wheat.yaml"},
		{"never.yaml never.yaml", "never.yaml:4:"},
	} {
		got := run(t, strings.Fields("compare "+x.plans+" --afterwards --replicates 2 --quiet")...)
		if got.code != exitInput || !strings.Contains(got.stderr, x.want) {
			t.Errorf("%s: exit %d, %s", x.plans, got.code, got.stderr)
		}
		if got := run(t, strings.Fields("compare wheat.yaml wheat.yaml own.yaml --replicates 2 --quiet")...); got.code != exitDone {
			t.Errorf("without --afterwards: exit %d, %s", got.code, got.stderr)
		}
	}
}
