package rotations

import (
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"

	"rundown/params/sheet"
)

// format is the plan format that is read here.
const format = 1

// mostSeasons is how many seasons a plan may have in all.
const mostSeasons = 60

// Plan is a plan as written, with the place of everything in it.
type Plan struct {
	File string         // as given by the user
	Root *sheet.Mapping // what was given, by the key tables
	// Open opens the files that the plan names, whose names are taken from the
	// plan's folder. It opens files of the disk unless replaced before Resolve.
	Open func(name string) (io.ReadCloser, error)
	// Folder opens the folder of a library of the plan's own; nil: on the disk.
	Folder func(name string) (fs.FS, error)

	table *sheet.Table
	bad   bool // it was read with mistakes
}

// Read reads a plan. Mistakes are noted; the plan is nil only when there is
// nothing to go on (Parse of package sheet).
func Read(file string, data []byte, m *sheet.Mistakes) *Plan {
	before := m.Len()
	n := sheet.Parse(file, data, m)
	if at, _ := n.Value("menu"); at != nil {
		m.Add(at.Place, "this is a menu, from which rotations are made, and not a plan: give it to 'rundown search', which writes plans")
		return nil
	}
	return planOf(file, n, before, m)
}

// Build makes a plan of values instead of a file: the keys of a plan with Go values, or
// with nodes of another file, such as seasons of a menu, which keep their places. The
// name stands for the file in messages, and its folder is where files that the plan
// names are looked for. A value that no file could hold is an error.
func Build(name string, plan sheet.Fields, m *sheet.Mistakes) (*Plan, error) {
	n, err := sheet.Build(name, plan)
	if err != nil {
		return nil, err
	}
	return planOf(name, n, m.Len(), m), nil
}

// planOf reads a plan of its node. It is bad when mistakes were noted since there were
// so many.
func planOf(file string, n *sheet.Node, before int, m *sheet.Mistakes) *Plan {
	if n == nil || newer(n, m) {
		return nil
	}
	p := &Plan{File: file, table: planTable()}
	p.Open = func(name string) (io.ReadCloser, error) { return os.Open(name) }
	p.Root = sheet.Read(n, p.table, m)
	if p.Root == nil {
		return nil
	}
	p.check(m)
	p.bad = m.Len() > before
	return p
}

// newer refuses a plan of a later format with one message, before its keys are
// looked at.
func newer(n *sheet.Node, m *sheet.Mistakes) bool {
	_, v := n.Value("format")
	if v == nil {
		return false
	}
	t := &sheet.Table{Name: "the plan", Keys: []sheet.Key{{Name: "format", Kind: sheet.Whole, Low: 1, High: math.Inf(1)}}}
	var trial sheet.Mistakes
	only := &sheet.Node{Place: n.Place, Shape: sheet.Map, Keys: []*sheet.Node{{Text: "format"}}, Values: []*sheet.Node{v}}
	got := sheet.Read(only, t, &trial).Number("format", format)
	if got > format {
		m.Add(v.Place, "the plan is of format %s; this program reads format %d: use a newer one", sheet.Plain(got), format)
		return true
	}
	return false
}

// check looks at what can be judged without the library and without dates.
func (p *Plan) check(m *sheet.Mistakes) {
	either(p.Root, "seasons", "rotation", "the plan", m)
	p.checkGround(m)
}

// checkGround looks so at all but the list of seasons.
func (p *Plan) checkGround(m *sheet.Mistakes) {
	r := p.Root
	if f := r.Map("field"); f != nil && !f.Said("climate") && !f.Said("weather") {
		m.Add(f.Place, "the field has neither a climate nor a weather record; write climate: (see rundown library climates) or weather: with a file")
	}
	if w := r.Map("weed"); w != nil {
		either(w, "heads_per_m2", "seedbank_per_m2", "the weed", m)
		if v := w.Get("trend"); v != nil && w.Said("seedbank_per_m2") {
			m.Add(v.Place, "a trend goes with heads_per_m2, from which the old seed is worked out; with seedbank_per_m2 leave it out")
		}
		if v := w.Get("seedbank_per_m2"); v != nil && len(v.Node.Keys) == 0 {
			m.Add(v.Place, `the seedbank is empty; write the seed by layer, such as {0-5: 900}`)
		}
	}
	if f := r.Map("field"); f.Get("weather") != nil && f.Get("weather").Map.Text("beyond") == "climate" && !f.Said("climate") {
		m.Add(f.Get("weather").Map.Get("beyond").Place, "the weather goes on by the climate, but the field has none; write climate: or beyond: resample")
	}
	p.walk(func(v *sheet.Value) {
		if v.Map != nil && v.Key.Name == "cover" {
			coverTiming(v, m)
		}
		if t := v.Map; t != nil && v.Key.Kind == sheet.Nested && v.Key.Table.Key("days_after_drilling") != nil {
			oneTiming(v, m)
		}
	})
}

// either notes that exactly one of two keys must be there.
func either(p *sheet.Mapping, a, b, of string, m *sheet.Mistakes) {
	switch {
	case p.Said(a) && p.Said(b):
		at := p.Place
		if v := p.Get(b); v != nil {
			at = v.Place
		}
		m.Add(at, "%s has both %q and %q; keep one of them", of, a, b)
	case !p.Said(a) && !p.Said(b):
		m.Add(p.Place, "%s has neither %q nor %q; write one of them", of, a, b)
	}
}

// oneTiming notes an operation that has not exactly one way of telling its day.
func oneTiming(v *sheet.Value, m *sheet.Mistakes) {
	t := v.Key.Table
	var ways []string
	n := 0
	for _, way := range []string{"date", "days_after_drilling", "days_before_drilling", "days_after_harvest"} {
		if t.Key(way) == nil {
			continue
		}
		ways = append(ways, way)
		if v.Map.Said(way) {
			n++
		}
	}
	switch {
	case n == 0:
		m.Add(v.Place, "%s has no day; write one of: %s", t.Name, strings.Join(ways, ", "))
	case n > 1:
		m.Add(v.Place, "%s has more than one of %s; keep one", t.Name, strings.Join(ways, ", "))
	case v.Map.Said("days_after_drilling") && v.Map.Has("latest"):
		m.Add(v.Map.Get("latest").Place, "%s is counted from the drilling, whose day is not fixed, so it has no latest; leave it out", t.Name)
	case v.Map.Said("days_after_harvest") && v.Map.Has("latest"):
		fromHarvest(v, m)
	}
}

// coverTiming notes a cover that has not exactly one way of telling when it is sown.
func coverTiming(v *sheet.Value, m *sheet.Mistakes) {
	either(v.Map, "sow", "days_after_harvest", v.Key.Table.Name, m)
	if v.Map.Said("days_after_harvest") && v.Map.Has("latest") {
		fromHarvest(v, m)
	}
}

func fromHarvest(v *sheet.Value, m *sheet.Mistakes) {
	m.Add(v.Map.Get("latest").Place, "%s is counted from the harvest before, whose day is not fixed, so it has no latest; leave it out", v.Key.Table.Name)
}

// path is where a file lies that a value of the plan names: seen from the file that
// the value stands in, which is the plan or a table of fields.
func (p *Plan) path(name *sheet.Value) string {
	if filepath.IsAbs(name.Text) {
		return name.Text
	}
	return filepath.Join(filepath.Dir(name.Place.File), name.Text)
}

// Visit visits every value of the plan.
func (p *Plan) Visit(visit func(*sheet.Value)) { walk(p.Root, visit) }

// walk visits every value of the plan.
func (p *Plan) walk(visit func(*sheet.Value)) { walk(p.Root, visit) }

func walk(m *sheet.Mapping, visit func(*sheet.Value)) {
	if m == nil {
		return
	}
	for _, name := range m.Names {
		if v := m.Get(name); v != nil {
			walkValue(v, visit)
		}
	}
}

func walkValue(v *sheet.Value, visit func(*sheet.Value)) {
	visit(v)
	walk(v.Map, visit)
	for _, x := range v.List {
		walkValue(x, visit)
	}
}

// written is one season of the list written out, before it has dates.
type written struct {
	season *sheet.Mapping
	year   int // 1, or the year of a ley
	years  int
}

// list writes the seasons out: the list as often as it is repeated, and a ley
// once for each of its years.
func list(seasons []*sheet.Value, repeat int) []written {
	var out []written
	for range repeat {
		for _, s := range seasons {
			years := int(s.Map.Number("years", 1))
			for y := 1; y <= years; y++ {
				out = append(out, written{s.Map, y, years})
			}
		}
	}
	return out
}

// tooMany says that a plan has more seasons than can be run.
func tooMany(n int) string {
	return fmt.Sprintf("the plan has %d seasons in all; at most %d can be run", n, mostSeasons)
}
