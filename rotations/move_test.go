package rotations_test

import (
	"fmt"
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/rotations"
)

const staleSeedbed = field + weed + `seasons:
  - crop: winter-wheat
    cultivate: [{date: 5 Aug, with: deep-tine}, {date: 20 Aug, with: shallow-disc}, {date: 20 Sep, with: shallow-disc}]
    spray_off: [18 Sep, {days_before_drilling: 3}]
    drill: {date: 15 Oct, latest: 15 Nov, with: tine-drill}
    herbicides: [{programme: autumn-residual-stack, days_after_drilling: 2}, {programme: spring-contact, date: 10 Mar}]
  - crop: winter-wheat
`

func on(t *testing.T, s string) date.Day {
	t.Helper()
	d, err := date.ParseDay(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// The stale seedbed goes with the drilling: what lies in the six weeks (45
// days) before the planned day keeps its distance, the last spray its three days;
// the rest stays on its day. Worked out by hand.
func TestWithDrilling(t *testing.T) {
	c := calendar(t, staleSeedbed)
	before := say(&c.Seasons[0].Courses[0])
	for _, x := range []struct{ day, want string }{
		{"2026-10-15", before},
		{"2026-10-05", "winter-wheat drilled 2026-10-05–2026-11-15 tine-drill 350; deep-tine 2026-08-05–2026-08-19; shallow-disc 2026-08-20–2026-09-03; " +
			"spray-off 2026-09-08–2026-09-18; shallow-disc 2026-09-10–2026-09-24; spray-off 2026-10-02–2026-11-15; autumn-residual-stack +2 (10); " +
			"spring-contact 2027-03-10–2027-03-20"},
		{"2026-11-10", "winter-wheat drilled 2026-11-10–2026-11-15 tine-drill 350; deep-tine 2026-08-05–2026-08-19; shallow-disc 2026-08-20–2026-09-03; " +
			"spray-off 2026-10-14–2026-10-24; shallow-disc 2026-10-16–2026-10-30; spray-off 2026-11-07–2026-11-15; autumn-residual-stack +2 (10); " +
			"spring-contact 2027-03-10–2027-03-20"},
		{"2026-11-16", "winter-wheat drilled 2026-11-16–2026-11-26 tine-drill 350; deep-tine 2026-08-05–2026-08-19; shallow-disc 2026-08-20–2026-09-03; " +
			"spray-off 2026-10-20–2026-10-30; shallow-disc 2026-10-22–2026-11-05; spray-off 2026-11-13–2026-11-26; autumn-residual-stack +2 (10); " +
			"spring-contact 2027-03-10–2027-03-20"},
		{"2026-08-20", "winter-wheat drilled 2026-08-20–2026-11-15 tine-drill 350; spray-off 2026-08-01–2026-08-11; shallow-disc 2026-08-01–2026-08-15; " +
			"deep-tine 2026-08-05–2026-08-19; spray-off 2026-08-17–2026-11-15; shallow-disc 2026-08-20–2026-09-03; autumn-residual-stack +2 (10); " +
			"spring-contact 2027-03-10–2027-03-20"},
	} {
		moved, err := c.WithDrilling(0, on(t, x.day))
		if err != nil {
			t.Fatal(err)
		}
		if got := say(&moved.Seasons[0].Courses[0]); got != x.want {
			t.Errorf("drilled on %s:\n%s\nexpected\n%s", x.day, got, x.want)
		}
		if a, b := say(&moved.Seasons[1].Courses[0]), say(&c.Seasons[1].Courses[0]); a != b {
			t.Errorf("drilled on %s, the next season became\n%s", x.day, a)
		}
	}
	if after := say(&c.Seasons[0].Courses[0]); after != before {
		t.Errorf("moving the drilling changed the calendar it was asked of:\n%s", after)
	}
	var along []string
	for _, o := range c.MovesAlong(0, true) {
		along = append(along, fmt.Sprintf("%s %d", o.With.Name, c.Seasons[0].Courses[0].Drill.On-o.On))
	}
	if got, want := strings.Join(along, ", "), "spray-off 27, shallow-disc 25, spray-off 3"; got != want {
		t.Errorf("moves along: %s; expected %s", got, want)
	}
}

// Several seasons move by as many days, each by its own latest day; without the work
// before, which then stays on its day.
func TestWithDrillings(t *testing.T) {
	c := calendar(t, staleSeedbed+"    drill: {date: 1 Oct, latest: 5 Oct}\n")
	moved, err := c.WithDrillings([]int{0, 1}, 10, false)
	if err != nil {
		t.Fatal(err)
	}
	want := "winter-wheat drilled 2026-10-25–2026-11-15 tine-drill 350;"
	alone := strings.NewReplacer("2026-10-15–2026-11-15", "2026-10-25–2026-11-15", "spray-off 2026-10-12–",
		"spray-off 2026-10-22–").Replace(say(&c.Seasons[0].Courses[0]))
	if got := say(&moved.Seasons[0].Courses[0]); got != alone || !strings.HasPrefix(got, want) {
		t.Errorf("the date alone: %s\nexpected %s", got, alone)
	}
	if d := moved.Seasons[1].Courses[0].Drill; d.On != on(t, "2027-10-11") || d.Latest != on(t, "2027-10-21") {
		t.Errorf("a date beyond its latest day has ten days of its own, not until %v", d.Latest)
	}
	cover := calendar(t, field+weed+"seasons: [{crop: spring-barley, cover: {mix: mustard, sow: 12 Sep, destroy: 1 Mar}, drill: {date: 10 Mar}}]\n")
	if _, err := cover.WithDrillings([]int{0}, -20, false); err == nil || !strings.Contains(err.Error(), "its destruction is not to move") {
		t.Errorf("a cover that stands when the crop is drilled: %v", err)
	}
}

// A plan with its drilling moved, written out and read again, is the same: what is counted
// back is counted from the new day, and what is not before it any more has a date.
func TestWithDrillingsWritten(t *testing.T) {
	c := calendar(t, strings.Replace(staleSeedbed, "spray_off: [18 Sep,", "spray_off: [18 Sep, {days_before_drilling: 60},", 1))
	for _, days := range []date.Day{-20, -3, -2, 0, 10, 40} {
		for _, along := range []bool{true, false} {
			moved, err := c.WithDrillings([]int{0}, days, along)
			if err != nil {
				t.Fatal(err)
			}
			var written strings.Builder
			if err := moved.Write(&written); err != nil {
				t.Fatal(err)
			}
			want := say(&moved.Seasons[0].Courses[0])
			if got := say(&calendar(t, written.String()).Seasons[0].Courses[0]); got != want {
				t.Errorf("%d days later, along %v: read again it is\n%s\nexpected\n%s", days, along, got, want)
			}
			back := "spray-off " + (date.Of(2026, 10, 12) + days).String() + "–" // counted back from the drilling
			if !along && (!strings.Contains(want, "spray-off 2026-09-18–") || !strings.Contains(want, back)) {
				t.Errorf("%d days later: the burn-off with a date did not stay, or that counted back did not move: %s", days, want)
			}
		}
	}
}

// A warning of a burn-off on a cover is of the days as moved.
func TestWithDrillingWarns(t *testing.T) {
	c := calendar(t, field+weed+"seasons: [{crop: spring-barley, cover: {mix: mustard, sow: 10 Sep, destroy: 25 Jan}, spray_off: "+
		"[{days_before_drilling: 40}], drill: {date: 20 Mar}}]\n")
	if len(c.Warnings) > 0 {
		t.Fatalf("sprayed off on 8 Feb: %v", c.Warnings)
	}
	moved, err := c.WithDrilling(0, on(t, "2027-02-20"))
	if err != nil {
		t.Fatal(err)
	}
	if len(moved.Warnings) != 1 || !strings.Contains(moved.Warnings[0].Text, "on 11 Jan 2027") {
		t.Errorf("drilled on 20 Feb: %v", moved.Warnings)
	}
	if back, err := moved.WithDrilling(0, on(t, "2027-03-20")); err != nil || len(back.Warnings) > 0 || len(c.Warnings) > 0 {
		t.Errorf("moved back: %v, %v", back.Warnings, err)
	}
}

func TestWithDrillingRefuses(t *testing.T) {
	c := calendar(t, staleSeedbed)
	cover := calendar(t, field+weed+"seasons: [{crop: spring-barley, cover: {mix: mustard, sow: 12 Sep, destroy: 1 Mar}}]\n")
	fallow := calendar(t, field+weed+"seasons: [{crop: fallow}]\n")
	for _, x := range []struct {
		c         *rotations.Calendar
		day, want string
	}{
		{c, "2026-07-31", "2026-07-31 is before the season of harvest 2027 opens, 2026-08-01"},
		{c, "2027-06-20", "2027-06-20 is less than 80 days before the harvest of 2027"},
		{cover, "2026-09-01", "2026-09-01 is before the cover crop is sown, 2026-09-12"},
		{fallow, "2026-10-01", "fallow in 2027 is not drilled"},
	} {
		if _, err := x.c.WithDrilling(0, on(t, x.day)); err == nil || !strings.Contains(err.Error(), x.want) {
			t.Errorf("%s: %v, expected %q", x.day, err, x.want)
		}
	}
	early, err := cover.WithDrilling(0, on(t, "2027-02-20"))
	if err != nil || early.Seasons[0].Cover.Destroy != on(t, "2027-02-20") || cover.Seasons[0].Cover.Destroy != on(t, "2027-03-01") {
		t.Errorf("a cover still alive on an earlier day of drilling goes then: %v", err)
	}
}

func TestWithInfestation(t *testing.T) {
	counted := calendar(t, field+"weed: {species: black-grass, start: 2026-08-01, heads_per_m2: {low: 20, high: 60}}\nseasons: [{crop: winter-wheat}]\n")
	other := counted.WithInfestation(3)
	if other.Heads.Central != 3 || other.Heads.Drawn() || !counted.Heads.Drawn() {
		t.Errorf("heads %v, drawn %v; the plan's own are still drawn: %v", other.Heads.Central, other.Heads.Drawn(), counted.Heads.Drawn())
	}
	bank := calendar(t, field+"weed: {species: black-grass, start: 2026-08-01, seedbank_per_m2: {0-5: 900, 5-10: 200, fresh: 1000}}\nseasons: [{crop: "+
		"winter-wheat}]\n")
	other = bank.WithInfestation(0.1)
	if other.Seedbank[1].Central != 90 || other.Seedbank[2].Central != 20 || other.FreshPerM2.Central != 100 || other.Seedbank[0] != nil || other.Heads != nil {
		t.Errorf("a tenth of the seedbank is %v, %v and %v fresh", other.Seedbank[1].Central, other.Seedbank[2].Central, other.FreshPerM2.Central)
	}
}

func TestUsualDrilling(t *testing.T) {
	c := calendar(t, field+weed+"seasons: [{crop: winter-wheat, drill: {date: 15 Oct}}, {crop: spring-barley, drill: {date: 20 Mar}}, {crop: fallow}]\n")
	for i, want := range []string{"2026-09-25 2026-11-10 true", "2028-03-18 2028-04-20 true", "1970-01-01 1970-01-01 false"} {
		day, latest, ok := c.UsualDrilling(i)
		if got := fmt.Sprint(day, latest, ok); i < 2 && got != want || ok != (i < 2) {
			t.Errorf("season %d: %s, expected %s", i+1, got, want)
		}
	}
}

// Plans that are compared share field, weed and start; each difference is said
// with the line that differs.
func TestSameField(t *testing.T) {
	a := calendar(t, field+weed+"seasons: [{crop: winter-wheat}]\n")
	if got := a.SameField(calendar(t, field+weed+"seasons: [{crop: spring-beans}, {crop: fallow}]\n"), false); len(got) != 0 {
		t.Errorf("other seasons are no difference of the field: %v", got)
	}
	b := calendar(t, `field:
  area_ha: 5
  soil: sandy-loam
  climate: east-lowland
weed:
  species: black-grass
  start: 2026-08-02
  heads_per_m2: {low: 5, high: 20}
  resistance: {2: 0.5}
seasons: [{crop: winter-wheat}]
`)
	got := a.SameField(b, false)
	for i, want := range []string{
		"plan.yaml:3:9: field.soil is sandy-loam, but clay in plan.yaml:1:27",
		"plan.yaml:7:10: weed.start is 2026-08-02, but 2026-08-01 in plan.yaml:2:37",
		"plan.yaml:8:17: weed.heads_per_m2 is about 10, spread",
		"plan.yaml:9:15: weed.resistance is {2: 0.5}, but left out in plan.yaml:2:7; plans that are compared share field, weed and start",
	} {
		if i >= len(got) || !strings.HasPrefix(got[i], want) {
			t.Errorf("difference %d: %q, expected %q…", i+1, append(got, "", "", "", "")[i], want)
		}
	}
	if n := strings.Count(strings.Join(got, "\n"), "plans that are compared share"); n != 1 {
		t.Errorf("what plans share is told %d times, expected once", n)
	}
	if len(got) != 4 {
		t.Errorf("%d differences: %v", len(got), got)
	}
}

// Where a plan chooses, a crop moves in every branch that grows it, each from its own date, and
// in years in which the last branch grows another; a plan of one crop in all branches says the
// same written out and read again.
func TestWithDrillingsOfBranches(t *testing.T) {
	c := calendar(t, field+weed+`counting: {quadrats: 20, quadrat_m2: 0.25}
seasons:
  - {crop: spring-barley}
  - choose:
      - {if: {heads_per_m2: {above: 50}}, crop: spring-barley}
      - {if: {heads_per_m2: {above: 10}}, crop: winter-wheat, drill: {date: 15 Oct, latest: 15 Nov}}
      - {crop: winter-wheat, drill: {date: 25 Sep, latest: 15 Nov}}
  - choose:
      - {if: {heads_per_m2: {above: 10}}, crop: winter-wheat, drill: {date: 20 Oct, latest: 15 Nov}}
      - {crop: spring-barley}
`)
	moved, err := c.WithDrillings([]int{1, 2}, 5, true)
	if err != nil {
		t.Fatal(err)
	}
	var written strings.Builder
	if err := moved.Write(&written); err != nil {
		t.Fatal(err)
	}
	barley := c.Taken(1, 0).Courses[0].Drill.On
	for _, c := range []*rotations.Calendar{moved, calendar(t, written.String())} {
		for _, want := range []struct {
			year, branch int
			day          string
		}{{1, 1, "2027-10-20"}, {1, 2, "2027-09-30"}, {2, 0, "2028-10-25"}} {
			if got := c.Taken(want.year, want.branch).Courses[0].Drill.On; got != on(t, want.day) {
				t.Errorf("branch %d of year %d is drilled on %v, expected %s\n%s", want.branch, want.year, got, want.day, written.String())
			}
		}
		if got := c.Taken(1, 0).Courses[0].Drill.On; got != barley {
			t.Errorf("another crop moved, from %v to %v", barley, got)
		}
	}
}
