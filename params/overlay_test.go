package params

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/params/sheet"
)

// write makes a user's library of files by path and gives its folder.
func write(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

const ownHeads = `name: black-grass
values:
  seeds_per_head: {value: 80, spread: {lognormal: 1.2}, grade: grey, source: "own counts"}
`

func TestOverlayChangesOneValue(t *testing.T) {
	l, plain := load(t), load(t)
	dir := write(t, map[string]string{"weeds/black-grass.yaml": ownHeads, "README.md": "mine", ".hidden/x.yaml": "a"})
	var m sheet.Mistakes
	l.Overlay(dir, &m)
	if m.Len() > 0 {
		t.Fatal(&m)
	}
	e, old := l.Find("weeds", "black-grass"), plain.Find("weeds", "black-grass")
	v := e.Value("seeds_per_head")
	if v.Central != 80 || v.Spread.A != 1.2 || v.Source != "own counts" {
		t.Errorf("the value was not laid over: %+v", v)
	}
	if want := filepath.Join(dir, "weeds", "black-grass.yaml") + ":3"; v.From != want {
		t.Errorf("From is %q, want %q", v.From, want)
	}
	if e.Value("viability").From != "library" || e.EPPO != "ALOMY" || len(e.Keys) != len(old.Keys) {
		t.Error("what was not given must stay")
	}
	if l.SHA256() == plain.SHA256() {
		t.Error("the hash does not tell the user's library")
	}
}

func TestOverlayAddsAnEntry(t *testing.T) {
	l := load(t)
	dir := write(t, map[string]string{"implements/flail.yaml": `name: flail
role: in-crop
works: top
about: "A flail that tops heads."
values:
  plant_kill: {value: 0, grade: assumed, source: judgement}
  head_removal: {value: 0.4, spread: {triangular: [0.2, 0.4, 0.6]}, grade: assumed, source: judgement}
  crop_loss: {value: 0.03, spread: {stated: [0, 0.1]}, grade: assumed, source: judgement}
  cost: {value: -20, grade: assumed, source: "judgement; a scheme pays for it"}
`})
	var m sheet.Mistakes
	l.Overlay(dir, &m)
	if m.Len() > 0 {
		t.Fatal(&m)
	}
	e := l.Find("implements", "flail")
	if e == nil || e.Text["role"] != "in-crop" || strings.Join(e.Keys, " ") != "plant_kill head_removal crop_loss cost" {
		t.Fatalf("the entry is %+v", e)
	}
	if !e.Value("head_removal").Drawn() || e.Value("crop_loss").Drawn() || e.Value("cost").Drawn() {
		t.Error("wrong values are drawn")
	}
}

// at puts a line in the place of the seeds of ownHeads.
func at(line string) string { return "name: black-grass\nvalues:\n  " + line + "\n" }

func TestOverlayMistakes(t *testing.T) {
	for _, c := range []struct{ name, file, text, want string }{
		{"unknown key", "weeds/black-grass.yaml", at(`seed_per_head: {value: 80, grade: grey, source: own}`),
			`:3:3: values has no key "seed_per_head"; did you mean "seeds_per_head"?`},
		{"a limit of work of former days", "soils/clay.yaml", "name: clay\nvalues:\n  workable_drilling: {value: 1.9, grade: grey, source: own}\n",
			`:3:3: values has no key "workable_drilling"; use "clay_share", from which the limits of work follow now, and "workable_site" for a field that carries work wetter`},
		{"no source", "weeds/black-grass.yaml", at(`seeds_per_head: {value: 80, grade: grey}`), `:3:19: seeds_per_head lacks the key "source"`},
		{"unknown grade", "weeds/black-grass.yaml", at(`seeds_per_head: {value: 80, grade: gray, source: own}`),
			`:3:38: found "gray" for "grade"; did you mean "grey"?`},
		{"over the limit", "weeds/black-grass.yaml", at(`viability: {value: 1.2, grade: grey, source: own}`),
			`:3:22: found "1.2" for "value"; expected a number from 0 to 1`},
		{"not a number", "weeds/black-grass.yaml", at(`viability: {value: .nan, grade: grey, source: own}`), `:3:22: found ".nan" for "value"`},
		{"a date as a number", "weeds/black-grass.yaml", at(`shedding_date: {value: 200, grade: grey, source: own}`), `:3:26: "200" is not a date like 12 Oct`},
		{"wide tail", "weeds/black-grass.yaml", at(`seeds_per_head: {value: 80, spread: {lognormal: 4}, grade: grey, source: own}`),
			`:3:27: weeds/black-grass/seeds_per_head reaches`},
		{"two spreads", "weeds/black-grass.yaml", at(`viability: {value: 0.5, spread: {normal: 0.1, beta: [5, 5]}, grade: grey, source: own}`),
			`found the spreads normal and beta together`},
		{"unknown spread", "weeds/black-grass.yaml", at(`viability: {value: 0.5, spread: {gamma: 2}, grade: grey, source: own}`), `the spread has no key "gamma"`},
		{"beta elsewhere", "weeds/black-grass.yaml", at(`viability: {value: 0.5, spread: {beta: [8, 2]}, grade: grey, source: own}`),
			`beta(8, 2) has the mean 0.8 but the value is 0.5`},
		{"range beside", "weeds/black-grass.yaml", at(`viability: {value: 0.5, spread: {range: [0.6, 0.8]}, grade: grey, source: own}`),
			`the value 0.5 must lie between 0.6 and 0.8`},
		{"mode differs", "weeds/black-grass.yaml", at(`viability: {value: 0.5, spread: {triangular: [0.2, 0.6, 0.8]}, grade: grey, source: own}`),
			`the mode 0.6 of the triangular spread differs from the value 0.5`},
		{"lognormal of zero", "weeds/black-grass.yaml", at(`viability: {value: 0, spread: {lognormal: 1.2}, grade: grey, source: own}`),
			`a lognormal spread needs a value above 0`},
		{"event without spread", "weeds/black-grass.yaml", at(`viability: {value: 0.5, drawn: per-event, grade: grey, source: own}`),
			`drawn per event but has no spread`},
		{"two names", "weeds/black-grass.yaml", "name: blackgrass\n", `:1:7: the entry is called "blackgrass" but its file black-grass.yaml`},
		{"not whole", "weeds/couch.yaml", "name: couch\nabout: A grass.\n", `weeds/couch lacks the value "seeds_per_head"`},
		{"no role", "implements/flail.yaml", "name: flail\nabout: A flail.\n", `implements/flail lacks the key "role"`},
		{"value of another role", "herbicides/spray-off.yaml", "name: spray-off\nvalues:\n  dry_effect: {value: -1, grade: grey, source: own}\n",
			`an entry of role "non-selective" does not use`},
		{"matrix", "implements/rolls.yaml", "name: rolls\nvalues:\n  movement: {value: {surface: [0.8, 0.1, 0, 0, 0], 0-5: [0, 1, 0, 0, 0], 5-10: [0, 0, " +
			"1, 0, 0], 10-15: [0, 0, 0, 1, 0], 15-20: [0, 0, 0, 0, 1]}, grade: assumed, source: own}\n", `the shares that go from surface add to 0.9; expected 1`},
		{"short matrix", "implements/rolls.yaml", "name: rolls\nvalues:\n  movement: {value: {surface: [1, 0, 0, 0]}, grade: assumed, source: own}\n",
			`"surface" has 4 values; expected 5`},
		{"unknown active", "herbicides/spring-residual.yaml", "name: spring-residual\nactives: [residual-3-dinitroanilin]\n",
			`:2:11: no herbicide is called "residual-3-dinitroanilin"; did you mean "residual-3-dinitroaniline"?`},
		{"active of another role", "herbicides/spring-residual.yaml", "name: spring-residual\nactives: [spray-off]\n", `"spray-off" is of role "non-selective"`},
		{"code taken", "weeds/wild-oat.yaml", "name: wild-oat\neppo: ALOMY\n", `:2:7: the EPPO code ALOMY already stands for black-grass`},
		{"unknown folder", "weed/black-grass.yaml", ownHeads, `a library has no folder "weed"; did you mean "weeds"?`},
		{"outside a folder", "black-grass.yaml", ownHeads, `an entry belongs in a folder of its kind`},
		{"other ending", "weeds/black-grass.yml", ownHeads, `rename this one`},
		{"broken YAML", "weeds/black-grass.yaml", "name: [black-grass\n", `cannot be read as YAML`},
	} {
		var m sheet.Mistakes
		l := load(t)
		l.Overlay(write(t, map[string]string{c.file: c.text}), &m)
		if m.Len() == 0 || !strings.Contains(m.Error(), c.want) {
			t.Errorf("%s: want %q, got:\n%s", c.name, c.want, m.Error())
		}
	}
}

func TestOverlayOfNoFolder(t *testing.T) {
	var m sheet.Mistakes
	load(t).Overlay(filepath.Join(t.TempDir(), "none"), &m)
	if m.Len() != 1 || !strings.Contains(m.Error(), "cannot be read") {
		t.Errorf("got %s", m.Error())
	}
}
