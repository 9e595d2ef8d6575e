package planner

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// edited makes a change and gives the new text.
func (v *served) edited(text string, c map[string]any) (string, error) {
	v.t.Helper()
	var out struct{ Text string }
	if code := v.post("/api/edit", map[string]any{"Name": "plan.yaml", "Text": text, "Change": c}, &out); code != 200 {
		return text, fmt.Errorf("%d: %s", code, out.Text)
	}
	return out.Text, nil
}

// diff are the lines that only one of two texts has.
func diff(was, is string) (gone, come []string) {
	a, b := strings.Split(was, "\n"), strings.Split(is, "\n")
	for _, x := range a {
		if i := slices.Index(b, x); i >= 0 {
			b = slices.Delete(b, i, i+1)
		} else {
			gone = append(gone, x)
		}
	}
	return gone, b
}

func TestChangesOfTheStarterPlan(t *testing.T) {
	v := serve(t, nil)
	v.enter()
	season := func(n int, more ...any) map[string]any {
		out := map[string]any{"Path": fmt.Sprintf("seasons[%d]", n), "Entry": n}
		for i := 0; i < len(more); i += 2 {
			out[more[i].(string)] = more[i+1]
		}
		return out
	}
	oct := 20745 + 365*2 - 4 // a day of October 2028
	for _, c := range []struct {
		name       string
		change     map[string]any
		gone, come []string
	}{
		{"soil", map[string]any{"Do": "set", "Path": "field.soil", "Value": "clay"}, []string{"  soil: silty-clay-loam"}, []string{"  soil: clay"}},
		{"a range of heads", map[string]any{"Do": "set", "Path": "weed.heads_per_m2", "Value": map[string]any{"low": 15, "high": 40}},
			[]string{"  heads_per_m2: 25               # counted last June; unsure? {low: 15, high: 40}"},
			[]string{"  heads_per_m2: {low: 15, high: 40}               # counted last June; unsure? {low: 15, high: 40}"}},
		{"no resistance", map[string]any{"Do": "set", "Path": "weed.resistance", "Value": nil},
			[]string{"  resistance: {2: 0.5}           # HRAC group: share of its effect that is lost here"}, nil},
		{"a new key", map[string]any{"Do": "set", "Path": "field.last_crop", "Value": "spring-barley"}, nil, []string{"  last_crop: spring-barley"}},
		{"the drilling", season(2, "Do", "place", "Mark", "drill.date", "Day", oct), []string{"    drill: {date: 20 Oct, latest: 15 Nov, with: disc-drill}"},
			[]string{"    drill: {date: " + dateText(oct, false) + ", latest: 15 Nov, with: disc-drill}"}},
		{"a burn-off of a date alone", season(0, "Do", "place", "Mark", "spray_off[0]", "Day", 20520),
			[]string{"    spray_off: [19 Mar]          # whatever is green, before drilling; a cover is sprayed off by itself"},
			[]string{"    spray_off: [" + dateText(20520, false) + "]          # whatever is green, before drilling; a cover is sprayed off by itself"}},
		{"days after drilling", season(1, "Do", "place", "Mark", "herbicides[0]", "Day", 107, "Ref", 100),
			[]string{"    herbicides: [{programme: spring-residual, days_after_drilling: 2}]   # [] for none"},
			[]string{"    herbicides: [{programme: spring-residual, days_after_drilling: 7}]   # [] for none"}},
		{"another tool", season(0, "Do", "use", "Mark", "cultivate[0]", "Value", "plough"), []string{"    cultivate: [{date: 25 Aug, with: shallow-disc}]"},
			[]string{"    cultivate: [{date: 25 Aug, with: plough}]"}},
		{"no cover", season(0, "Do", "drop", "Mark", "cover.sow"),
			[]string{"    cover: {mix: mustard, sow: 3 Sep, destroy: 5 Feb}   # leave the line out for no cover"}, nil},
		{"a cultivation more", season(0, "Do", "add", "Key", "cultivate", "Value", map[string]any{"date": "9 Sep", "with": "plough"}),
			[]string{"    cultivate: [{date: 25 Aug, with: shallow-disc}]"},
			[]string{"    cultivate: [{date: 25 Aug, with: shallow-disc}, {date: 9 Sep, with: plough}]"}},
		{"another fallback", season(2, "Do", "put", "Key", "otherwise", "Value", "spring-barley"),
			[]string{"    otherwise: spring-oats       # grown instead when the wheat cannot be drilled by 15 November"},
			[]string{"    otherwise: spring-barley       # grown instead when the wheat cannot be drilled by 15 November"}},
		{"a season more", season(2, "Do", "grow", "Value", "spring-barley"), nil, []string{"  - crop: spring-barley"}},
		{"how often", map[string]any{"Do": "repeat", "Value": 3}, []string{"repeat: 2                        # the three seasons twice over: six in all"},
			[]string{"repeat: 3                        # the three seasons twice over: six in all"}},
	} {
		is, err := v.edited(starter, c.change)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		gone, come := diff(starter, is)
		if !slices.Equal(gone, c.gone) || !slices.Equal(come, c.come) {
			t.Errorf("%s: gone %q, come %q; want %q and %q", c.name, gone, come, c.gone, c.come)
		}
	}
}

// One season alone of a list that is repeated: the seasons are written out, the plan is the
// same but for that season, and the comments stand.
func TestOneSeasonAlone(t *testing.T) {
	v := serve(t, nil)
	v.enter()
	is, err := v.edited(starter, map[string]any{"Do": "place", "Path": "seasons[2]", "Entry": 5, "Alone": true, "Mark": "drill.date", "Day": 22930})
	if err != nil {
		t.Fatal(err)
	}
	was, now := calendarOf(t, starter), calendarOf(t, is)
	if len(now.Seasons) != 6 || strings.Contains(is, "repeat") || strings.Count(is, "# leave the line out for no cover") != 2 {
		t.Fatalf("it became\n%s", is)
	}
	for i := range was.Seasons {
		a, b := was.Seasons[i].Courses[0].Drill, now.Seasons[i].Courses[0].Drill
		if i < 5 && a.On != b.On || i == 5 && dateText(int(b.On), false) != dateText(22930, false) {
			t.Errorf("season %d is drilled on %v, before on %v", i+1, b.On, a.On)
		}
	}
}

// plans are all that are shipped and can be read.
func plans(t *testing.T) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, pattern := range []string{"../../../examples/*.yaml", "../../../rotations/*.yaml"} {
		files, _ := filepath.Glob(pattern)
		for _, f := range files {
			data, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			text := string(data)
			if strings.Contains(f, "rotations") && !strings.HasSuffix(f, "starter.yaml") {
				text = "field: {area_ha: 8, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 25}\n" +
					"rotation: " + strings.TrimSuffix(filepath.Base(f), ".yaml") + "   # ready-made\n"
			}
			out[f] = text
		}
	}
	return out
}

// Every mark of every shipped plan is moved by a day and back: it lands where it was meant, no
// other work moves but what is counted from it, and no line changes but its own.
func TestEveryMarkOfEveryPlan(t *testing.T) {
	simtest.NotRacing(t)
	v := serve(t, nil)
	moved := 0
	for file, text := range plans(t) {
		p, err := v.s.read("plan.yaml", []byte(text), nil)
		if err != nil || p.Calendar == nil {
			continue // one that names files elsewhere
		}
		seen := map[string]bool{}
		for i, s := range p.view().Seasons {
			if s.Year > 1 || seen[s.Path] || !s.Drawn { // what is chosen on the way is left to the text
				continue
			}
			seen[s.Path] = true
			for _, m := range s.Marks {
				moved += moveOne(t, v, file, p, i, s, m)
			}
		}
	}
	if moved < 150 {
		t.Errorf("only %d marks were moved", moved)
	}
}

// moveOne moves a mark by a day, or where that does not fit by a day the other way.
func moveOne(t *testing.T, v *served, file string, p *Plan, i int, s seasonView, m mark) int {
	t.Helper()
	for _, by := range []int{1, -1} {
		to := m.Day + by
		if to < m.Low || to > m.High {
			continue
		}
		e := &editor{server: v.s, plan: p, text: p.Text}
		if err := e.make(change{Do: "place", Path: s.Path, Entry: s.Entry, Mark: m.ID, Day: to, Ref: m.Ref}); err != nil {
			t.Errorf("%s, harvest %d, %s: %v", file, s.Harvest, m.ID, err)
			return 0
		}
		now, err := v.s.read("plan.yaml", e.text, nil)
		if err != nil {
			t.Fatal(err)
		}
		if now.Calendar == nil {
			continue // the plan does not take this day, and says so
		}
		if gone, _ := diff(string(p.Text), string(e.text)); len(gone) > 1 {
			t.Errorf("%s, harvest %d, %s: lines %q changed", file, s.Harvest, m.ID, gone)
		}
		found := -1
		for _, x := range now.view().Seasons[i].Marks {
			if x.Kind == m.Kind && x.What == m.What && x.Day == to {
				found = x.Day
				if !x.Written {
					t.Errorf("%s, harvest %d, %s: it is not written", file, s.Harvest, m.ID)
				}
			}
		}
		if found != to {
			t.Errorf("%s, harvest %d, %s: it does not stand on %s but %+v", file, s.Harvest, m.ID, dateText(to, false), now.view().Seasons[i].Marks)
		}
		return 1
	}
	return 0
}

// Another crop keeps what fits of a season's work. What is left to mend stands in another season,
// whose work comes too early behind the new harvest, and only where the new crop is harvested late.
func TestAnotherCrop(t *testing.T) {
	v := serve(t, nil)
	clean := 0
	for n := range 3 {
		for _, crop := range []string{"winter-wheat", "spring-barley", "winter-oilseed-rape", "fallow", "sugar-beet", "grass-ley", "winter-beans"} {
			p, _ := v.s.read("plan.yaml", []byte(starter), nil)
			e := &editor{server: v.s, plan: p, text: p.Text}
			changed := fmt.Sprintf("seasons[%d]", n)
			if err := e.make(change{Do: "crop", Path: changed, Entry: n, Value: crop}); err != nil {
				t.Errorf("season %d to %s: %v", n, crop, err)
				continue
			}
			if len(e.plan.Mistakes) == 0 {
				clean++
			} else if crop != "sugar-beet" && crop != "winter-beans" {
				t.Errorf("season %d to %s leaves %v", n, crop, e.plan.Mistakes)
			}
			for _, m := range e.plan.Mistakes {
				if strings.HasPrefix(m.Path, changed) {
					t.Errorf("season %d to %s leaves a mistake in the season itself: %v", n, crop, m)
				}
			}
		}
	}
	if clean < 17 {
		t.Errorf("%d of 21 changes leave nothing to mend", clean)
	}
}
