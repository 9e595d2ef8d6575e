package update

import (
	"bytes"
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/counts"
	"rundown/sim/ensemble"
)

// shortPlan is two seasons of an invented field.
const shortPlan = `field: {name: Far Piece, area_ha: 2, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: {low: 5, high: 200}}
seasons: [{crop: winter-wheat}, {crop: spring-barley, drill: {date: 20 Mar}}]
`

// shortUpdate is a posterior of that field: what was found is made up.
func shortUpdate(t testing.TB, m *sim.Model, particles, counted int) *Result {
	t.Helper()
	c := []Count{
		{Watch: sim.Watch{Day: day(2026, 10, 5), What: sim.WatchTop, DepthCM: 7.5}},
		{Watch: sim.Watch{Day: day(2027, 4, 12), What: sim.WatchPlants}},
		{Watch: sim.Watch{Day: day(2027, 6, 15), What: sim.WatchHeads}},
	}[:counted]
	for i, found := range [][]int{{9, 4, 0, 12, 3, 7, 1, 5}, {4, 0, 9, 3, 1, 12}, {7, 2, 0, 15, 6, 4, 9}}[:counted] {
		for _, n := range found {
			c[i].Quadrats = append(c[i].Quadrats, counts.Quadrat{AreaM2: []float64{0.005, 0.25, 0.25}[i], N: n})
		}
	}
	r, err := Run(context.Background(), m, c, Options{Particles: particles, Seed: 5})
	if err != nil {
		t.Fatal(err)
	}
	r.Posterior.Origin = Origin{Version: "test", Plan: "Far Piece", PlanSHA256: "none", LibrarySHA256: m.Calendar().Library.SHA256(),
		Counts: "counts.csv", CountsSHA256: "none", Past: m.Calendar().Past(r.Posterior.Last)}
	return r
}

func written(t testing.TB, p *Posterior) string {
	t.Helper()
	var b bytes.Buffer
	if err := p.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func replayed(t *testing.T, m *sim.Model, o ensemble.Options) *ensemble.Outcome {
	t.Helper()
	out, err := ensemble.Run(context.Background(), []*sim.Model{m}, o)
	if err != nil {
		t.Fatal(err)
	}
	return out[0]
}

// A file reads back as it was, to the last bit; histories read from it have, on
// the day of every count, exactly the bands that the update found; the future is
// theirs alone.
func TestPosteriorReplays(t *testing.T) {
	m := model(t, shortPlan)
	r := shortUpdate(t, m, 60, 3)
	text := written(t, &r.Posterior)
	p, err := Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if again := written(t, p); again != text {
		t.Error("what was read is not written as it was")
	}
	if why := p.Fits(m); why != "" {
		t.Fatal(why)
	}
	out := replayed(t, m, p.Options(60, m))
	if share := p.Departed(out); share != 0 {
		t.Errorf("%v of the histories have another past", share)
	}
	for i := range p.Watches {
		got, want := bands.Summarise(out.Watched(i)), r.Seen[i].Posterior
		if p.Watches[i].What == sim.WatchTop { // the update shows seedlings, a share of the seed
			from := p.Assign(60)
			x := make([]float64, len(from))
			for k := range from {
				x[k] = r.Posterior.Particles[from[k]].Seen[i]
			}
			want = bands.Summarise(x)
		}
		if got != want {
			t.Errorf("count %d: the replay's bands are %+v, the update's %+v", i+1, got, want)
		}
	}
	moved := r.Posterior
	moved.Seed++
	if share := moved.Departed(replayed(t, m, moved.Options(60, m))); share < 0.9 {
		t.Errorf("with another seed only %v of the histories have another past", share)
	}
	// Histories of one past part after the last count.
	heads := out.Column(sim.Heads, 1)
	slices.Sort(heads)
	if n := len(slices.Compact(heads)); n < 55 {
		t.Errorf("60 histories have %d futures", n)
	}
}

// The new luck begins the day after the last count and not on its day: in the
// middle of a flush, when every day changes the field, what was seen that evening
// is as it was.
func TestTheDayOfTheCountIsPast(t *testing.T) {
	m := model(t, shortPlan)
	p := shortUpdate(t, m, 40, 1).Posterior
	if share := p.Departed(replayed(t, m, p.Options(40, m))); share != 0 {
		t.Errorf("%v of the histories have another past", share)
	}
	early := p
	early.Last--
	if share := early.Departed(replayed(t, m, early.Options(40, m))); share < 0.5 {
		t.Errorf("with new luck on the day of the count only %v of the histories have another past: the test sees nothing", share)
	}
}

// What a posterior does not fit is said.
func TestFits(t *testing.T) {
	m := model(t, shortPlan)
	p := shortUpdate(t, m, 20, 3).Posterior
	for _, c := range []struct{ why, plan, want string }{
		{"the plan itself", shortPlan, ""},
		{"another crop afterwards", strings.Replace(shortPlan, "spring-barley, drill: {date: 20 Mar}", "winter-wheat", 1), ""},
		{"another drilling before the count", strings.Replace(shortPlan, "winter-wheat}", "winter-wheat, drill: {date: 20 Oct}}", 1), "drilled 2026-10-20"},
		{"another soil", strings.Replace(shortPlan, "soil: clay", "soil: sandy-loam", 1), "soil sandy-loam"},
		{"a plan that ends before", strings.Replace(shortPlan, "start: 2026-08-01", "start: 2025-08-01", 1), "from 2025-08-01"},
	} {
		if got := p.Fits(model(t, c.plan)); (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, expected %q", c.why, got, c.want)
		}
	}
	other := p
	other.LibrarySHA256 = strings.Repeat("0", 64)
	if got := other.Fits(m); !strings.Contains(got, "other values: the library's sha256") {
		t.Errorf("another library: %q", got)
	}
	other = p
	other.Particles = slices.Clone(p.Particles)
	theta := slices.Clone(p.Particles[3].Theta)
	theta[0] = -1e9
	other.Particles[3].Theta = theta
	if got := other.Fits(m); !strings.Contains(got, "particle 4 has") {
		t.Errorf("a value out of limits: %q", got)
	}
	other = p
	other.Paths = slices.Clone(p.Paths)
	other.Paths[0] += "x"
	if got := other.Fits(m); !strings.Contains(got, "is no value of the library: the file was changed") {
		t.Errorf("a path that is none: %q", got)
	}
}

// tiny is a small posterior, as text.
func tiny() string {
	p := Posterior{Origin: Origin{Version: "test", Plan: "Far Piece", Past: []rotations.Fact{{What: rotations.FactField, Number: 2}}},
		Seed: 1<<64 - 1, Last: day(2027, 6, 15),
		Paths:     []string{"a", "b"},
		Watches:   []sim.Watch{{Day: day(2027, 4, 12), What: sim.WatchPlants}, {Day: day(2027, 6, 15), What: sim.WatchTop, DepthCM: 5}},
		Counted:   []sim.Counted{{Day: day(2027, 4, 12), PerM2: 3.5}, {Day: day(2027, 6, 15), What: sim.WatchTop, DepthCM: 5, PerM2: 800}},
		Particles: []Particle{{0.25, sim.StreamsOf(7), []float64{1, 0.1}, []float64{3, 4}}, {0.75, sim.StreamsOf(8), []float64{2, 1e-9}, []float64{0, 4}}}}
	var b bytes.Buffer
	if err := p.Write(&b); err != nil {
		panic(err)
	}
	return b.String()
}

// Whatever is wrong with a file is said, with its place.
func TestReadRefuses(t *testing.T) {
	if _, err := Read([]byte(tiny())); err != nil {
		t.Fatalf("%v in\n%s", err, tiny())
	}
	for _, c := range refusals(t) {
		_, err := Read([]byte(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %.300v, expected %q", c.why, err, c.want)
			continue
		}
		if said := err.Error(); len(said) > 260 || strings.Contains(said, "particleLine") || strings.Contains(said, "uint") || strings.Contains(said, "json:") {
			t.Errorf("%s: too long, or in words of the programmer: %.300s", c.why, said)
		}
	}
}

// refusal is a file that is not read, why, and a part of what is said of it.
type refusal struct{ why, text, want string }

func refusals(t testing.TB) []refusal {
	good := tiny()
	change := func(from, to string) string {
		if !strings.Contains(good, from) {
			t.Fatalf("%q is not in\n%s", from, good)
		}
		return strings.Replace(good, from, to, 1)
	}
	return []refusal{
		{"nothing", "", "the file is empty"},
		{"cut short", good[:len(good)-30], "the file ends early"},
		{"no JSON", "weight,theta\n", "line 1, column 1: found 'w'"},
		{"another file", `{"plan": "x"}`, "it is no posterior: it has no format"},
		{"another format", change(Format, "rundown.posterior/9"), `its format is "rundown.posterior/9", expected "rundown.posterior/3"`},
		{"a history that was given all the weight", strings.NewReplacer(`"weight":0.25`, `"weight":1`, `"weight":0.75`, `"weight":0`).Replace(good),
			"it was changed after 'rundown update' wrote it"},
		{"a value that was doubled", change(`"theta":[1,`, `"theta":[2,`), "it was changed after 'rundown update' wrote it"},
		{"a fact of the plan's past", change(`"number": 2`, `"number": 3`), "it was changed after 'rundown update' wrote it"},
		{"no sum", good[:strings.LastIndex(good, ",")] + "}", "it has no sha256"},
		{"a list for a number", change(`"weight":0.25`, `"weight":[0.25]`), `: "weight" holds [0.25] where a number was expected`},
		{"a text for a list", change(`"theta":[1,0.1]`, `"theta":"1"`), `"theta" is a text, expected a list`},
		{"a fraction for luck", change(`"luck":[7,7,7,7]`, `"luck":[7,7.5,7,7]`), `"luck" is the number 7.5, expected a whole number`},
		{"a megabyte for a date", change(`"date": "2027-04-12"`, `"date": "`+strings.Repeat("x", 1<<20)+`"`), "counted[0]"},
		{"a megabyte for a key", change(`"weight":0.25`, `"weight":0.25,"`+strings.Repeat("x", 1<<20)+`":1`), "unknown field"},
		{"a megabyte for a number", change(`"weight":0.25`, `"weight":"`+strings.Repeat("x", 1<<20)+`"`), "where a number was expected"},
		{"a megabyte for a path", strings.ReplaceAll(change("\"b\"\n", "\"a\"\n"), `"a"`, `"`+strings.Repeat("x", 1<<20)+`"`), "stands twice"},
		{"a key too many", change(`"weight":0.25`, `"weight":0.25,"wait":1`), `unknown field "wait"`},
		{"NaN", change(`"weight":0.25`, `"weight":NaN`), "NaN and infinities are no numbers here"},
		{"infinite", change(`"theta":[1,`, `"theta":[1e999,`), "1e999"},
		{"text for a number", change(`"weight":0.25`, `"weight":"0.25"`), "where a number was expected"},
		{"null for a number", change(`"theta":[1,`, `"theta":[null,`), `"theta" holds null where a number was expected`},
		{"a list", "[]", "it is no posterior: it holds a list"},
		{"weights", change(`"weight":0.25`, `"weight":0.35`), "add up to 1.1, expected 1"},
		{"a negative weight", change(`"weight":0.25`, `"weight":-0.25`), "particle 1 of 2: its weight is -0.25"},
		{"theta too short", change(`"theta":[1,0.1]`, `"theta":[1]`), "particle 1 of 2: theta has 1 values for 2 paths"},
		{"seen too long", change(`"seen":[3,4]`, `"seen":[3,4,5]`), "seen has 3 values for 2 counts"},
		{"a negative density", change(`"seen":[3,4]`, `"seen":[-3,4]`), "seen[0] is -3"},
		{"luck too short", change(`"luck":[7,7,7,7]`, `"luck":[7,7,7]`), "luck has 3 numbers, expected 4"},
		{"luck of a future", change(`"luck":[7,7,7,7]`, `"luck":[7,7,7,3000000000]`), "luck[3] is 3000000000, expected below"},
		{"a date that is none", change(`"date": "2027-04-12"`, `"date": "2027-04-31"`), "counted[0]"},
		{"counts out of order", change(`"date": "2027-04-12"`, `"date": "2027-07-12"`), "out of order"},
		{"an unknown kind", change(`"kind": "plants"`, `"kind": "plant"`), `there is no kind "plant"`},
		{"a count that is none", change(`"per_m2": 3.5`, `"per_m2": -1`), "counted[0]: per_m2 is -1"},
		{"a count that is missing", change(`"per_m2": 3.5`, `"per_m2": null`), "counted[0]: per_m2 is missing"},
		{"a depth", change(`"depth_cm": 5`, `"depth_cm": 50`), "depth_cm is 50"},
		{"another last count", change(`"last_count": "2027-06-15"`, `"last_count": "2027-06-16"`), "the last of what was counted is of 2027-06-15"},
		{"a path twice", change("\"b\"\n", "\"a\"\n"), "paths: a stands twice"},
		{"no past", change("{\n   \"what\": \"field\",\n   \"number\": 2\n  }\n", ""), "past are missing"},
		{"a past in words", change("{\n   \"what\": \"field\",\n   \"number\": 2\n  }", `"field: 2 ha"`), "past"},
	}
}

// What is read is sound, whatever the file holds, and is written so that it
// reads again.
func FuzzPosterior(f *testing.F) {
	f.Add([]byte(tiny()))
	m := model(f, shortPlan)
	real := shortUpdate(f, m, 5, 1).Posterior
	f.Add([]byte(written(f, &real)))
	for _, c := range refusals(f) {
		f.Add([]byte(c.text))
	}
	f.Add([]byte(strings.Replace(tiny(), "0.25", "1e-400", 1)))
	f.Add([]byte(`{"format":"rundown.posterior/1","particles":[{}]}`))
	f.Add([]byte("[null]"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Read(data)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without a word")
			}
			return
		}
		sum := 0.0
		for _, x := range p.Particles {
			sum += x.Weight
			if len(x.Theta) != len(p.Paths) || len(x.Seen) != len(p.Watches) {
				t.Errorf("a particle of the wrong size was read: %+v", x)
			}
			for _, v := range append(slices.Clone(x.Theta), x.Seen...) {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Errorf("%v was read", v)
				}
			}
		}
		if math.Abs(sum-1) > 1e-6 {
			t.Errorf("weights of %v were read", sum)
		}
		for _, k := range p.Assign(3) {
			if k < 0 || k >= len(p.Particles) {
				t.Errorf("particle %d of %d", k, len(p.Particles))
			}
		}
		if p.Fits(m) == "" { // then it can be gone on from
			o, err := ensemble.Run(context.Background(), []*sim.Model{m}, p.Options(3, m))
			if err != nil {
				t.Fatalf("it fits, but no run goes on from it: %v", err)
			}
			if share := p.Departed(o[0]); !(share >= 0 && share <= 1) {
				t.Errorf("%v of the histories departed", share)
			}
		}
		again, err := Read([]byte(written(t, p)))
		if err != nil || written(t, again) != written(t, p) {
			t.Errorf("what was read does not read again: %v", err)
		}
	})
}

// A file is no larger than Size says, so that what is written can be read again.
func TestSize(t *testing.T) {
	p := shortUpdate(t, model(t, shortPlan), 20, 3).Posterior
	lines := 0
	for line := range strings.Lines(written(t, &p)) {
		if strings.Contains(line, `"luck"`) {
			lines++
			if most := Size(len(p.Paths), len(p.Watches)); len(line) > most {
				t.Errorf("a particle takes %d bytes, expected at most %d", len(line), most)
			}
		}
	}
	if lines != 20 {
		t.Errorf("%d particles were looked at", lines)
	}
}
