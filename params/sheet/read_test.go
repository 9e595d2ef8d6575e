package sheet

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// farm is a small table with every kind of value in it.
func farm() *Table {
	field := &Table{Name: "the field", Keys: []Key{
		{Name: "name", Kind: Text},
		{Name: "area_ha", Kind: Number, Unit: "ha", High: 1000, Above: true, Required: true},
		{Name: "blocks", Kind: Whole, Low: 1, High: 9},
		{Name: "drained", Kind: YesNo},
		{Name: "soil", Kind: Choice, Choices: []string{"clay", "loam"}},
	}}
	spray := Key{Kind: OneOf, Forms: []Key{
		{Kind: EitherDate},
		{Kind: Nested, Table: &Table{Name: "a spray", Keys: []Key{{Name: "date", Kind: EitherDate, Required: true}}}},
	}}
	return &Table{Name: "the plan", Instead: map[string]string{"acreage": `"field", with area_ha in it`}, Keys: []Key{
		{Name: "field", Kind: Nested, Table: field},
		{Name: "start", Kind: FullDate},
		{Name: "harvest", Kind: AnnualDate},
		{Name: "crop", Kind: Name, Library: "crops", New: true},
		{Name: "sprays", Kind: List, Of: &spray},
		{Name: "months", Kind: List, Count: 3, Of: &Key{Kind: Number}},
		{Name: "prices", Kind: Free, Library: "crops", FreeKey: "crop", Of: &Key{Kind: Number, High: 1000}},
		{Name: "heads", Kind: Uncertain, Unit: "heads/m²", High: math.Inf(1)},
		{Name: "usual", Kind: Raw},
		{Name: "zones", Kind: Reserved, Doc: "a field is one zone for now"},
	}}
}

func read(text string) (*Mapping, string) {
	var m Mistakes
	p := Read(Parse("f", []byte(text), &m), farm(), &m)
	return p, m.Error()
}

func TestReadGood(t *testing.T) {
	p, mistakes := read("\ufefffield: {name: no, area_ha: 12.5, blocks: 3.0, drained: yes, soil: clay}\r\n" +
		"start: 2026-08-01\nharvest: 9 august\ncrop: HORVS\nsprays: [10 Oct, {date: 2027-01-02}]\n" +
		"months: [1, -2.5e1, .5]\nprices: {winter-wheat: 180}\nheads: {low: 25, high: 36}\nusual: {any: [thing]}\n")
	if mistakes != "" {
		t.Fatal(mistakes)
	}
	if got := p.Map("field").Text("name"); got != "no" {
		t.Errorf("name: no was read as %q; YAML 1.1 would make it false", got)
	}
	if got := p.Map("field").Number("blocks", 0); got != 3 {
		t.Errorf("blocks %v", got)
	}
	if v := p.List("sprays"); len(v) != 2 || v[0].Date.String() != "10 Oct" || v[1].Map.Get("date").Date.String() != "2027-01-02" {
		t.Errorf("sprays %+v", v)
	}
	if v := p.Get("heads"); v.Number != 30 || !v.Range() || v.Path != "heads" || v.Place != (Place{"f", 8, 8}) {
		t.Errorf("heads %+v", v)
	}
	if v := p.List("months"); v[1].Number != -25 || v[2].Number != 0.5 || v[1].Path != "months[1]" {
		t.Errorf("months %v", v)
	}
	if p.Get("start").Date.Day.String() != "2026-08-01" || p.Get("harvest").Date.String() != "9 Aug" {
		t.Error("dates")
	}
	if p.Map("prices").Number("winter-wheat", 0) != 180 || p.Get("usual").Node.Shape != Map {
		t.Error("prices or usual")
	}
}

func TestReadMistakes(t *testing.T) {
	for _, c := range []struct{ why, text, want string }{
		{"a fraction is not cut to a whole number", "field: {area_ha: 1, blocks: 1.5}", `f:1:29: found "1.5" for "blocks"; expected a whole number from 1 to 9`},
		{"null is not zero", "heads:", `f:1:7: nothing stands after "heads"; expected a number (heads/m²) 0 or more or {low: …, high: …}, or leave the key out`},
		{"null is not an empty list", "sprays:\ncrop: beet", `f:1:8: nothing stands after "sprays"; write [] for none or leave the key out`},
		{"NaN is no number", "heads: .nan", `f:1:8: found ".nan" for "heads"; expected a number (heads/m²) 0 or more`},
		{"nor is infinity", "heads: .inf", `f:1:8: found ".inf" for "heads"; expected a number (heads/m²) 0 or more`},
		{"a number too large becomes infinite", "heads: 1e999", `f:1:8: found "1e999" for "heads"; expected a number (heads/m²) 0 or more: it is too large`},
		{"octal in YAML 1.1", "heads: 010", `f:1:8: found "010" for "heads"; expected a number (heads/m²) 0 or more: write it without the leading zero`},
		{"hexadecimal", "heads: 0x10", `f:1:8: found "0x10" for "heads"; expected a number (heads/m²) 0 or more: write it in decimal`},
		{"underscore", "heads: 1_000", `f:1:8: found "1_000" for "heads"; expected a number (heads/m²) 0 or more: write 1000`},
		{"decimal comma", "heads: 1,5", `f:1:8: found "1,5" for "heads"; expected a number (heads/m²) 0 or more: write the decimal point as a point and no commas`},
		{"a quoted number is text", `heads: "10"`, `f:1:8: found the text "10" for "heads"; expected a number (heads/m²) 0 or more: leave out the quotation marks`},
		{"a number with its unit", "field: {area_ha: 12 ha}",
			`f:1:18: found "12 ha" for "area_ha"; expected a number (ha) above 0, at most 1000: write the number alone`},
		{"an excluded limit", "field: {area_ha: 0}", `f:1:18: found "0" for "area_ha"; expected a number (ha) above 0, at most 1000`},
		{"on is not yes", "field: {area_ha: 1, drained: on}", `f:1:30: found "on" for "drained"; expected yes or no`},
		{"missing", "field: {name: x}", `f:1:8: the field lacks the key "area_ha": expected a number (ha) above 0, at most 1000`},
		{"misspelt, and so not also missing", "field: {aera_ha: 3}", `f:1:9: the field has no key "aera_ha"; did you mean "area_ha"?`},
		{"another unit, and so not also missing", "field: {area_acres: 30}", `f:1:9: the field has no key "area_acres"; use "area_ha", in ha (1 acre is 0.4047 ha)`},
		{"a hint of the table", "acreage: 30", `f:1:1: the plan has no key "acreage"; use "field", with area_ha in it`},
		{"unlike any key", "tractor: red", `f:1:1: the plan has no key "tractor"; expected one of: field, start, harvest, crop, sprays, months, prices, heads, usual`},
		{"kept for later", "zones: 2", `f:1:1: "zones" is not yet possible: a field is one zone for now`},
		{"a key twice", "crop: a\ncrop: b", `f:2:1: the key "crop" stands here a second time; it was first given at line 1`},
		{"the quoted key is the same key", "prices: {2: 3, \"2\": 4}", `f:1:16: the key "2" stands here a second time; it was first given at line 1`},
		{"a choice", "field: {area_ha: 1, soil: caly}", `f:1:27: found "caly" for "soil"; did you mean "clay"?`},
		{"a name with a space", "crop: Winter wheat", `f:1:7: found "Winter wheat"; a name is lower-case words with hyphens: write winter-wheat`},
		{"a date turned round", "harvest: Aug 9", `f:1:10: found "Aug 9" for "harvest"; expected a date like 12 Oct: write 9 Aug`},
		{"a date without its year", "start: 1 Aug", `f:1:8: found "1 Aug" for "start"; expected a date with its year, like 2026-08-01`},
		{"a date in words", "start: 1 Aug 2026", `f:1:8: found "1 Aug 2026" for "start"; expected a date like 2026-08-01: write 2026-08-01`},
		{"no such day", "start: 2027-02-29", `f:1:8: there is no date 2027-02-29; expected a date like 2026-08-01 for "start"`},
		{"no such day of any year", "harvest: 31 Apr", `f:1:10: April has no day 31; expected a date like 12 Oct for "harvest"`},
		{"a form of several", "sprays: [soon]", `f:1:10: "soon" is not a date like 12 Oct; expected a date like 12 Oct or 2026-10-12 for "sprays"`},
		{"a list where one is wanted", "sprays: 10 Oct", `f:1:9: found "10 Oct" for "sprays"; expected a list: write [ ] round it or begin each line with "- "`},
		{"the wrong number of items", "months: [1, 2]", `f:1:9: "months" has 2 values; expected 3`},
		{"low above high", "heads: {low: 6, high: 2}", `f:1:23: the range of "heads" ends at 2, not above its beginning 6`},
		{"half a range", "heads: {low: 6}", `f:1:8: the range of "heads" lacks the key "high": expected a number (heads/m²) 0 or more`},
		{"a mapping for a word", "crop: {a: b}", `f:1:7: found a mapping for "crop"; expected a name such as winter-wheat`},
		{"the file is a list", "- a\n- b", `f:1:1: found a list for the plan; expected a mapping with the keys field, start, harvest, crop, sprays, months, prices, heads, usual`},
	} {
		if _, got := read(c.text); got != c.want {
			t.Errorf("%s:\n%s\n got %s\nwant %s", c.why, c.text, got, c.want)
		}
	}
}

func TestMistakesInOrder(t *testing.T) {
	_, got := read("start: never\nfield: {name: '', area_ha: x}\nprices: {a: -1}\ncrop: [1]\n")
	lines := strings.Split(got, "\n")
	if len(lines) != 5 {
		t.Fatalf("want all five mistakes at once, got\n%s", got)
	}
	for i, want := range []string{"f:1:8: ", "f:2:15: ", "f:2:28: ", "f:3:13: ", "f:4:7: "} {
		if !strings.HasPrefix(lines[i], want) {
			t.Errorf("mistake %d: got %s, want it at %s", i, lines[i], want)
		}
	}
}

func TestOver(t *testing.T) {
	upper, _ := read("field: {area_ha: 3, soil: loam}\nsprays: []\n")
	lower, _ := read("field: {area_ha: 9, blocks: 2}\nsprays: [1 Oct]\ncrop: beet\n")
	p := Over(upper, lower)
	f := p.Map("field")
	if f.Number("area_ha", 0) != 3 || f.Number("blocks", 0) != 2 || f.Text("soil") != "loam" {
		t.Error("a mapping is filled key by key")
	}
	if len(p.List("sprays")) != 0 || p.Text("crop") != "beet" {
		t.Error("a list is taken whole; a missing key comes from below")
	}
}

// A file must not be able to move the cursor or colour the screen.
func TestControlCharacters(t *testing.T) {
	var m Mistakes
	m.Add(Place{"f", 1, 1}, "found %q", "x")
	m.Add(Place{"f", 2, 1}, "found %s", "a\x1b[31m\r\nb\u0085")
	if got, want := m.Error(), "f:1:1: found \"x\"\nf:2:1: found a\\x1b[31m\\r\\nb\\u0085"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// A rating as reports write it is no YAML inside brackets: the reading says what to write.
func TestAQuestionMarkInBracketsIsTold(t *testing.T) {
	for text, told := range map[string]bool{"a: {rating: R?}\n": true, "a: {rating: \"R?\", b: [1}\n": false, "a: {b: [1}\n": false} {
		m := &Mistakes{}
		if Parse("f", []byte(text), m); strings.Contains(fmt.Sprint(m), "R-maybe") != told {
			t.Errorf("%q: %v, told %v expected", text, m, told)
		}
	}
}
