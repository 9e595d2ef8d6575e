package rotations

import (
	"strings"

	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
)

// resolver turns a plan into a calendar.
type resolver struct {
	plan   *Plan
	lib    *params.Library
	m      *sheet.Mistakes
	c      *Calendar
	priced map[string]*params.Entry  // entries with a plan's own prices, by name and prices
	usual  map[string]*sheet.Mapping // usual practices as read, by crop
	used   map[*params.Entry]bool    // every entry the calendar can use

	as         variant
	misread    bool                            // some of the plan was not understood: what hangs on what is not judged
	before     int                             // harvest year of the season before the one being resolved; 0: none
	deciding   date.Day                        // of a season that is chosen: the day of deciding; 0: as it opens
	grownYears map[*sheet.Mapping]map[int]bool // in which a choice is made
}

// Resolve looks up every name, gives every date its year and fills every
// default in. All mistakes are noted; the calendar is nil if there is one, here
// or in the reading of the plan. A plan with a library of its own is read with
// that laid over the program's, and lib is left as it is.
func (p *Plan) Resolve(lib *params.Library, m *sheet.Mistakes) *Calendar {
	return p.resolve(lib, variant{}, m)
}

func (p *Plan) resolve(lib *params.Library, as variant, m *sheet.Mistakes) *Calendar {
	before := m.Len()
	r := newResolver(p, lib, m)
	r.as = as
	seasons, repeat, dated := r.seasonList()
	r.names(seasons)
	started := r.ground()
	if n := r.count(seasons, repeat); n > mostSeasons {
		m.Add(p.Root.Place, "%s", tooMany(n))
	} else if dated && started {
		if isRuled(seasons) {
			r.ways(items(seasons, repeat))
		} else {
			r.seasons(list(seasons, repeat))
		}
		r.beforeTheEnd(m)
	}
	if m.Len() > before || p.bad {
		return nil
	}
	r.space()
	r.c.by = r
	return r.c
}

func newResolver(p *Plan, lib *params.Library, m *sheet.Mistakes) *resolver {
	r := &resolver{plan: p, lib: lib, m: m,
		c:      &Calendar{PlanFile: p.File, Library: lib, plan: p},
		priced: map[string]*params.Entry{}, usual: map[string]*sheet.Mapping{}, used: map[*params.Entry]bool{},
	}
	if v := p.Root.Get("library"); v != nil {
		r.overlay(v)
	}
	return r
}

// ground fills in all but the seasons: field, weed and money. It is not ok when the start
// is missing or refused.
func (r *resolver) ground() (ok bool) {
	root := r.plan.Root
	r.c.Discount = root.Number("discount", UsualDiscount)
	r.field()
	ok = r.weed()
	r.c.money = []tariff{r.tariff(root.Map("economics"))}
	r.c.Area = r.area()
	r.c.Currency = "GBP"
	if s := root.Map("economics").Text("currency"); s != "" {
		r.c.Currency = s
	}
	return ok
}

// lastYear is the last that days, and the draws of their weather, are numbered for.
const lastYear = 2200

// beforeTheEnd notes a plan that goes on beyond what dates can be.
func (r *resolver) beforeTheEnd(m *sheet.Mistakes) {
	n := len(r.c.Seasons)
	if v := r.plan.Root.Map("weed").Get("start"); n > 0 && v != nil && r.c.Seasons[n-1].End.Year() > lastYear {
		m.Add(v.Place, "the plan starts on %s and ends in %d; days are counted to the end of %d: start it earlier, or make it shorter", r.c.Start,
			r.c.Seasons[n-1].End.Year(), lastYear)
	}
}

// overlay lays the plan's own library over a fresh one, so that other plans
// read with the same library do not see it.
func (r *resolver) overlay(v *sheet.Value) {
	lib, err := params.Load()
	if err != nil {
		r.m.Add(v.Place, "%v", err)
		return
	}
	if dir := r.plan.path(v); r.plan.Folder == nil {
		lib.Overlay(dir, r.m)
	} else if files, err := r.plan.Folder(dir); err != nil {
		r.m.Add(v.Place, "%v", err)
	} else {
		lib.OverlayFrom(files, dir, r.m)
	}
	r.lib, r.c.Library = lib, lib
}

// seasonList finds the seasons, the plan's own or those of a ready-made
// rotation; not ok when dates with a year stand in a list that is repeated.
func (r *resolver) seasonList() (seasons []*sheet.Value, repeat int, ok bool) {
	root := r.plan.Root
	repeat, ok = int(root.Number("repeat", 1)), true
	seasons = root.List("seasons")
	if v := root.Get("rotation"); v != nil {
		if ready := readyMade(v, r.m); ready != nil {
			seasons = ready.List("seasons")
			if !root.Said("repeat") {
				repeat = int(ready.Number("repeat", 1))
			}
		}
	}
	if repeat > 1 || root.Has("rotation") {
		for _, s := range seasons {
			walk(s.Map, func(v *sheet.Value) {
				if v.Date.Full {
					ok = false
					r.m.Add(v.Place, "the date %s has a year, but the list of seasons is repeated; write it without: %s", v.Date, annual(v.Date.Day))
				}
			})
		}
	}
	return seasons, repeat, ok
}

// annual is a day without its year.
func annual(d date.Day) date.Annual {
	_, m, day := d.Date()
	return date.Annual{Month: m, Day: day}
}

func (r *resolver) count(seasons []*sheet.Value, repeat int) int {
	n := 0
	for _, s := range seasons {
		n += years(s)
	}
	return n * repeat
}

// names notes every name in the plan that the library does not have.
func (r *resolver) names(seasons []*sheet.Value) {
	look := func(v *sheet.Value) {
		switch {
		case v.Key.Kind == sheet.Name && v.Key.Library != "":
			r.known(v.Place, v.Key.Library, v.Text)
		case v.Key.Kind == sheet.Free && v.Key.Library != "":
			for _, k := range v.Node.Keys {
				r.known(k.Place, v.Key.Library, k.Text)
			}
		}
	}
	r.plan.walk(look)
	if !r.plan.Root.Has("seasons") {
		for _, s := range seasons {
			walkValue(s, look)
		}
	}
}

// kindsOf are the kinds of the library that a key may name.
func kindsOf(library string) []string {
	if library == "operations" {
		return []string{"implements", "herbicides", "covers"}
	}
	return []string{library}
}

// singular is the word for one thing of a kind.
var singular = map[string]string{
	"weeds": "weed", "crops": "crop", "covers": "cover", "implements": "implement", "herbicides": "herbicide",
	"soils": "soil", "climates": "climate", "operations": "implement, herbicide or cover",
}

// find is an entry of the library; nil, noted elsewhere, when it has none.
func (r *resolver) find(library, name string) *params.Entry {
	for _, kind := range kindsOf(library) {
		if e := r.lib.Find(kind, name); e != nil {
			return e
		}
	}
	return nil
}

// known notes a name that the library does not have, and says where else it
// stands if it does.
func (r *resolver) known(at sheet.Place, library, name string) {
	if r.find(library, name) != nil {
		return
	}
	for _, kind := range params.Kinds {
		if kind != library && r.lib.Find(kind, name) != nil {
			r.m.Add(at, "%q is %s, not %s; see rundown library %s", name, article(singular[kind]), article(singular[library]), strings.Join(kindsOf(library), ", "))
			return
		}
	}
	r.m.Add(at, "the library has no %s %q; %s", singular[library], name, r.lib.DidYouMean(name, kindsOf(library)...))
}

func article(word string) string {
	if strings.ContainsAny(word[:1], "aeiou") {
		return "an " + word
	}
	return "a " + word
}

// need is an entry that every plan uses; it is noted when the library lacks it.
func (r *resolver) need(kind, name string) *params.Entry {
	e := r.lib.Find(kind, name)
	if e == nil {
		r.m.Add(sheet.Place{File: r.plan.File}, "the library has no %s %q, which every plan needs; is the library overlaid with one of your own?",
			singular[kind], name)
	}
	return e
}

// role is an entry that a plan names for a purpose, noted when it has another.
func (r *resolver) role(v *sheet.Value, library string, roles ...string) *params.Entry {
	e := r.find(library, v.Text)
	if e == nil {
		return nil
	}
	for _, want := range roles {
		if e.Text["role"] == want {
			return e
		}
	}
	var fit []string
	for _, kind := range kindsOf(library) {
		for _, n := range r.lib.Names(kind) {
			for _, want := range roles {
				if r.lib.Find(kind, n).Text["role"] == want {
					fit = append(fit, n)
				}
			}
		}
	}
	r.m.Add(v.Place, "%q has the role %s; expected %s: %s", v.Text, e.Text["role"], strings.Join(roles, " or "), strings.Join(fit, ", "))
	return nil
}
