package rotations

import (
	"fmt"
	"math/big"
	"slices"
	"sort"
	"strings"

	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
)

// Choices is a menu as resolved: every season behind all that it can stand behind, and
// every rotation that the rules allow, as a graph.
type Choices struct {
	Menu     *Menu
	Calendar *Calendar // of all of it: what may come next stands in Rules.Places; Seasons are those of one rotation
	Nodes    []Node    // the first is the start; behind the last season is one that has no steps
	Allowed  *big.Int  // rotations
	Misfits  []Misfit
	Unused   []string // entries that no allowed rotation holds
}

// Node is what a beginning has left: how many of its years are over, what stands in front,
// and all that rules and dates ask of what follows. Beginnings that meet in one have the
// same freedom left.
type Node struct {
	Year  int
	Crop  string // that stood last
	Steps []Step
	Below *big.Int // rotations that go through it, counted from here
}

// Step is an entry that may come next, and where it leads.
type Step struct{ Entry, To int }

// Misfit is an entry that does not fit behind another.
type Misfit struct {
	Entry  string
	Behind []string // crops; none: the start
	Why    string   // with its place
}

// mostNodes is how large a graph may become: some hundred bytes each.
const mostNodes = 300_000

// Resolve looks up every name and date of a menu, as that of a plan does. All mistakes are
// noted; the result is nil if there is one.
func (u *Menu) Resolve(lib *params.Library, m *sheet.Mistakes) *Choices {
	before := m.Len()
	r := newResolver(u.plan, lib, m)
	var seasons []*sheet.Value
	for _, e := range u.Entries {
		seasons = append(seasons, e.value)
	}
	r.names(nil)
	started := r.ground()
	if !started || u.bad || m.Len() > before || len(u.Entries) == 0 || u.Years == 0 {
		return nil
	}
	g := &grower{resolver: r, menu: u, at: map[string]int{}, legs: map[spot]*leg{}, items: items(seasons, 1)}
	out := &Choices{Menu: u, Calendar: r.c}
	r.c.Rules = &Rules{Counting: r.counting()}
	r.grownYears = map[*sheet.Mapping]map[int]bool{}
	for range u.Years {
		r.c.Rules.Years = append(r.c.Rules.Years, Year{})
	}
	var beforeCrops []string
	for _, v := range u.plan.Root.Map("field").List("before") {
		if v != nil {
			beforeCrops = append(beforeCrops, v.Text)
		}
	}
	h := u.begin(append(beforeCrops, r.c.LastCrop.Name))
	if !g.graph(h, out) {
		return nil
	}
	g.prune(out)
	out.Misfits = g.misfits
	g.never(out)
	if m.Len() > before {
		return nil
	}
	g.firstRotation(out)
	r.beforeTheEnd(m)
	if r.space(); m.Len() > before {
		return nil
	}
	r.c.by = r
	return out
}

// grower resolves a menu.
type grower struct {
	*resolver
	menu    *Menu
	items   []item
	nodes   []*growing
	at      map[string]int // of a node, by what it is told from others
	legs    map[spot]*leg
	misfits []Misfit
}

// growing is a node with what is needed to go on from it.
type growing struct {
	Node
	opens []date.Day // on which the next season may open
	h     history
}

type spot struct {
	year int
	open date.Day
}

// leg is what may be grown from a year on, behind seasons that end on one day.
type leg struct {
	number int     // of Rules.Places
	made   [][]int // by entry: the ways that stand at its end
	fits   []bool
}

// graph resolves every entry behind all that it can stand behind, year by year.
func (g *grower) graph(h history, out *Choices) bool {
	start := g.c.Start
	g.node(&growing{Node: Node{Crop: g.c.LastCrop.Name}, opens: []date.Day{start}, h: h})
	behind := map[spot][]int{{0, start}: {-1}}
	for year := range g.menu.Years {
		for i := 0; i < len(g.nodes); i++ {
			if g.nodes[i].Year == year {
				for e := range g.items {
					g.step(g.nodes[i], e, behind)
				}
			}
			if len(g.nodes) > mostNodes {
				g.m.Add(g.plan.Root.Get("menu").Place, "the menu and its rules leave more to tell apart than can be kept; count fewer crops, over fewer years, "+
					"or leave entries out")
				return false
			}
		}
	}
	for _, n := range g.nodes {
		out.Nodes = append(out.Nodes, n.Node)
	}
	return true
}

// step puts an entry behind a node, where rules and dates allow.
func (g *grower) step(n *growing, e int, behind map[spot][]int) {
	entry := &g.menu.Entries[e]
	if n.Year+entry.years > g.menu.Years {
		return
	}
	h, ok := g.menu.grow(n.h, e, n.Year)
	if !ok {
		return
	}
	var opens []date.Day
	for _, open := range n.opens {
		l := g.leg(spot{n.Year, open}, behind)
		if !l.fits[e] {
			return
		}
		for _, way := range l.made[e] {
			if next := g.c.Rules.Ways[way].End + 1; !slices.Contains(opens, next) {
				opens = append(opens, next)
			}
		}
	}
	slices.Sort(opens)
	crops := entry.crops[entry.years-1]
	to := g.node(&growing{Node: Node{Year: n.Year + entry.years, Crop: strings.Join(crops, " or ")}, opens: opens, h: h})
	n.Steps = append(n.Steps, Step{e, to})
}

// node is the place of a node among all.
func (g *grower) node(n *growing) int {
	last := -1
	if slices.ContainsFunc(g.menu.rules, func(r rule) bool { return r.kind == notAfter }) {
		last = n.h.last
	}
	key := fmt.Sprint(n.Year, n.Crop, n.opens, n.h.past, n.h.known, n.h.whole, last)
	if at, ok := g.at[key]; ok {
		return at
	}
	g.at[key] = len(g.nodes)
	g.nodes = append(g.nodes, n)
	return len(g.nodes) - 1
}

// leg resolves every entry in a place, once. Nodes of earlier years have been gone through,
// so that all that can stand before it is known.
func (g *grower) leg(at spot, behind map[spot][]int) *leg {
	if l := g.legs[at]; l != nil {
		return l
	}
	rules := g.c.Rules
	l := &leg{number: len(rules.Places), made: make([][]int, len(g.items)), fits: make([]bool, len(g.items))}
	g.legs[at] = l
	rules.Places = append(rules.Places, make([]*Decision, len(g.items)))
	p := &place{slot: at.year, open: at.open, behind: behind[at]}
	for _, w := range p.behind {
		if w >= 0 {
			rules.Ways[w].Fork = l.number + 1
		}
	}
	for e := range g.items {
		if at.year+g.menu.Entries[e].years > g.menu.Years {
			continue
		}
		d, made := g.entry(e, p)
		if len(made) == 0 {
			continue
		}
		rules.Places[l.number][e], l.made[e], l.fits[e] = &d, made, true
		for _, way := range made {
			next := spot{rules.Ways[way].Year + 1, rules.Ways[way].End + 1}
			behind[next] = append(behind[next], way)
			if done := g.legs[next]; done != nil {
				rules.Ways[way].Fork = done.number + 1
			}
		}
	}
	return l
}

// entry resolves an entry in a place. What is wrong with it there is a misfit.
func (g *grower) entry(e int, p *place) (Decision, []int) {
	m, notes, warnings := g.m, g.c.Notes, g.c.Warnings
	trial := &sheet.Mistakes{}
	g.m = trial
	said := make([]pairs, len(g.items[e].branches))
	var d Decision
	var made []int
	if g.choices(g.items[e : e+1]) {
		d, made = g.decide(g.items[e], p, said)
	}
	g.m = m
	g.c.Notes, g.c.Warnings = notes, warnings
	for i := range said {
		said[i].tell(trial, 1)
	}
	if trial.Len() > 0 {
		made = nil
	}
	if len(made) == 0 {
		var behind []string
		for _, w := range p.behind {
			if w >= 0 {
				if crop := g.c.Rules.Ways[w].Courses[0].Crop.Name; !slices.Contains(behind, crop) {
					behind = append(behind, crop)
				}
			}
		}
		g.misfit(Misfit{g.menu.Entries[e].Name, behind, strings.TrimSpace(trial.Error())})
	}
	return d, made
}

// misfit keeps a misfit, once for each entry and crop before it.
func (g *grower) misfit(x Misfit) {
	for _, y := range g.misfits {
		if y.Entry == x.Entry && slices.Equal(y.Behind, x.Behind) {
			return
		}
	}
	g.misfits = append(g.misfits, x)
}

// prune counts the rotations below every node and takes out steps that lead to none.
func (g *grower) prune(out *Choices) {
	order := make([]int, len(out.Nodes))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return out.Nodes[order[a]].Year > out.Nodes[order[b]].Year })
	for _, i := range order {
		n := &out.Nodes[i]
		n.Below = new(big.Int)
		if n.Year == g.menu.Years {
			n.Below.SetInt64(1)
			continue
		}
		var kept []Step
		for _, s := range n.Steps {
			if below := out.Nodes[s.To].Below; below.Sign() > 0 {
				n.Below.Add(n.Below, below)
				kept = append(kept, s)
			}
		}
		n.Steps = kept
	}
	out.Allowed = out.Nodes[0].Below
}

// never notes entries that fit behind nothing, and rules that leave no rotation.
func (g *grower) never(out *Choices) {
	used := make([]bool, len(g.items))
	for i := range out.Nodes {
		for _, s := range out.Nodes[i].Steps {
			used[s.Entry] = true
		}
	}
	for e := range g.items {
		entry := &g.menu.Entries[e]
		if used[e] {
			continue
		}
		out.Unused = append(out.Unused, entry.Name)
		fits := false
		for _, l := range g.legs {
			fits = fits || l.fits[e]
		}
		if fits {
			continue
		}
		if entry.years > g.menu.Years {
			g.m.Add(entry.value.Place, "%s stands for %d years, but a rotation has %d", entry.Name, entry.years, g.menu.Years)
			continue
		}
		for _, x := range g.misfits {
			if x.Entry == entry.Name {
				g.m.Add(entry.value.Place, "%s fits behind nothing: %s", entry.Name, x.Why)
				break
			}
		}
	}
	if out.Allowed.Sign() == 0 && g.m.Len() == 0 {
		at := g.plan.Root.Get("menu").Place
		if v := g.plan.Root.Get("rules"); v != nil {
			at = v.Place
		}
		g.m.Add(at, "no rotation of %d years keeps all the rules; take one out, or lengthen the menu%s", g.menu.Years, g.oneTooMany())
	}
}

// oneTooMany names the rules without any one of which there would be rotations.
func (g *grower) oneTooMany() string {
	var at []string
	for i := range g.menu.rules {
		u := *g.menu
		u.rules = slices.Delete(slices.Clone(u.rules), i, i+1)
		if u.leaves() {
			at = append(at, g.menu.rules[i].place.String())
		}
	}
	if at == nil {
		return ""
	}
	return " (without that at " + strings.Join(at, ", or that at ") + " there would be some)"
}

// leaves tells whether rules leave any rotation, whatever the dates.
func (u *Menu) leaves() bool {
	seen := map[string]bool{}
	var some func(h history, year int) bool
	some = func(h history, year int) bool {
		if year == u.Years {
			return true
		}
		key := fmt.Sprint(year, h)
		if seen[key] {
			return false
		}
		seen[key] = true
		for e := range u.Entries {
			if year+u.Entries[e].years <= u.Years {
				if next, ok := u.grow(h, e, year); ok && some(next, year+u.Entries[e].years) {
					return true
				}
			}
		}
		return false
	}
	return some(u.begin(nil), 0)
}

// firstRotation makes the seasons of one rotation those of the calendar.
func (g *grower) firstRotation(out *Choices) {
	node, place := 0, 0
	for len(out.Nodes[node].Steps) > 0 {
		s := out.Nodes[node].Steps[0]
		d := g.c.Rules.Places[place][s.Entry]
		for d != nil && len(d.Next) > 0 {
			way := &g.c.Rules.Ways[d.Next[len(d.Next)-1]]
			g.c.Seasons, g.c.written = append(g.c.Seasons, way.Season), append(g.c.written, way.written)
			place, d = way.Fork-1, &way.Then
		}
		node = s.To
	}
	g.c.Rules.First = Decision{Fork: 1}
}
