package rotations

import (
	"slices"

	"rundown/params/sheet"
)

// rule is one rule of a menu.
type rule struct {
	place sheet.Place
	kind  ruleKind
	crops []string // that are counted
	least int      // years with them, of each years on end
	most  int      // −1: no bound
	years int      // 0: of the whole rotation
	these []string // entries: allowed first or last, or those that others may not stand behind
	not   []string // those others
}

type ruleKind uint8

const (
	counted ruleKind = iota
	firstOf
	lastOf
	notAfter
)

// mostRules is how many rules a menu may have: one bit of a word each.
const mostRules = 60

// readRules reads the rules, each of one kind.
func (u *Menu) readRules(m *sheet.Mistakes) {
	list := u.plan.Root.List("rules")
	if len(list) > mostRules {
		m.Add(u.plan.Root.Get("rules").Place, "the menu has %d rules; at most %d can be kept", len(list), mostRules)
		return
	}
	for _, v := range list {
		if v == nil || v.Map == nil {
			continue
		}
		if r, ok := u.readRule(v, m); ok {
			u.rules = append(u.rules, r)
		}
	}
}

func (u *Menu) readRule(v *sheet.Value, m *sheet.Mistakes) (r rule, ok bool) {
	p := v.Map
	r = rule{place: v.Place, most: -1}
	heads := 0
	for _, key := range []string{"crop", "first", "last", "after"} {
		if p.Said(key) {
			heads++
		}
	}
	if heads != 1 {
		m.Add(v.Place, "a rule begins with one of crop, first, last and after; this has %d of them: write {crop: winter-wheat, at_most_in_a_row: 2}, "+
			"{first: [..]}, {last: [..]} or {after: .., not: [..]}", heads)
		return r, false
	}
	allowed := map[string][]string{"crop": {"crop", "at_most", "at_least", "in_years", "at_most_in_a_row"}, "first": {"first"}, "last": {"last"},
		"after": {"after", "not"}}
	for head, keys := range allowed {
		if !p.Said(head) {
			continue
		}
		for _, name := range p.Names {
			if !slices.Contains(keys, name) && p.Get(name) != nil {
				m.Add(p.Get(name).Place, "%s does not go with %s; write it as a rule of its own", name, head)
				return r, false
			}
		}
	}
	before := m.Len()
	switch {
	case p.Said("crop"):
		u.countRule(&r, p, m)
	case p.Said("first"):
		r.kind, r.these = firstOf, u.named(p.Get("first"), m)
	case p.Said("last"):
		r.kind, r.these = lastOf, u.named(p.Get("last"), m)
	default:
		r.kind, r.these, r.not = notAfter, u.named(p.Get("after"), m), u.named(p.Get("not"), m)
		if !p.Said("not") {
			m.Add(v.Place, "after says behind what; not, which entries may not stand there: {after: rape, not: [rape]}")
		}
	}
	return r, m.Len() == before
}

// countRule reads how often crops may be grown.
func (u *Menu) countRule(r *rule, p *sheet.Mapping, m *sheet.Mistakes) {
	r.crops = words(p.Get("crop"))
	if v := p.Get("at_most_in_a_row"); v != nil {
		if p.Said("at_most") || p.Said("at_least") || p.Said("in_years") {
			m.Add(v.Place, "at_most_in_a_row stands alone; write the rest as a rule of its own")
		}
		r.most, r.years = int(v.Number), int(v.Number)+1
		return
	}
	if !p.Said("at_most") && !p.Said("at_least") {
		m.Add(p.Place, "the rule says of crops neither at_most, at_least nor at_most_in_a_row; write one of them")
	}
	r.years, r.least, r.most = int(p.Number("in_years", 0)), int(p.Number("at_least", 0)), int(p.Number("at_most", -1))
	within := r.years
	if within == 0 {
		within = u.Years
	}
	if v := p.Get("at_least"); v != nil && within > 0 && r.least > within {
		m.Add(v.Place, "at_least: %d cannot be kept in %d years", r.least, within)
	}
	if v := p.Get("at_least"); v != nil && r.most >= 0 && r.least > r.most {
		m.Add(v.Place, "at_least: %d is more than at_most: %d", r.least, r.most)
	}
	if v := p.Get("in_years"); v != nil && r.most >= r.years && r.least == 0 {
		m.Add(v.Place, "at_most: %d in %d years rules nothing out", r.most, r.years)
	}
	var grown []string
	for _, e := range u.Entries {
		for _, crops := range e.crops {
			grown = append(grown, crops...)
		}
	}
	for _, v := range valuesOf(p.Get("crop")) {
		if r.least > 0 || v.Text == "" || slices.Contains(grown, v.Text) {
			continue
		}
		m.Add(v.Place, "no entry of the menu grows %s, so that the rule rules nothing out; %s", v.Text,
			sheet.DidYouMean(v.Text, slices.Compact(slices.Sorted(slices.Values(grown)))))
	}
}

// valuesOf is a value or a list of them.
func valuesOf(v *sheet.Value) []*sheet.Value {
	switch {
	case v == nil:
		return nil
	case v.List != nil:
		return v.List
	}
	return []*sheet.Value{v}
}

func words(v *sheet.Value) []string {
	var out []string
	for _, x := range valuesOf(v) {
		if x != nil {
			out = append(out, x.Text)
		}
	}
	return out
}

// named are entries by name; a name that the menu does not have is noted.
func (u *Menu) named(v *sheet.Value, m *sheet.Mistakes) []string {
	var names []string
	for _, e := range u.Entries {
		names = append(names, e.Name)
	}
	for _, x := range valuesOf(v) {
		if x != nil && !slices.Contains(names, x.Text) && !u.plan.Root.Map("menu").Said(x.Text) {
			m.Add(x.Place, "the menu has no entry %q; %s", x.Text, sheet.DidYouMean(x.Text, names))
		}
	}
	return words(v)
}

// history is what rules need to know of the years before: of each of the last years which
// rules count it, the latest first, and of rules of the whole rotation how often they did.
type history struct {
	past  []uint64
	known int // of past, so many are known
	whole []int
	last  int // entry; −1 for none
}

// memory is how many years back a menu's rules look, beside the year itself.
func (u *Menu) memory() int {
	n := 0
	for _, r := range u.rules {
		if r.kind == counted {
			n = max(n, r.years-1)
		}
	}
	return n
}

// counts are the rules that count a year with crops, as bits; of the whole rotation only years in it.
func (u *Menu) counts(crops []string, inside bool) (mask uint64) {
	for i, r := range u.rules {
		if r.kind == counted && (r.years > 0 || inside) && slices.ContainsFunc(crops, func(c string) bool { return slices.Contains(r.crops, c) }) {
			mask |= 1 << i
		}
	}
	return mask
}

// begin is the history at the start: the crops before it, as far as they are given.
func (u *Menu) begin(before []string) history {
	h := history{last: -1, whole: make([]int, len(u.rules))}
	for _, crop := range before {
		h = u.add(h, u.counts([]string{crop}, false), true)
	}
	return h
}

// add puts a year to a history.
func (u *Menu) add(h history, mask uint64, known bool) history {
	n := u.memory()
	h.past = append([]uint64{mask}, h.past...)
	if known {
		h.known++
	}
	if len(h.past) > n {
		h.past = h.past[:n]
	}
	h.known = min(h.known, n)
	for back := range h.past { // what no rule looks at any more makes no difference
		for i, r := range u.rules {
			if r.kind != counted || r.years-1 <= back {
				h.past[back] &^= 1 << i
			}
		}
	}
	return h
}

// grow puts an entry behind a history from a year on; not ok where a rule is against it.
func (u *Menu) grow(h history, entry, year int) (out history, ok bool) {
	e := &u.Entries[entry]
	end := year+e.years == u.Years
	for i := range u.rules {
		r := &u.rules[i]
		switch {
		case r.kind == firstOf && year == 0 && !slices.Contains(r.these, e.Name),
			r.kind == lastOf && end && !slices.Contains(r.these, e.Name),
			r.kind == notAfter && h.last >= 0 && slices.Contains(r.these, u.Entries[h.last].Name) && slices.Contains(r.not, e.Name):
			return h, false
		}
	}
	for k, crops := range e.crops {
		mask := u.counts(crops, true)
		if !u.allows(h, mask, year+k) {
			return h, false
		}
		h.whole = slices.Clone(h.whole)
		for i, r := range u.rules {
			if r.kind == counted && r.years == 0 && mask&(1<<i) != 0 {
				h.whole[i]++
			}
		}
		h = u.add(h, mask, true)
	}
	h.last = entry
	return h, true
}

// allows tells whether the rules that count allow a year behind a history. Where it is not
// known what stood before, nothing is asked of those years.
func (u *Menu) allows(h history, mask uint64, year int) bool {
	for i, r := range u.rules {
		if r.kind != counted {
			continue
		}
		bit := uint64(1) << i
		n := 0
		if mask&bit != 0 {
			n = 1
		}
		if r.years == 0 {
			n += h.whole[i]
			if r.most >= 0 && n > r.most || year == u.Years-1 && n < r.least {
				return false
			}
			continue
		}
		for back := 0; back < r.years-1 && back < len(h.past); back++ {
			if h.past[back]&bit != 0 {
				n++
			}
		}
		if r.most >= 0 && n > r.most || h.known >= r.years-1 && n < r.least {
			return false
		}
	}
	return true
}
