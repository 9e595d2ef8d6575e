package rotations

import (
	"bufio"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"rundown/params/date"
	"rundown/params/sheet"
)

// writeRuled writes the seasons of a plan with rules: every season and branch with its days,
// where these are the same in all its places; else as the plan has it, with the days in each
// place as comments.
func (c *Calendar) writeRuled(s *scribe) {
	year := 0
	for _, x := range c.Rules.items {
		if year >= len(c.Seasons)-c.After {
			return
		}
		n := len(x.branches[0].list)
		ways := c.waysOf(year, year+n)
		for _, w := range ways {
			s.line(1, "# "+w.inWords(), "")
		}
		if x.choice == nil {
			s.branch(1, x.branches[0], branchWays(ways, 0), nil)
		} else {
			s.choice(x, ways)
		}
		year += n
	}
}

// waysOf are the ways of some years.
func (c *Calendar) waysOf(from, to int) []*Way {
	var out []*Way
	for i := range c.Rules.Ways {
		if w := &c.Rules.Ways[i]; w.Year >= from && w.Year < to {
			out = append(out, w)
		}
	}
	return out
}

func branchWays(ways []*Way, number int) []*Way {
	var out []*Way
	for _, w := range ways {
		if w.Branch == number {
			out = append(out, w)
		}
	}
	return out
}

// inWords is a way in a line: what is grown when, behind what, and the days of its work.
func (w *Way) inWords() string {
	k := &w.Courses[0]
	text := fmt.Sprintf("harvest %d, %s behind %s: from %s to %s", w.HarvestYear, k.Crop.Name, w.behind, w.Open.Short(), w.End.Short())
	if d := k.Drill; d != nil {
		text += fmt.Sprintf(", drilled %s, latest %s", d.On.Short(), d.Latest.Short())
	}
	for i := range k.Operations {
		o := &k.Operations[i]
		text += fmt.Sprintf(", %s %s", o.With.Name, o.due(k.Drill).Short())
	}
	return text
}

// choice writes a choice.
func (s *scribe) choice(x item, ways []*Way) {
	s.line(1, "- choose:", x.place.String())
	for i, b := range x.branches {
		s.branch(4, b, branchWays(ways, i), b.cond)
	}
	if v := x.choice.Get("decide"); v != nil {
		s.line(2, "decide: "+flow(v), v.Place.String())
	}
	for _, name := range names(x.choice.Map("grown")) {
		if slices.ContainsFunc(ways, func(w *Way) bool { return strconv.Itoa(w.HarvestYear) == name }) {
			v := x.choice.Map("grown").Get(name)
			s.line(2, fmt.Sprintf("grown: {%s: %s}", key(name), flow(v)), v.Place.String())
		}
	}
}

// branch writes what may be grown, as an entry of a list.
func (s *scribe) branch(at int, b branch, ways []*Way, cond *sheet.Value) {
	texts := make([]string, 0, len(ways))
	n := len(b.list)
	for i := 0; i+n <= len(ways); i += n {
		var buffer strings.Builder
		t := &scribe{bufio.NewWriter(&buffer), s.full}
		t.chain(at, ways[i:i+n], cond)
		t.out.Flush()
		texts = append(texts, buffer.String())
	}
	if len(slices.Compact(texts)) == 1 {
		fmt.Fprint(s.out, texts[0])
		return
	}
	s.entry(at, b.whole)
}

// chain writes the seasons of a branch in one of its places.
func (s *scribe) chain(at int, ways []*Way, cond *sheet.Value) {
	var c *Condition
	if cond != nil {
		c = &Condition{as: cond}
	}
	if len(ways) == 1 || ways[1].StandsOn && ways[len(ways)-1].written.year == len(ways) {
		s.season(at, &ways[0].Season, &ways[0].written, c)
		return
	}
	lead := "- "
	if c != nil {
		s.line(at, lead+c.ifWritten(), cond.Place.String())
		lead = "  "
	}
	s.line(at, lead+"seasons:", "")
	for _, w := range ways {
		if !w.StandsOn {
			s.season(at+2, &w.Season, &w.written, nil)
		}
	}
}

// entry writes a mapping as an entry of a list.
func (s *scribe) entry(indent int, p *sheet.Mapping) {
	lead := "- "
	for _, name := range p.Names {
		v := p.Get(name)
		if name == "seasons" {
			s.line(indent, lead+"seasons:", v.Place.String())
			for _, x := range v.List {
				s.entry(indent+2, x.Map)
			}
		} else {
			s.line(indent, lead+key(name)+": "+flow(v), v.Place.String())
		}
		lead = "  "
	}
}

// ifWritten is a condition as the plan has it, for the end of a mapping on one line.
func (c *Condition) ifWritten() string {
	if c == nil {
		return ""
	}
	return "if: " + flow(c.as)
}

// after is a condition behind other keys.
func (c *Condition) after() string {
	if c == nil {
		return ""
	}
	return ", " + c.ifWritten()
}

// flowList writes a list on one line.
func flowList(list []*sheet.Value) string {
	var parts []string
	for _, v := range list {
		parts = append(parts, flow(v))
	}
	return "[" + strings.Join(parts, ", ") + "]"
}

// settled tells whether nothing is left to decide.
func (r *Rules) settled() bool {
	open := func(c *Condition) bool { return c != nil }
	if len(r.First.Next) > 1 {
		return false
	}
	for i := range r.Ways {
		w := &r.Ways[i]
		if len(w.Then.Next) > 1 || w.Cover != nil && open(w.Cover.If) {
			return false
		}
		for k := range w.Courses {
			if open(w.Courses[k].HarvestIf) || slices.ContainsFunc(w.Courses[k].Operations, func(o Operation) bool { return open(o.If) }) {
				return false
			}
		}
	}
	return true
}

// Undecided are the decisions up to a day of which the plan does not say how they came out,
// a sentence with its place each: what is past is a fact, and no chance.
func (c *Calendar) Undecided(until date.Day) []string {
	if c.Rules == nil {
		return nil
	}
	var out []string
	say := func(at, format string, args ...any) {
		if text := at + ": " + fmt.Sprintf(format, args...); !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	const way = "the past is a fact: write %s"
	undecided := func(d *Decision, from date.Day, year int, ways []Way) {
		if len(d.Next) > 1 && max(d.On, from) <= until {
			w := &ways[d.Next[0]]
			say(w.Place, "what was grown for harvest %d had been decided by %s; "+way, w.HarvestYear, until.Short(),
				fmt.Sprintf("grown: {%d: …} beside choose", w.HarvestYear))
		}
	}
	ways := c.Rules.Ways
	undecided(&c.Rules.First, c.Start, 0, ways)
	for i := range ways {
		w := &ways[i]
		undecided(&w.Then, w.End+1, w.Year+1, ways)
		w.undone(until, say, way)
	}
	return out
}

// undone says of which work of a way it is not known whether it was done.
func (w *Way) undone(until date.Day, say func(at, format string, args ...any), way string) {
	note := func(at, what string, due date.Day) {
		if due <= until {
			say(at, "whether %s of harvest %d was done had been decided by %s; "+way, what, w.HarvestYear, until.Short(),
				fmt.Sprintf("done: {%d: no}, or done: {%d: %s}, beside its if", w.HarvestYear, w.HarvestYear, annual(due)))
		}
	}
	if k := w.Cover; k != nil && k.If != nil {
		note(k.If.as.Place.String(), "the cover", k.Sow)
	}
	for i := range w.Courses {
		k := &w.Courses[i]
		for j := range k.Operations {
			if o := &k.Operations[j]; o.If != nil {
				note(o.If.as.Place.String(), strings.ReplaceAll(o.With.Name, "-", " "), o.due(k.Drill))
			}
		}
		if k.HarvestIf != nil {
			note(k.HarvestIf.as.Place.String(), "the control of weed seed at harvest", w.End)
		}
	}
}
