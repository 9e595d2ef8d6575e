package rotations

import (
	"io"
	"os"
	"slices"

	"rundown/params/sheet"
)

// Menu is a choice of rotations as written: a field, named seasons, and rules of what may
// follow what.
type Menu struct {
	File    string
	Years   int
	Entries []MenuEntry // in the order of the file
	Want    *Want       // nil: nothing is asked for
	Against string      // file of the plan of today, from the menu's folder; "" for none

	plan  *Plan // the menu as a plan without seasons
	rules []rule
	bad   bool
}

// MenuEntry is a season, or a choice between some, by its name.
type MenuEntry struct {
	Name  string
	value *sheet.Value
	years int
	crops [][]string // planned, by its years; of a choice all that may be grown
}

// Want is what a rotation should keep to.
type Want struct {
	Heads     float64 // per m², that every season from From on keeps under; 0: not asked for
	HeadsIn   float64 // share of runs
	From      int     // season, 1 the first
	Margin    float64 // mean a year, per ha
	HasMargin bool
	MarginIn  float64 // share of runs
}

// ReadMenu reads a menu. Mistakes are noted; it is nil only when there is nothing to go on.
func ReadMenu(file string, data []byte, m *sheet.Mistakes) *Menu {
	before := m.Len()
	n := sheet.Parse(file, data, m)
	if n == nil || newer(n, m) {
		return nil
	}
	if at := seasonsOf(n); at != nil {
		m.Add(at.Place, "this is a plan and not a menu: 'rundown forecast' runs it; 'rundown help search' shows a menu")
		return nil
	}
	p := &Plan{File: file, table: menuTable()}
	p.Open = func(name string) (io.ReadCloser, error) { return os.Open(name) }
	if p.Root = sheet.Read(n, p.table, m); p.Root == nil {
		return nil
	}
	p.checkGround(m)
	out := &Menu{File: file, Years: int(p.Root.Number("years", 0)), plan: p, Against: p.Root.Text("against")}
	if v := p.Root.Get("against"); v != nil {
		out.Against = p.path(v)
	}
	out.entries(m)
	out.want(m)
	out.readRules(m)
	out.bad = m.Len() > before
	return out
}

// seasonsOf is where a file that has no menu lists seasons, as a plan does; else nil.
func seasonsOf(n *sheet.Node) *sheet.Node {
	if at, _ := n.Value("menu"); at != nil {
		return nil
	}
	for _, key := range []string{"seasons", "rotation"} {
		if at, _ := n.Value(key); at != nil {
			return at
		}
	}
	return nil
}

// IsMenu tells whether a file holds a menu and not a plan.
func IsMenu(file string, data []byte) bool {
	n := sheet.Parse(file, data, &sheet.Mistakes{})
	if n == nil {
		return false
	}
	_, v := n.Value("menu")
	return v != nil
}

// Open opens the files that the menu names.
func (u *Menu) SetOpen(open func(name string) (io.ReadCloser, error)) { u.plan.Open = open }

// Opens is what opens them.
func (u *Menu) Opens() func(name string) (io.ReadCloser, error) { return u.plan.Open }

// entries lists the named seasons.
func (u *Menu) entries(m *sheet.Mistakes) {
	root := u.plan.Root
	menu := root.Map("menu")
	for _, name := range menuNames(menu) {
		v := menu.Get(name)
		if v == nil {
			continue
		}
		e := MenuEntry{Name: name, value: v, years: years(v)}
		e.count()
		e.check(m)
		u.Entries = append(u.Entries, e)
	}
	switch n := len(u.Entries); {
	case menu == nil:
	case len(menu.Names) == 0:
		m.Add(root.Get("menu").Place, "the menu is empty; write a name and a season: early wheat: {crop: winter-wheat}")
	case n > mostEntries:
		m.Add(root.Get("menu").Place, "the menu has %d entries; at most %d can be searched: leave out what nobody would grow", n, mostEntries)
	}
}

func menuNames(p *sheet.Mapping) []string {
	if p == nil {
		return nil
	}
	return p.Names
}

// count finds which crops an entry may grow in each of its years.
func (e *MenuEntry) count() {
	e.crops = make([][]string, e.years)
	for _, b := range items([]*sheet.Value{e.value}, 1)[0].branches {
		for k, w := range b.list {
			if crop := w.season.Text("crop"); k < len(e.crops) && crop != "" && !slices.Contains(e.crops[k], crop) {
				e.crops[k] = append(e.crops[k], crop)
			}
		}
	}
}

// Years is how many seasons the entry stands for.
func (e *MenuEntry) Years() int { return e.years }

// Crops are all that the entry may grow, as planned.
func (e *MenuEntry) Crops() []string { return slices.Concat(e.crops...) }

// check notes what an entry cannot hold, as it may stand in any year.
func (e *MenuEntry) check(m *sheet.Mistakes) {
	walkValue(e.value, func(v *sheet.Value) {
		switch {
		case v.Date.Full:
			m.Add(v.Place, "the date %s has a year, but an entry of a menu may stand in any; write it without: %s", v.Date, annual(v.Date.Day))
		case v.Key.Name == "grown" && v.Key.Kind == sheet.Free:
			m.Add(v.Place, "grown says what was grown in years that are past; an entry of a menu is for years to come: leave it out")
		case v.Range():
			m.Add(v.Place, "an entry of a menu holds numbers, not ranges: write one number here, or the range under the menu's economics")
		}
	})
}

func (u *Menu) want(m *sheet.Mistakes) {
	w := u.plan.Root.Map("want")
	if w == nil {
		return
	}
	out := &Want{From: min(3, max(u.Years, 1))}
	if h := w.Map("heads_per_m2"); h != nil {
		out.Heads, out.HeadsIn = h.Number("below", 0), h.Number("in", 80)/100
		if v := h.Get("from"); v != nil {
			if out.From = int(v.Number); out.From > u.Years && u.Years > 0 {
				m.Add(v.Place, "from: %s is behind the last of %d seasons", v.Text, u.Years)
			}
		}
	}
	if x := w.Map("margin_per_ha"); x != nil {
		out.HasMargin, out.Margin, out.MarginIn = true, x.Number("at_least", 0), x.Number("in", 80)/100
	}
	if !w.Said("heads_per_m2") && !w.Said("margin_per_ha") {
		m.Add(w.Place, "nothing is wanted; write heads_per_m2: {below: 20, in: 80}, or margin_per_ha: {at_least: 300, in: 80}")
	}
	u.Want = out
}

// Rotation is a row of entries, by number.
type Rotation []int

// Names are the entries of a rotation.
func (u *Menu) Names(r Rotation) []string {
	var out []string
	for _, e := range r {
		out = append(out, u.Entries[e].Name)
	}
	return out
}

// PlanOf is a rotation as a plan, with the places of the menu.
func (u *Menu) PlanOf(r Rotation, m *sheet.Mistakes) (*Plan, error) {
	fields := sheet.Fields{}
	node := u.plan.Root
	for _, key := range []string{"format", "about", "library"} {
		if v := node.Get(key); v != nil {
			fields = append(fields, sheet.Field{Key: key, Value: v.Node})
		}
	}
	field := *node.Get("field").Node
	field.Keys, field.Values = nil, nil
	for i, k := range node.Get("field").Node.Keys {
		if k.Text != "before" {
			field.Keys, field.Values = append(field.Keys, k), append(field.Values, node.Get("field").Node.Values[i])
		}
	}
	fields = append(fields, sheet.Field{Key: "field", Value: &field})
	for _, key := range []string{"weed", "economics", "units"} {
		if v := node.Get(key); v != nil {
			fields = append(fields, sheet.Field{Key: key, Value: v.Node})
		}
	}
	var seasons []*sheet.Node
	for _, e := range r {
		seasons = append(seasons, u.Entries[e].value.Node)
	}
	fields = append(fields, sheet.Field{Key: "seasons", Value: seasons})
	for _, key := range []string{"afterwards", "discount"} {
		if v := node.Get(key); v != nil {
			fields = append(fields, sheet.Field{Key: key, Value: v.Node})
		}
	}
	p, err := Build(u.File, fields, m)
	if p != nil {
		p.Open = u.plan.Open
	}
	return p, err
}
