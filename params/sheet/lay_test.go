package sheet_test

import (
	"testing"

	"rundown/params/sheet"
)

// A value is laid under a path of keys, and what it was laid over stays as it was.
func TestLay(t *testing.T) {
	var m sheet.Mistakes
	plan := sheet.Parse("plan.yaml", []byte("field: {soil: clay, area_ha: 3}\nweed: {heads_per_m2: 40}\n"), &m)
	cell := &sheet.Node{Place: sheet.Place{File: "fields.csv", Line: 2, Column: 7}, Text: "5"}
	at := func(n *sheet.Node, path ...string) *sheet.Node {
		for _, key := range path {
			_, n = n.Value(key)
		}
		return n
	}
	laid := sheet.Lay(sheet.Lay(plan, []string{"field", "area_ha"}, cell), []string{"weed", "heads_per_m2", "low"}, cell)
	if at(laid, "field", "area_ha") != cell || at(laid, "weed", "heads_per_m2", "low") != cell || at(laid, "field", "soil").Text != "clay" {
		t.Errorf("laid: %+v", laid)
	}
	if key, _ := at(laid, "field").Value("area_ha"); key.Place.File != "fields.csv" {
		t.Errorf("the key stands at %v", key.Place)
	}
	if at(plan, "field", "area_ha").Text != "3" || at(plan, "weed", "heads_per_m2").Text != "40" {
		t.Errorf("the plan was changed: %+v", plan)
	}
	if less := sheet.Without(at(laid, "field"), "soil"); len(less.Keys) != 1 || len(at(laid, "field").Keys) != 2 {
		t.Errorf("%d keys without one, of %d", len(less.Keys), len(at(laid, "field").Keys))
	}
	if fresh := sheet.Lay(nil, []string{"a", "b"}, cell); at(fresh, "a", "b") != cell {
		t.Errorf("laid over nothing: %+v", fresh)
	}
}

// Headings are those of the first line, whatever parts them.
func TestHeadings(t *testing.T) {
	for text, want := range map[string]string{"a, b\n1,2\n": "a|b", "a;b\n": "a|b", "\ufeffa\tb": "a|b", "": "", "\"a": ""} {
		got := ""
		for i, h := range sheet.Headings([]byte(text)) {
			if i > 0 {
				got += "|"
			}
			got += h
		}
		if got != want {
			t.Errorf("%q: %q, expected %q", text, got, want)
		}
	}
}
