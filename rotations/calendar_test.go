package rotations_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/params"
	"rundown/rotations"
)

const (
	field = "field: {area_ha: 5, soil: clay, climate: east-lowland}\n"
	weed  = "weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 10}\n"
)

// calendar resolves a plan that must be accepted.
func calendar(t testing.TB, text string) *rotations.Calendar {
	t.Helper()
	c, m := resolve("ok", "plan.yaml", []byte(text), library(t))
	if c == nil {
		t.Fatalf("refused:\n%s", m.Error())
	}
	return c
}

// say writes a course in one line.
func say(c *rotations.Course) string {
	s := c.Crop.Name
	if d := c.Drill; d != nil {
		s += fmt.Sprintf(" drilled %s–%s %s %g", d.On, d.Latest, d.With.Name, d.SeedsPerM2)
	}
	for _, o := range c.Operations {
		switch o.Timing {
		case rotations.OnDate, rotations.BeforeDrilling:
			s += fmt.Sprintf("; %s %s–%s", o.With.Name, o.On, o.Latest)
		case rotations.AfterDrilling:
			s += fmt.Sprintf("; %s +%d (%d)", o.With.Name, o.Days, o.LatestAfter)
		case rotations.AfterHarvest:
			s += fmt.Sprintf("; %s %d after harvest, %s–%s", o.With.Name, o.Days, o.On, o.Latest)
		case rotations.WithDrilling:
			s += fmt.Sprintf("; %s with the drill", o.With.Name)
		}
	}
	return s
}

// What each rule gives on a plan that shows it. Dates were worked out by hand
// from the rules and from the harvest dates and usual practice in the library's
// crops: winter wheat 12 August, spring barley 22 August, beet 5 November.
func TestCourses(t *testing.T) {
	for _, c := range []struct {
		why, seasons   string
		season, course int
		want           string
	}{
		{"a crop alone takes its usual practice", "[{crop: winter-wheat}]", 0, 0,
			"winter-wheat drilled 2026-09-25–2026-11-10 tine-drill 350; shallow-disc 2026-08-25–2026-09-08; spray-off 2026-09-24–2026-11-10; " +
				"autumn-residual-stack +2 (10); spring-contact 2027-03-10–2027-03-20"},
		{"a mapping is filled key by key, a list taken whole",
			"[{crop: winter-wheat, drill: {date: 10 Oct}, herbicides: [], spray_off: [{days_before_drilling: 0}]}]", 0, 0,
			"winter-wheat drilled 2026-10-10–2026-11-10 tine-drill 350; shallow-disc 2026-08-25–2026-09-08; spray-off with the drill"},
		{"latest may lie in the next year", "[{crop: winter-wheat, cultivate: [], spray_off: [], herbicides: [], drill: {date: 10 Nov, latest: 15 Jan}}]", 0, 0,
			"winter-wheat drilled 2026-11-10–2027-01-15 tine-drill 350"},
		{"a usual latest that has gone by is put off by a month", "[{crop: winter-wheat, cultivate: [], spray_off: [], herbicides: [], drill: {date: 1 Dec}}]", 0, 0,
			"winter-wheat drilled 2026-12-01–2026-12-31 tine-drill 350"},
		{"the alternative takes what of its usual practice is still to come", "[{crop: winter-wheat, otherwise: spring-barley}]", 0, 1,
			"spring-barley drilled 2027-03-18–2027-04-20 tine-drill 400; spray-off 2027-03-17–2027-04-20; spring-residual +2 (10)"},
		{"an alternative whose day has gone by is drilled from the day after", "[{crop: winter-wheat, otherwise: {crop: winter-beans, herbicides: []}}]", 0, 1,
			"winter-beans drilled 2026-11-11–2026-12-10 tine-drill 25; spray-off with the drill"},
		{"where nothing could be drilled, fallow: only its sprays after 10 November", "[{crop: winter-wheat}]", 0, 1,
			"fallow; spray-off 2027-03-20–2027-03-30; spray-off 2027-05-18–2027-05-28; spray-off 2027-06-12–2027-06-22"},
		{"fallow after the alternative: only after 20 April", "[{crop: winter-wheat, otherwise: spring-barley}]", 0, 2,
			"fallow; spray-off 2027-05-18–2027-05-28; spray-off 2027-06-12–2027-06-22"},
		{"a season opens the day after the median harvest",
			"[{crop: winter-wheat}, {crop: winter-wheat, cultivate: [{date: 13 Aug, with: plough, quality: good}], spray_off: [], herbicides: []}]", 1, 0,
			"winter-wheat drilled 2027-09-25–2027-11-10 tine-drill 350; plough 2027-08-13–2027-08-27"},
		{"after beet the usual day for wheat has gone by", "[{crop: sugar-beet}, {crop: winter-wheat}]", 1, 0,
			"winter-wheat drilled 2027-11-06–2027-12-06 tine-drill 350; spray-off with the drill; autumn-residual-stack +2 (10); spring-contact 2028-03-10–2028-03-20"},
		{"a ley's later years are neither drilled nor sprayed", "[{crop: grass-ley, years: 2}, {crop: winter-wheat}]", 1, 0,
			"grass-ley; mow-ley 2028-05-25–2028-06-08; mow-ley 2028-07-01–2028-07-15"},
		{"where the ley was never sown, fallow with its usual work", "[{crop: grass-ley, years: 2}, {crop: winter-wheat}]", 1, 1,
			"fallow; shallow-disc 2027-08-25–2027-09-08; spray-off 2028-03-20–2028-03-30; spray-off 2028-05-18–2028-05-28; spray-off 2028-06-12–2028-06-22"},
		{"an operation's own latest", "[{crop: winter-wheat, cultivate: [{date: 1 Sep, latest: 3 Sep, with: plough}], spray_off: [], herbicides: []}]", 0, 0,
			"winter-wheat drilled 2026-09-25–2026-11-10 tine-drill 350; plough 2026-09-01–2026-09-03"},
	} {
		got := calendar(t, field+weed+"seasons: "+c.seasons+"\n")
		if s := say(&got.Seasons[c.season].Courses[c.course]); s != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.why, s, c.want)
		}
	}
}

// Usual practice that does not fit is moved or left out, and said to be.
func TestNotes(t *testing.T) {
	c := calendar(t, field+weed+"seasons: [{crop: sugar-beet}, {crop: winter-wheat}]\nrepeat: 2\n")
	want := []string{
		"season 2 (winter-wheat): usually drilled on 25 Sep, before the season opens; drilled from 6 Nov 2027 on",
		"season 2 (winter-wheat), usual practice left out: the cultivation on 25 Aug 2028 falls outside season 2 (winter-wheat), which lasts from 6 Nov " +
			"2027 to 12 Aug 2028",
	}
	if len(c.Notes) < 2 || c.Notes[0] != want[0] || c.Notes[1] != want[1] {
		t.Errorf("got\n%s\nwant first\n%s", strings.Join(c.Notes, "\n"), strings.Join(want, "\n"))
	}
}

func TestReadyMade(t *testing.T) {
	names := rotations.ReadyMade()
	if len(names) != 8 {
		t.Errorf("%d ready-made rotations: %s", len(names), strings.Join(names, ", "))
	}
	for _, n := range names {
		if len(rotations.About(n)) < 20 {
			t.Errorf("%s does not say what it is", n)
		}
	}
}

func TestSeasons(t *testing.T) {
	c := calendar(t, field+weed+"seasons: [{crop: grass-ley, years: 2}, {crop: TRZAW, otherwise: fallow}, {crop: fallow}]\nrepeat: 2\n")
	var got []string
	for _, s := range c.Seasons {
		got = append(got, fmt.Sprintf("%d %s–%s %s %v %d", s.HarvestYear, s.Open, s.End, s.Courses[0].Crop.Name, s.StandsOn, len(s.Courses)))
	}
	want := []string{
		"2027 2026-08-01–2027-07-31 grass-ley false 2", "2028 2027-08-01–2028-07-31 grass-ley true 2",
		"2029 2028-08-01–2029-08-12 winter-wheat false 2", "2030 2029-08-13–2030-08-01 fallow false 1",
		"2031 2030-08-02–2031-07-31 grass-ley false 2", "2032 2031-08-01–2032-07-31 grass-ley true 2",
		"2033 2032-08-01–2033-08-12 winter-wheat false 2", "2034 2033-08-13–2034-08-01 fallow false 1",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// A range is the 5 % and 95 % points of a lognormal distribution, whose median
// is then the geometric mean of the two (Limpert, Stahel & Abbt 2001,
// BioScience 51:341–352, from memory).
func TestRange(t *testing.T) {
	c := calendar(t, field+"weed: {species: black-grass, start: 2026-08-01, heads_per_m2: {low: 25, high: 64}}\nseasons: [{crop: fallow}]\n")
	v := c.Heads
	for _, q := range []struct{ u, want float64 }{{0.05, 25}, {0.5, 40}, {0.95, 64}} {
		if got := v.Quantile(q.u); math.Abs(got/q.want-1) > 1e-9 {
			t.Errorf("quantile %g is %v, want %v", q.u, got, q.want)
		}
	}
	if c.Space.Index("weed.heads_per_m2") < 0 || v.From != "plan.yaml:2:63" {
		t.Errorf("the range is not in the space by its path, or not from its place: %s", v.From)
	}
}

func TestEconomics(t *testing.T) {
	c := calendar(t, field+weed+`economics: {prices: {winter-wheat: 200}, variable_costs: {winter-wheat: {low: 300, high: 500}}, costs: {plough: 75, mustard: -60, rye-vetch: {low: -90, high: -40}}}
seasons:
  - crop: winter-wheat
    cover: {mix: mustard, sow: 10 Aug, destroy: 1 Sep}
    cultivate: [{date: 3 Sep, with: plough}]
  - crop: winter-wheat
    economics: {prices: {winter-wheat: 150}, costs: {tine-drill: 9}}
`)
	first, second := &c.Seasons[0].Courses[0], &c.Seasons[1].Courses[0]
	for _, x := range []struct {
		why        string
		v          *params.Value
		want       float64
		path, from string
	}{
		{"a price of the plan", first.Price, 200, "economics.prices.winter-wheat", "plan.yaml:3:36"},
		{"a season's over the plan's", second.Price, 150, "seasons[1].economics.prices.winter-wheat", "plan.yaml:9:40"},
		{"the plan's where the season says nothing", second.VariableCost, math.Sqrt(150000), "economics.variable_costs.winter-wheat", "plan.yaml:3:73"},
		{"the crop itself carries it", second.Crop.Value("price"), 150, "seasons[1].economics.prices.winter-wheat", "plan.yaml:9:40"},
		{"a pass", first.Operations[0].With.Value("cost"), 75, "economics.costs.plough", "plan.yaml:3:113"},
		{"a drill", second.Drill.With.Value("cost"), 9, "seasons[1].economics.costs.tine-drill", "plan.yaml:9:66"},
		{"a cover that is paid for", c.Seasons[0].Cover.Mix.Value("cost"), -60, "economics.costs.mustard", "plan.yaml:3:126"},
	} {
		if math.Abs(x.v.Central-x.want) > 1e-9 || x.v.Path != x.path || x.v.From != x.from {
			t.Errorf("%s: got %v %s from %s, want %v %s from %s", x.why, x.v.Central, x.v.Path, x.v.From, x.want, x.path, x.from)
		}
	}
	if first.Drill.With.Value("cost").From != "library" || c.Library.Find("crops", "winter-wheat").Value("price").From != "library" {
		t.Error("the library itself was changed")
	}
	if c.Space.Index("economics.variable_costs.winter-wheat") < 0 || c.Space.Index("economics.prices.winter-wheat") >= 0 {
		t.Error("of the plan's prices the space holds those given as a range, and only those")
	}
}

// A payment that is not known exactly is drawn from a normal spread between its two ends.
func TestPaymentAsARange(t *testing.T) {
	c := calendar(t, field+weed+`economics: {costs: {rye-vetch: {low: -90, high: -40}, mustard: {low: -20, high: 30}}}
seasons:
  - {crop: spring-oats, cover: {mix: rye-vetch, sow: 1 Sep, destroy: 1 Feb}}
  - {crop: spring-oats, cover: {mix: mustard, sow: 5 Sep, destroy: 1 Feb}}
`)
	for i, want := range [][3]float64{{-90, -65, -40}, {-20, 5, 30}} {
		v := c.Seasons[i].Cover.Mix.Value("cost")
		if c.Space.Index(v.Path) < 0 {
			t.Errorf("%s is not drawn", v.Path)
		}
		for j, u := range []float64{0.05, 0.5, 0.95} {
			if got := v.Quantile(u); math.Abs(got-want[j]) > 1e-6 {
				t.Errorf("%s: quantile %g is %v, want %v", v.Path, u, got, want[j])
			}
		}
	}
}

func TestSpace(t *testing.T) {
	c := calendar(t, field+weed+"seasons: [{crop: winter-wheat, otherwise: spring-barley}]\n")
	for _, path := range []string{
		"weeds/black-grass/seeds_per_head", "crops/winter-wheat/establishment", "crops/spring-barley/yield_loss_factor",
		"implements/shallow-disc/seedling_kill_wet", "herbicides/residual-12-phytoene/season_control",
	} {
		if c.Space.Index(path) < 0 {
			t.Errorf("%s can be used and is uncertain, but is not in the space", path)
		}
	}
	for _, path := range []string{
		"crops/linseed/yield_loss_factor",                          // not in the plan
		"herbicides/spray-off/kill_two_leaves_to_six_tillers",      // drawn for each spray
		"implements/shallow-disc/cost", "crops/winter-wheat/price", // a range merely stated
	} {
		if c.Space.Index(path) >= 0 {
			t.Errorf("%s is in the space", path)
		}
	}
	for i := 1; i < len(c.Space.Values); i++ {
		if c.Space.Values[i-1].Path >= c.Space.Values[i].Path {
			t.Fatalf("the space is not in order of path at %s", c.Space.Values[i].Path)
		}
	}
}

// A plan's own library changes what that plan sees and nothing else; its
// mistakes have their places.
func TestOwnLibrary(t *testing.T) {
	dir := t.TempDir()
	write := func(text string) {
		if err := os.MkdirAll(filepath.Join(dir, "own", "weeds"), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "own", "weeds", "black-grass.yaml"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	plan := []byte("library: own\n" + field + weed + "seasons: [{crop: fallow}]\n")
	lib := library(t)
	write("name: black-grass\nvalues:\n  seeds_per_head: {value: 90, spread: fixed, grade: assumed, source: assumed}\n")
	c, m := resolve("ok", filepath.Join(dir, "plan.yaml"), plan, lib)
	if c == nil {
		t.Fatal(m.Error())
	}
	if got := c.Weed.Value("seeds_per_head").Central; got != 90 {
		t.Errorf("the plan's own value is not used: %v", got)
	}
	if lib.Find("weeds", "black-grass").Value("seeds_per_head").From != "library" {
		t.Error("one plan's library leaked into another's")
	}
	write("name: black-grass\nvalues:\n  seeds_per_haed: {value: 90, grade: assumed, source: assumed}\n")
	if c, m := resolve("ok", filepath.Join(dir, "plan.yaml"), plan, lib); c != nil || !strings.Contains(m.Error(), "black-grass.yaml:3:3: ") {
		t.Errorf("a mistake in a plan's own library: %s", m.Error())
	}
}
