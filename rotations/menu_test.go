package rotations_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"rundown/params/sheet"
	"rundown/rotations"
	"rundown/sim/simtest"
)

const counted = `
field: {area_ha: 5, soil: clay, climate: east-lowland, last_crop: winter-wheat, before: [winter-oilseed-rape, winter-wheat]}
weed: {species: black-grass, start: 2026-08-20, heads_per_m2: 20}
years: 5
menu:
  early: {crop: winter-wheat}
  late: {crop: winter-wheat, drill: {date: 16 Oct}}
  rape: {crop: winter-oilseed-rape}
  barley: {crop: spring-barley}
  ley: {crop: grass-ley, years: 2}
  either: {choose: [{if: {heads_per_m2: {above: 30}}, crop: spring-barley}, {crop: winter-wheat}]}
rules:
  - {crop: winter-oilseed-rape, at_most: 1, in_years: 4}
  - {crop: [spring-barley, grass-ley], at_least: 1, in_years: 3}
  - {crop: winter-wheat, at_most_in_a_row: 2}
  - {first: [late, barley, ley, either]}
  - {last: [early, late, either]}
  - {after: ley, not: [ley, rape]}
  - {crop: grass-ley, at_most: 2}
`

// How many rotations the rules allow, and which: worked out again by writing out every row of
// entries, and looking at its years one window after the other.
func TestRotationsAllowed(t *testing.T) {
	c := simtest.Choices(t, simtest.Library(t), counted)
	crops := map[string][]string{"early": {"w"}, "late": {"w"}, "rape": {"r"}, "barley": {"b"}, "ley": {"l", "l"}, "either": {"bw"}}
	names := []string{"early", "late", "rape", "barley", "ley", "either"}
	past := []string{"r", "w", "w"} // rape, wheat, and wheat last
	count := func(years []string, of string) (n int) {
		for _, y := range years {
			if strings.ContainsAny(y, of) {
				n++
			}
		}
		return n
	}
	allowed := func(so []string) bool {
		all := slices.Clone(past)
		for _, name := range so {
			all = append(all, crops[name]...)
		}
		for end := len(past) + 1; end <= len(all); end++ {
			if end >= 4 && count(all[end-4:end], "r") > 1 || count(all[end-3:end], "bl") < 1 || count(all[end-3:end], "w") > 2 {
				return false
			}
		}
		for i := 1; i < len(so); i++ {
			if so[i-1] == "ley" && (so[i] == "ley" || so[i] == "rape") {
				return false
			}
		}
		first, last := so[0], so[len(so)-1]
		return first != "early" && first != "rape" && (last == "early" || last == "late" || last == "either") && count(all[len(past):], "l") <= 2
	}
	var want, got []string
	var write func(so []string, years int)
	write = func(so []string, years int) {
		if years == 5 {
			if allowed(so) {
				want = append(want, strings.Join(so, ", "))
			}
			return
		}
		for _, name := range names {
			if n := len(crops[name]); years+n <= 5 {
				write(append(slices.Clone(so), name), years+n)
			}
		}
	}
	write(nil, 0)
	for _, r := range simtest.Every(c) {
		got = append(got, strings.Join(c.Menu.Names(r), ", "))
	}
	slices.Sort(want)
	slices.Sort(got)
	if !slices.Equal(got, want) || c.Allowed.Int64() != int64(len(want)) {
		t.Errorf("%d rotations by the graph, %v counted, %d by hand", len(got), c.Allowed, len(want))
	}
	if len(want) < 20 {
		t.Errorf("only %d rotations: the rules try too little", len(want))
	}
	if len(c.Nodes) > 2*len(want) {
		t.Errorf("%d nodes for %d rotations", len(c.Nodes), len(want))
	}
}

// An entry that does not fit behind another is left out there, with the reason and its place.
func TestPairsThatDoNotFit(t *testing.T) {
	c := simtest.Choices(t, simtest.Library(t), strings.NewReplacer("years: 5", "years: 2",
		"  rape: {crop: winter-oilseed-rape}", "  rape: {crop: winter-oilseed-rape, drill: {date: 14 Aug}}", "2026-08-20",
		"2026-08-01").Replace(counted[:strings.Index(counted, "rules:")]))
	if len(c.Misfits) == 0 {
		t.Fatal("all fits")
	}
	for _, x := range c.Misfits {
		if x.Entry != "rape" || !strings.Contains(x.Why, "menu.yaml:8:") {
			t.Errorf("%s behind %v: %s", x.Entry, x.Behind, x.Why)
		}
	}
	for _, r := range simtest.Every(c) {
		simtest.Rotation(t, simtest.Library(t), c, r) // what is left is a plan without mistakes
	}
}

// A rotation written as a plan gives the calendar that the menu's nodes give.
func TestMenuPlansAreRead(t *testing.T) {
	lib := simtest.Library(t)
	c := simtest.Choices(t, lib, counted)
	every := simtest.Every(c)
	for _, r := range every[:min(12, len(every))] {
		var b bytes.Buffer
		if err := c.Menu.WritePlan(&b, r, ".", "for a test"); err != nil {
			t.Fatal(err)
		}
		var m sheet.Mistakes
		p := rotations.Read("front.yaml", b.Bytes(), &m)
		if m.Len() > 0 {
			t.Fatalf("%v\n%s", m.Error(), b.String())
		}
		written := p.Resolve(lib, &m)
		if m.Len() > 0 {
			t.Fatalf("%v\n%s", m.Error(), b.String())
		}
		direct := simtest.Rotation(t, lib, c, r)
		until := direct.Seasons[len(direct.Seasons)-1].End
		if here, there := written.Departures(until, direct.Past(until)); len(here)+len(there) > 0 {
			t.Errorf("%v: written %v, of the menu %v", c.Menu.Names(r), here, there)
		}
	}
}
