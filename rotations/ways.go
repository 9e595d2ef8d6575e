package rotations

import (
	"slices"
	"strings"
	"time"

	"rundown/params/date"
	"rundown/params/sheet"
)

// item is one entry of the list of seasons: a season, or a choice.
type item struct {
	place    sheet.Place
	choice   *sheet.Mapping // nil: nothing is chosen
	branches []branch
}

// branch is one of what may be grown, season by season.
type branch struct {
	place sheet.Place
	whole *sheet.Mapping // as the plan has it
	cond  *sheet.Value   // nil: it has none
	list  []written
}

// isChoice tells whether an entry of the list of seasons is a choice.
func isChoice(v *sheet.Value) bool { return v.Map.Said("choose") }

// ruled tells whether a list of seasons leaves anything to the run.
func isRuled(seasons []*sheet.Value) bool {
	found := false
	for _, s := range seasons {
		found = found || isChoice(s)
		walk(s.Map, func(v *sheet.Value) {
			found = found || v.Key.Kind == sheet.Nested && v.Key.Name == "if" || v.Key.Name == "done"
		})
	}
	return found
}

// items writes the seasons out as often as they are repeated.
func items(seasons []*sheet.Value, repeat int) []item {
	var out []item
	for range repeat {
		for _, s := range seasons {
			if !isChoice(s) {
				out = append(out, item{place: s.Place, branches: []branch{{place: s.Place, whole: s.Map, list: list([]*sheet.Value{s}, 1)}}})
				continue
			}
			x := item{place: s.Place, choice: s.Map}
			for _, b := range s.Map.List("choose") {
				of := []*sheet.Value{b}
				if b.Map.Said("seasons") {
					of = b.Map.List("seasons")
				}
				x.branches = append(x.branches, branch{place: b.Place, whole: b.Map, cond: b.Map.Get("if"), list: list(of, 1)})
			}
			out = append(out, x)
		}
	}
	return out
}

// years is how many harvests an entry of the list of seasons stands for.
func years(s *sheet.Value) int {
	if !isChoice(s) {
		return int(s.Map.Number("years", 1))
	}
	most := 0
	for _, b := range s.Map.List("choose") {
		n := 0
		for _, w := range b.Map.List("seasons") {
			n += int(w.Map.Number("years", 1))
		}
		if n == 0 {
			n = int(b.Map.Number("years", 1))
		}
		most = max(most, n)
	}
	return most
}

// ways resolves a plan with rules: every branch behind every season that can precede it.
func (r *resolver) ways(list []item) {
	rules := &Rules{Counting: r.counting(), items: list}
	r.c.Rules = rules
	r.misread = r.plan.bad || r.m.Len() > 0 || r.as.given()
	if !r.choices(list) {
		return
	}
	r.grownYears = map[*sheet.Mapping]map[int]bool{}
	ends := []int{-1}
	for _, x := range list {
		if ends = r.item(x, ends); len(ends) == 0 {
			return
		}
	}
	r.factYears(list)
	if r.m.Len() > 0 || r.plan.bad {
		return
	}
	r.path()
	if rules.settled() {
		r.c.Rules = nil
	}
}

// path adds the seasons of the way through the plan that takes the last branch of every
// choice, from the first that the calendar has not.
func (r *resolver) path() {
	rules, n := r.c.Rules, 0
	for d := &rules.First; len(d.Next) > 0; n++ {
		way := &rules.Ways[d.Next[len(d.Next)-1]]
		if n >= len(r.c.Seasons) {
			r.c.Seasons = append(r.c.Seasons, way.Season)
			r.c.written = append(r.c.written, way.written)
		}
		d = &way.Then
	}
}

// moreWays resolves more seasons behind those of a plan with rules.
func (r *resolver) moreWays(list []written) {
	rules := *r.c.Rules
	rules.Ways, rules.Years, rules.items = slices.Clone(rules.Ways), slices.Clip(rules.Years), slices.Clip(rules.items)
	r.c.Rules = &rules
	var ends []int
	for i := range rules.Ways {
		if rules.Ways[i].Year == len(rules.Years)-1 {
			ends = append(ends, i)
		}
	}
	for len(list) > 0 && len(ends) > 0 {
		n := 1
		for n < len(list) && list[n].year > 1 {
			n++
		}
		at := list[0].season
		x := item{place: at.Place, branches: []branch{{place: at.Place, whole: at, list: list[:n]}}}
		rules.items = append(rules.items, x)
		ends, list = r.item(x, ends), list[n:]
	}
	r.path()
}

// item resolves one entry behind the ways that can stand before it, and gives the ways that
// can stand before the next.
func (r *resolver) item(x item, before []int) (ends []int) {
	rules := r.c.Rules
	slot := len(rules.Years)
	for range x.branches[0].list {
		rules.Years = append(rules.Years, Year{})
	}
	rules.Years[slot].Chosen = x.choice != nil
	var opens []date.Day
	behind := map[date.Day][]int{}
	for _, b := range before {
		open := r.c.Start
		if b >= 0 {
			open = rules.Ways[b].End + 1
		}
		if behind[open] == nil {
			opens = append(opens, open)
		}
		behind[open] = append(behind[open], b)
	}
	said := make([]pairs, len(x.branches))
	for _, open := range opens {
		p := &place{slot: slot, open: open, behind: behind[open]}
		d, made := r.decide(x, p, said)
		for _, b := range p.behind {
			if b < 0 {
				rules.First = d
			} else {
				rules.Ways[b].Then = d
			}
		}
		ends = append(ends, made...)
	}
	for i := range said {
		said[i].tell(r.m, len(opens))
	}
	return ends
}

// place is where an entry stands: behind some ways that end on one day.
type place struct {
	slot   int
	open   date.Day
	behind []int
}

// decide resolves every branch of an entry in one place, and which of them can be grown there.
func (r *resolver) decide(x item, p *place, said []pairs) (d Decision, ends []int) {
	rules := r.c.Rules
	ifs, on := r.conditions(x, p, said)
	var chains [][]Way
	for i, b := range x.branches {
		chain, ok := r.chain(b, i, p, on, &said[i])
		if !ok {
			chain = nil // goes on without it, for the mistakes that follow
		}
		chains = append(chains, chain)
	}
	for i, c := range ifs {
		if c != nil && i < len(rules.Years[p.slot].Branches) {
			rules.Years[p.slot].Branches[i].If = c.Text
		}
	}
	d.On = on
	for _, i := range r.open(x, p, ifs, chains) {
		if chains[i] == nil {
			continue
		}
		first := len(rules.Ways)
		d.Next = append(d.Next, first)
		if i < len(ifs)-1 {
			d.Ifs = append(d.Ifs, ifs[i])
		}
		for k := range chains[i] {
			if k > 0 {
				rules.Ways[len(rules.Ways)-1].Then = Decision{Next: []int{len(rules.Ways)}}
			}
			rules.Ways = append(rules.Ways, chains[i][k])
		}
		ends = append(ends, len(rules.Ways)-1)
	}
	if len(d.Next) < 2 {
		d.On, d.Ifs = 0, nil
		return d, ends
	}
	d.Ifs = d.Ifs[:min(len(d.Ifs), len(d.Next)-1)]
	return d, ends
}

// chain resolves the seasons of a branch one behind the other.
func (r *resolver) chain(b branch, number int, p *place, on date.Day, said *pairs) (chain []Way, ok bool) {
	rules := r.c.Rules
	open, before := p.open, r.harvestOf(p.behind[0])
	m := r.m
	defer func() { r.m = m }()
	r.m = &sheet.Mistakes{}
	r.deciding = on
	for k, w := range b.list {
		r.before = before
		s, ok := r.season(p.slot+k+1, w, open)
		r.deciding = 0
		if !ok {
			said.add(r.m, r.behindWords(p))
			return chain, false
		}
		year := &rules.Years[p.slot+k]
		if len(year.Branches) == number {
			year.Branches = append(year.Branches, Branch{Crop: s.Courses[0].Crop.Name, Place: w.season.Place.String()})
		}
		chain = append(chain, Way{Season: s, Year: p.slot + k, Branch: number, written: w, behind: r.behindWords(p)})
		open, before = s.End+1, s.HarvestYear
	}
	said.add(r.m, r.behindWords(p))
	return chain, r.m.Len() == 0
}

// harvestOf is the harvest year of a way; 0 for none.
func (r *resolver) harvestOf(way int) int {
	if way < 0 {
		return 0
	}
	return r.c.Rules.Ways[way].HarvestYear
}

// behindWords names what stands before a place.
func (r *resolver) behindWords(p *place) string {
	var names []string
	for _, b := range p.behind {
		if b < 0 {
			return "the start"
		}
		if name := r.c.Rules.Ways[b].Courses[0].Crop.Name; !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return strings.Join(names, " or ")
}

// conditions resolves when an entry is decided in a place, and on what.
func (r *resolver) conditions(x item, p *place, said []pairs) (ifs []*Condition, on date.Day) {
	ifs = make([]*Condition, len(x.branches))
	if x.choice == nil {
		return ifs, 0
	}
	m := r.m
	defer func() { r.m = m }()
	r.m = &sheet.Mistakes{}
	d := due{what: "the choice", on: p.open, from: r.c.Start, number: p.slot + 1, choice: true}
	if b := p.behind[0]; b >= 0 {
		d.from = r.c.Rules.Ways[b].Open
	}
	if v := x.choice.Get("decide"); v != nil {
		if day, ok := r.decideOn(v, p); ok {
			on, d.on = day, day
		}
	}
	for i, b := range x.branches {
		if b.cond == nil {
			continue
		}
		ifs[i] = r.condition(b.cond, d)
		if r.m.Len() == 0 && !r.misread && shadowed(ifs[i], ifs[:i]) {
			r.m.Add(b.cond.Place, "this branch is never grown, for a branch before it is grown wherever its if holds; change the order, or the bounds")
		}
	}
	if last := len(ifs) - 1; r.m.Len() == 0 && !r.misread && shadowed(nil, ifs[:last]) {
		r.m.Add(x.branches[last].place, "this branch is never grown, for the branches before it leave nothing over; change their bounds, or leave it out")
	}
	said[0].add(r.m, r.behindWords(p))
	return ifs, on
}

// decideOn is the day on which a choice is made.
func (r *resolver) decideOn(v *sheet.Value, p *place) (date.Day, bool) {
	const longest = 240
	on, ok := r.day(v, p.open)
	switch {
	case !ok:
		return 0, false
	case on < p.open || on-p.open > longest:
		r.m.Add(v.Place, "decide: %s is not between the day on which the season opens, %s, and %d days later; write a day in it, or leave it out", v.Text,
			p.open.Short(), longest)
		return 0, false
	}
	if _, month, _ := on.Date(); month >= time.April && month <= time.June {
		r.m.Add(v.Place, "decide: %s is in spring, when the weed's plants are counted in what stands; decide by 31 March", v.Text)
		return 0, false
	}
	return on, true
}
