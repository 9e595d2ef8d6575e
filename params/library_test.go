package params

import (
	"math"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"rundown/params/sheet"
	"rundown/sim/testfile"
)

func load(t *testing.T) *Library {
	t.Helper()
	l, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	if err := l.Check(); err != nil {
		t.Fatal(err)
	}
	return l
}

// each calls f for every value of the library.
func each(l *Library, f func(*Entry, *Value)) {
	for _, kind := range Kinds {
		for _, name := range l.Names(kind) {
			e := l.Find(kind, name)
			for _, key := range e.Keys {
				f(e, e.Values[key])
			}
		}
	}
}

func TestEveryValueIsWhole(t *testing.T) {
	l := load(t)
	each(l, func(e *Entry, v *Value) {
		if v.Label == "" || v.Unit == "" || v.Source == "" || v.From != "library" {
			t.Errorf("%s lacks label, unit, source or origin: %+v", v.Path, v)
		}
		if !slices.Contains(gradeWords(), string(v.Grade)) {
			t.Errorf("%s has the grade %q", v.Path, v.Grade)
		}
		for _, x := range append([]float64{v.Central}, v.Row...) {
			if v.Row == nil && (math.IsNaN(x) || x < v.Low || x > v.High) {
				t.Errorf("%s is %g, outside %g to %g", v.Path, x, v.Low, v.High)
			}
		}
		if v.Row != nil {
			return
		}
		for _, u := range []float64{0.001, 0.5, 0.999} {
			if x := v.unlimited(u); math.IsNaN(x) || x < v.Low || x > v.High {
				t.Errorf("%s has the %g quantile %g, outside %g to %g", v.Path, u, x, v.Low, v.High)
			}
		}
	})
}

// A drawn value is centred on the value that stands for it: within 5 %, or
// its note says where the median lies.
func TestMediansAreNearTheCentre(t *testing.T) {
	each(load(t), func(e *Entry, v *Value) {
		if v.Spread.Kind == Fixed || v.Spread.Kind == Stated || v.Row != nil || strings.Contains(v.Note, "median") {
			return
		}
		if m := v.Quantile(0.5); math.Abs(m-v.Central) > 0.05*math.Abs(v.Central)+1e-9 {
			t.Errorf("%s is %g but its spread has the median %.4g; say so in its note", v.Path, v.Central, m)
		}
	})
}

// A value graded as published names a work that was read.
func TestPublishedSourcesWereRead(t *testing.T) {
	rows := testfile.Rows(t, "sources.csv")
	if want := []string{"author", "year", "title", "journal", "read"}; !slices.Equal(rows[0], want) {
		t.Fatalf("columns %v, want %v", rows[0], want)
	}
	named := map[string]bool{}
	for i, r := range rows[1:] {
		if name := r[0] + " " + r[1]; named[name] {
			t.Errorf("row %d: %s stands twice", i+2, name)
		} else {
			named[name] = true
		}
		if slices.Contains(r, "") {
			t.Errorf("row %d has an empty cell: %q", i+2, r)
		}
	}
	each(load(t), func(e *Entry, v *Value) {
		if v.Grade != Published {
			return
		}
		i := slices.IndexFunc(rows[1:], func(r []string) bool { return strings.HasPrefix(v.Source, r[0]+" "+r[1]) })
		switch {
		case i < 0:
			t.Errorf("%s is graded published, but params/sources.csv does not have %q", v.Path, v.Source)
		case strings.Contains(rows[1+i][4], "the paper itself was not read"):
			t.Errorf("%s is graded published, but nobody read %q: %s", v.Path, v.Source, rows[1+i][4])
		}
	})
}

// A standard normal says nothing by itself: what can be wrong is the spread that
// it scales, so it has the grade of that.
func TestStandardNormalsHaveTheGradeOfTheirScale(t *testing.T) {
	l := load(t)
	for _, name := range l.Names("weeds") {
		weed := l.Find("weeds", name)
		if a, b := weed.Value("site_dormancy").Grade, weed.Value("non_dormant_site_sd").Grade; a != b {
			t.Errorf("%s: site_dormancy is %s, the spread that it scales %s", name, a, b)
		}
		for _, h := range l.Names("herbicides") {
			if sd := l.Find("herbicides", h).Value("season_site_sd"); sd != nil && sd.Grade != weed.Value("site_residual").Grade {
				t.Errorf("%s: site_residual is %s, the spread %s that it scales %s", name, weed.Value("site_residual").Grade, sd.Path, sd.Grade)
			}
		}
	}
}

func TestNamesThatPlansUse(t *testing.T) {
	l := load(t)
	for kind, names := range map[string]string{
		"weeds": "black-grass italian-rye-grass wild-oat sterile-brome",
		"crops": "winter-wheat winter-barley hybrid-winter-barley winter-oats winter-oilseed-rape winter-beans spring-barley " +
			"spring-wheat spring-oats spring-beans linseed sugar-beet forage-maize grass-ley fallow",
		"covers": "oats-legumes rye-vetch mustard radish-phacelia black-oat weedy-stubble",
		"implements": "shallow-disc tine-10 deep-tine plough power-harrow rolls straw-rake inter-row-hoe hand-rogue patch-spray " +
			"cut-whole-crop tine-drill disc-drill combination-drill seed-control",
		"herbicides": "autumn-residual-single autumn-residual-stack spring-residual rape-residual spring-contact contact-acc spray-off",
	} {
		for _, name := range strings.Fields(names) {
			if l.Find(kind, name) == nil {
				t.Errorf("no %s called %s", kind, name)
			}
		}
	}
	if e := l.Find("weeds", "alomy"); e == nil || e.Name != "black-grass" {
		t.Error("black-grass does not answer to its EPPO code")
	}
	if e := l.Find("crops", "TRZAW"); e == nil || e.Name != "winter-wheat" {
		t.Error("winter wheat does not answer to its EPPO code")
	}
	if l.Find("weeds", "") != nil || l.Find("beasts", "black-grass") != nil {
		t.Error("found an entry that is not there")
	}
}

// Usual practice names only what the library has.
func TestUsualPracticeCanBeResolved(t *testing.T) {
	l := load(t)
	var walk func(where string, n *sheet.Node)
	walk = func(where string, n *sheet.Node) {
		for i, k := range n.Keys {
			v := n.Values[i]
			if k.Text == "with" && l.Find("implements", v.Text) == nil || k.Text == "programme" && l.Find("herbicides", v.Text) == nil {
				t.Errorf("%s: %s: %q is not in the library", where, k.Place, v.Text)
			}
			walk(where, v)
		}
		for _, v := range n.Items {
			walk(where, v)
		}
	}
	for _, name := range l.Names("crops") {
		n, ok := l.Find("crops", name).Usual.(*sheet.Node)
		if !ok {
			t.Errorf("%s has no usual practice", name)
			continue
		}
		walk(name, n)
		_, drill := n.Value("drill")
		if season := l.Find("crops", name).Text["season"]; (season == "none") != (drill == nil) {
			t.Errorf("%s is of season %q; drilled: %v", name, season, drill != nil)
		}
	}
}

// What goes down with the plough is what the advisory figures say (common
// practice: 95 % of fresh seed buried below 5 cm, about 35 % of deep seed lifted).
func TestPloughMovesSeedAsAdvised(t *testing.T) {
	row := load(t).Find("implements", "plough").Value("movement").Row
	at := func(from, to int) float64 { return row[5*from+to] }
	if kept := at(0, 0) + at(0, 1); math.Abs(kept-0.05) > 1e-12 {
		t.Errorf("%.3f of surface seed stays in the top 5 cm, want 0.05", kept)
	}
	if at(4, 1) != 0.35 || at(3, 1) != 0.35 {
		t.Errorf("lifts %.2f and %.2f of deep seed, want 0.35", at(3, 1), at(4, 1))
	}
}

// Herbicide entries give no dose.
func TestNoDose(t *testing.T) {
	l := load(t)
	for _, q := range Quantities("herbicides") {
		if strings.Contains(q.Unit, "/ha") && q.Unit != "money/ha" {
			t.Errorf("%s is in %s", q.Key, q.Unit)
		}
	}
	each(l, func(e *Entry, v *Value) {
		for _, s := range []string{"g/ha", "l/ha", "g a.i."} {
			if strings.Contains(v.Source+v.Note+e.About, s) {
				t.Errorf("%s tells a dose: %s %s", v.Path, v.Source, v.Note)
			}
		}
	})
}

func TestLoadIsRepeatable(t *testing.T) {
	a, b := load(t), load(t)
	if a.SHA256() != b.SHA256() || len(a.SHA256()) != 64 {
		t.Errorf("hashes %s and %s", a.SHA256(), b.SHA256())
	}
	if a.Find("weeds", "black-grass") == b.Find("weeds", "black-grass") {
		t.Error("two libraries share an entry")
	}
	n := 0
	each(a, func(*Entry, *Value) { n++ })
	sum := 0
	for _, k := range Grades(a) {
		sum += k
	}
	if sum != n || n == 0 {
		t.Errorf("grades count %d of %d values", sum, n)
	}
}

// Every value has a short name of at most 28 characters that no other of its entry has.
func TestShortNames(t *testing.T) {
	for _, kind := range Kinds {
		seen := map[string]string{}
		for _, q := range Quantities(kind) {
			switch n := utf8.RuneCountInString(q.Short); {
			case n == 0 || n > 28:
				t.Errorf("%s %s: the short name %q has %d characters; expected 1 to 28", kind, q.Key, q.Short, n)
			case seen[q.Short] != "":
				t.Errorf("%s: %s and %s are both called %q", kind, q.Key, seen[q.Short], q.Short)
			case strings.Contains(q.Short, "…"):
				t.Errorf("%s %s: %q is cut", kind, q.Key, q.Short)
			}
			seen[q.Short] = q.Key
		}
	}
	each(load(t), func(e *Entry, v *Value) {
		if v.Short == "" {
			t.Errorf("%s has no short name", v.Path)
		}
	})
}
