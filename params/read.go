package params

import (
	"path"
	"slices"
	"strings"

	"rundown/params/sheet"
)

// reader turns the file of one entry into an Entry, with the places that
// later checks need.
type reader struct {
	kind  string
	form  *sheet.Table // of the kind
	user  bool         // a user's own library
	m     *sheet.Mistakes
	words map[string]sheet.Place // of words that name other entries
}

// read reads a file; nil when it holds nothing to go on.
func (r *reader) read(file string, data []byte) *Entry {
	p := sheet.Read(sheet.Parse(file, data, r.m), r.form, r.m)
	if p == nil {
		return nil
	}
	base := strings.TrimSuffix(path.Base(strings.ReplaceAll(file, `\`, "/")), ".yaml")
	name := p.Get("name")
	switch {
	case name == nil:
		return nil
	case name.Text != base:
		r.m.Add(name.Place, "the entry is called %q but its file %s.yaml; give both one name", name.Text, base)
		return nil
	}
	e := &Entry{Kind: r.kind, Name: base, About: p.Text("about"), EPPO: p.Text("eppo"),
		Text: map[string]string{}, Lists: map[string][]string{}, Values: map[string]*Value{}}
	r.readWords(e, p)
	if u := p.Get("usual"); u != nil {
		e.Usual = u.Node
	}
	values := p.Map("values")
	for _, q := range Quantities(r.kind) {
		if v := values.Get(q.Key); v != nil {
			if x := r.value(e, q, v); x != nil {
				e.Values[q.Key] = x
			}
		}
	}
	return e
}

func (r *reader) readWords(e *Entry, p *sheet.Mapping) {
	for _, key := range []string{"role", "works", "season", "hrac", "family", "bypass_as", "herbicides_as"} {
		if v := p.Get(key); v != nil {
			e.Text[key] = v.Text
			r.words[key] = v.Place
		}
	}
	for _, key := range []string{"perennial", "low_disturbance", "cold_soil"} {
		if v := p.Get(key); v != nil && v.Yes {
			e.Text[key] = "yes"
		}
	}
	if v := p.Get("eppo"); v != nil {
		r.words["eppo"] = v.Place
	}
	for _, list := range []string{"actives", "crops", "aliases"} {
		for _, v := range p.List(list) {
			if slices.Contains(e.Lists[list], v.Text) {
				r.m.Add(v.Place, "%s/%s names %q twice under %q; once is enough", e.Kind, e.Name, v.Text, list)
				continue
			}
			e.Lists[list] = append(e.Lists[list], v.Text)
			r.words[list+" "+v.Text] = v.Place
		}
	}
}

// withoutSpread begins the word of a value that was given without a spread.
const withoutSpread = "without spread "

// value reads one quantity; nil after a mistake.
func (r *reader) value(e *Entry, q Quantity, p *sheet.Value) *Value {
	central, grade, source := p.Map.Get("value"), p.Map.Get("grade"), p.Map.Get("source")
	if central == nil || grade == nil || source == nil {
		return nil // already noted
	}
	v := &Value{Path: e.Kind + "/" + e.Name + "/" + q.Key, Label: q.Label, Short: q.Short, Unit: q.Unit, Low: q.Low, High: q.High, OfField: q.Field,
		Grade: Grade(grade.Text), Source: source.Text, Note: p.Map.Text("note"), From: "library"}
	if r.user {
		v.From = sheet.Place{File: p.Place.File, Line: p.Place.Line}.String()
	}
	switch {
	case q.Unit == "date":
		v.Central = float64(central.Date.Annual.YearDay())
	case q.Row == 12:
		v.Row = numbers(central.List)
	case q.Row == 25:
		for _, layer := range Layers {
			v.Row = append(v.Row, numbers(central.Map.List(layer))...)
		}
		if len(v.Row) != q.Row {
			return nil // already noted
		}
	default:
		v.Central = central.Number
	}
	before := r.m.Len()
	if s := p.Map.Get("spread"); s != nil {
		v.Spread = r.spread(s)
	} else if !p.Map.Said("spread") {
		r.words[withoutSpread+q.Key] = p.Place
	}
	v.Spread.PerEvent = p.Map.Text("drawn") == "per-event"
	r.checkSpread(v, central.Place)
	if r.m.Len() > before {
		return nil
	}
	return v
}

func numbers(list []*sheet.Value) []float64 {
	x := make([]float64, len(list))
	for i, v := range list {
		x[i] = v.Number
	}
	return x
}

// spread reads a spread; a mistake leaves it fixed.
func (r *reader) spread(p *sheet.Value) Spread {
	if p.Map == nil {
		return Spread{}
	}
	if len(p.Map.Names) != 1 {
		if len(p.Map.Names) > 1 {
			r.m.Add(p.Place, "found the spreads %s together; expected one of them", strings.Join(p.Map.Names, " and "))
		} else if len(p.Node.Keys) == 0 { // else what stands there has been noted
			r.m.Add(p.Place, "found an empty spread; expected one of: %s", strings.Join(spreadWords[:], ", "))
		}
		return Spread{}
	}
	name := p.Map.Names[0]
	v := p.Map.Get(name)
	if v == nil {
		return Spread{} // already noted
	}
	s := Spread{A: v.Number}
	for k, w := range spreadWords {
		if w == name {
			s.Kind = SpreadKind(k)
		}
	}
	for i, x := range v.List {
		*[]*float64{&s.A, &s.B, &s.C}[i] = x.Number
	}
	return s
}
