package rotations_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/params/sheet"
	"rundown/rotations"
)

// Plans put together at random (fixed seed) are calendars that keep the rules
// and can be read again, or are refused with a place for every reason.
func TestRandomPlans(t *testing.T) {
	lib := library(t)
	rng := rand.New(rand.NewPCG(1, 2))
	accepted, n := 0, 3000
	if testing.Short() {
		n = 300
	}
	for range n {
		text := randomPlan(rng)
		var m sheet.Mistakes
		p := rotations.Read("plan.yaml", []byte(text), &m)
		if p == nil {
			t.Fatalf("not even YAML:\n%s\n%s", text, m.Error())
		}
		c := p.Resolve(lib, &m)
		said(t, &m)
		for _, x := range m.Sorted() {
			if x.Place.File != "plan.yaml" || x.Place.Column == 0 {
				t.Fatalf("a mistake without its place: %s\n%s", x, text)
			}
		}
		if c == nil {
			continue
		}
		accepted++
		obeys(t, c)
		var out bytes.Buffer
		if err := c.Write(&out); err != nil {
			t.Fatal(err)
		}
		q := rotations.Read("plan.yaml", out.Bytes(), &m)
		if q == nil || q.Resolve(lib, &m) == nil {
			t.Fatalf("accepted:\n%s\nbut not as written out:\n%s\n%s", text, m.Error(), out.String())
		}
	}
	if accepted < n/10 || accepted > n*9/10 {
		t.Errorf("of %d plans %d were accepted; both kinds should be common", n, accepted)
	}
}

func randomPlan(rng *rand.Rand) string {
	day := func() string { return date.AnnualOf(1 + rng.IntN(365)).String() }
	pick := func(of ...string) string { return of[rng.IntN(len(of))] }
	crop := func() string {
		return pick("winter-wheat", "winter-barley", "winter-oilseed-rape", "winter-beans", "spring-barley", "spring-beans", "sugar-beet", "forage-maize",
			"fallow", "linseed")
	}
	var s strings.Builder
	s.WriteString(field)
	fmt.Fprintf(&s, "weed: {species: black-grass, start: %s, seedbank_per_m2: {0-5: 900}}\nseasons:\n", date.Of(2026, 1, 1)+date.Day(rng.IntN(700)))
	for range 1 + rng.IntN(3) {
		if rng.IntN(8) == 0 {
			fmt.Fprintf(&s, "  - {crop: grass-ley, years: %d}\n", 1+rng.IntN(3))
			continue
		}
		fmt.Fprintf(&s, "  - crop: %s\n", crop())
		add := func(chance int, format string, args ...any) {
			if rng.IntN(chance) == 0 {
				fmt.Fprintf(&s, "    "+format+"\n", args...)
			}
		}
		add(3, "cultivate: [{date: %s, with: %s}]", day(), pick("plough", "shallow-disc"))
		add(4, "spray_off: [%s, {days_before_drilling: %d}]", day(), rng.IntN(30))
		add(4, "drill: {date: %s}", day())
		add(5, "herbicides: [{programme: spring-contact, date: %s}, {programme: spring-residual, days_after_drilling: %d}]", day(), rng.IntN(200))
		add(5, "in_crop: [{with: hand-rogue, date: %s}]", day())
		add(6, "cover: {mix: mustard, sow: %s, destroy: %s}", day(), day())
		add(3, "otherwise: %s", crop())
	}
	fmt.Fprintf(&s, "repeat: %d\n", 1+rng.IntN(3))
	return s.String()
}
