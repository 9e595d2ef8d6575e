package rotations_test

import (
	"bytes"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/params/sheet"
	"rundown/rotations"
)

// asValues takes a node of a file to Go values.
func asValues(n *sheet.Node) any {
	switch n.Shape {
	case sheet.Map:
		var out sheet.Fields
		for i, k := range n.Keys {
			out = append(out, sheet.Field{Key: k.Text, Value: asValues(n.Values[i])})
		}
		return out
	case sheet.Sequence:
		out := []any{}
		for _, x := range n.Items {
			out = append(out, asValues(x))
		}
		return out
	}
	return n.Text
}

// withoutPlaces drops what a calendar says of where it was read.
func withoutPlaces(t *testing.T, c *rotations.Calendar) string {
	t.Helper()
	var b bytes.Buffer
	if err := c.Write(&b); err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(b.String(), "\n") // the heading names the file
	return rest
}

// A plan of values is the plan of the file with the same: every plan that is shipped.
func TestBuiltIsRead(t *testing.T) {
	lib := library(t)
	var all []string
	for _, pattern := range []string{"../examples/*.yaml", plans + "/ok/*.yaml", "starter.yaml"} {
		found, _ := filepath.Glob(pattern)
		all = append(all, found...)
	}
	if len(all) < 15 {
		t.Fatalf("only %d plans were found", len(all))
	}
	for _, file := range all {
		data := contents(t, file)
		open := func(name string) (io.ReadCloser, error) {
			return os.Open(filepath.Join(filepath.Dir(file), filepath.Base(name)))
		}
		if strings.HasPrefix(file, plans) {
			open = func(name string) (io.ReadCloser, error) { return os.Open(filepath.Join(plans, "ok", name)) }
		}
		var m sheet.Mistakes
		read := rotations.Read("plan.yaml", data, &m)
		built, err := rotations.Build("plan.yaml", asValues(sheet.Parse("plan.yaml", data, &m)).(sheet.Fields), &m)
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		read.Open, built.Open = open, open
		a, b := read.Resolve(lib, &m), built.Resolve(lib, &m)
		if a == nil || b == nil {
			t.Fatalf("%s: %v", file, m.Error())
		}
		if got, want := withoutPlaces(t, b), withoutPlaces(t, a); got != want {
			t.Errorf("%s: of values\n%s\nof the file\n%s", file, got, want)
		}
	}
}

// built makes a plan of typed values and of seasons that stand in another file.
func built(t *testing.T, soil any, seasons []*sheet.Node) (*rotations.Calendar, *sheet.Mistakes) {
	t.Helper()
	m := &sheet.Mistakes{}
	p, err := rotations.Build("menu", sheet.Fields{
		{"field", sheet.Fields{{"area_ha", 12.5}, {"soil", soil}, {"climate", "east-lowland"}}},
		{"weed", sheet.Fields{{"species", "black-grass"}, {"start", date.Of(2026, 8, 1)}, {"heads_per_m2", sheet.Fields{{"low", 10.0}, {"high", 40}}}}},
		{"seasons", seasons},
	}, m)
	if err != nil {
		t.Fatal(err)
	}
	return p.Resolve(library(t), m), m
}

// Values of every type are read, and a mistake keeps its place: the file's of what came
// from a file, the name of what did not.
func TestBuiltOfTypes(t *testing.T) {
	var m sheet.Mistakes
	menu := sheet.Parse("menu.yaml", []byte("- {crop: winter-wheat, drill: {date: 10 Oct}}\n- {crop: spring-barley}\n- {crop: wheet}\n"), &m)
	c, wrong := built(t, "clay", []*sheet.Node{menu.Items[0], menu.Items[1], menu.Items[0]})
	if wrong.Len() > 0 {
		t.Fatal(wrong.Error())
	}
	if n := len(c.Seasons); n != 3 || c.AreaHa != 12.5 || math.Abs(c.Heads.Central-20) > 1e-9 || c.Seasons[2].Courses[0].Drill.On != date.Of(2028, 10, 10) {
		t.Errorf("%d seasons, %v ha, %v heads, drilled on %v", n, c.AreaHa, c.Heads.Central, c.Seasons[2].Courses[0].Drill.On)
	}
	if got := c.Seasons[2].Place; got != "menu.yaml:1:3" {
		t.Errorf("the third season stands at %s, want menu.yaml:1:3", got)
	}
	_, wrong = built(t, "clai", []*sheet.Node{menu.Items[2]})
	text := wrong.Error()
	for _, want := range []string{"menu: the library has no soil \"clai\"", "menu.yaml:3:10: the library has no crop \"wheet\""} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
}

// What no file could hold is refused with the key it stands under.
func TestBuildRefuses(t *testing.T) {
	for want, v := range map[string]any{
		"field: x: NaN is no number":            math.NaN(),
		"field: x: a []string cannot be read":   []string{"a"},
		"field: [1]: x: a <nil> cannot be read": []any{"a", nil},
		`field: x: the key "a" stands twice`:    sheet.Fields{{"a", 1}, {"a", 2}},
	} {
		if _, err := rotations.Build("x", sheet.Fields{{"field", v}}, &sheet.Mistakes{}); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}
