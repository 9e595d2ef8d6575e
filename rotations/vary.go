package rotations

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"rundown/params/sheet"
)

// variant is a plan read with some of its conditions held to hold or not, and some of their
// bounds moved.
type variant struct {
	force  map[sheet.Place]bool    // by the place of an if
	bounds map[sheet.Place]float64 // by the place of a number
}

func (v *variant) given() bool { return len(v.force)+len(v.bounds) > 0 }

func (v *variant) bound(x *sheet.Value) float64 {
	if b, ok := v.bounds[x.Place]; ok {
		return b
	}
	return x.Number
}

// Ruling is a condition of a plan with a threshold: what is counted, and from how much on.
type Ruling struct {
	Of        string // what hangs on it: the name of a crop, or of what work is done with
	Choice    bool   // it is of a branch, else of work
	What      string // the key of what is counted, such as heads_per_m2
	Above     bool   // it holds above the threshold, else below
	Threshold float64
	Place     string

	cond, number *sheet.Value
}

// Rulings are the conditions of a plan that have a threshold, in the order in which they
// stand in it. Of a band it is the lower bound.
func (c *Calendar) Rulings() []Ruling {
	var out []Ruling
	add := func(cond *sheet.Value, of string, choice bool) {
		if r, ok := rulingOf(cond); ok {
			r.Of, r.Choice = of, choice
			out = append(out, r)
		}
	}
	c.eachIf(func(cond *sheet.Value, of string, choice bool) { add(cond, of, choice) })
	slices.SortStableFunc(out, func(a, b Ruling) int {
		return cmp.Or(cmp.Compare(a.cond.Place.Line, b.cond.Place.Line), cmp.Compare(a.cond.Place.Column, b.cond.Place.Column))
	})
	return out
}

func rulingOf(cond *sheet.Value) (Ruling, bool) {
	for _, name := range []string{"heads_per_m2", "plants_per_m2", "seed_per_m2"} {
		band := cond.Map.Map(name)
		for _, side := range []string{"above", "below"} {
			if v := band.Get(side); v != nil {
				return Ruling{What: name, Above: side == "above", Threshold: v.Number, Place: cond.Place.String(), cond: cond, number: v}, true
			}
		}
	}
	for _, x := range cond.Map.List("any") {
		if r, ok := rulingOf(x); ok {
			r.cond, r.Place = cond, cond.Place.String()
			return r, true
		}
	}
	return Ruling{}, false
}

// eachIf visits every condition of the plan as written, once, with what hangs on it.
func (c *Calendar) eachIf(visit func(cond *sheet.Value, of string, choice bool)) {
	seen := map[*sheet.Mapping]bool{}
	for _, x := range c.items() {
		if x.choice != nil && seen[x.choice] || x.choice == nil && seen[x.branches[0].whole] {
			continue
		}
		seen[x.choice], seen[x.branches[0].whole] = true, true
		for _, b := range x.branches {
			if b.cond != nil {
				visit(b.cond, b.list[0].season.Text("crop"), true)
			}
			b.works(visit)
		}
	}
}

// items are the entries of the plan's list, without what is grown afterwards.
func (c *Calendar) items() []item {
	if c.Rules == nil {
		return nil
	}
	return c.Rules.items
}

// works visits the conditions of a branch's work.
func (b *branch) works(visit func(cond *sheet.Value, of string, choice bool)) {
	walk(b.whole, func(v *sheet.Value) {
		if v.Map == nil || v.Map == b.whole {
			return
		}
		if cond := v.Map.Get("if"); cond != nil && v.Key.Name != "choose" {
			of := v.Map.Text("programme")
			for _, key := range []string{"with", "mix"} {
				if of == "" {
					of = v.Map.Text(key)
				}
			}
			if of == "" {
				of = sprayOff
			}
			visit(cond, of, false)
		}
	})
}

// vary is the plan read otherwise.
func (c *Calendar) vary(as variant) (*Calendar, error) {
	var m sheet.Mistakes
	out := c.plan.resolve(c.by.lib, as, &m)
	if out == nil {
		return nil, &m
	}
	return out, nil
}

// WithThreshold is the calendar with a rule's threshold moved.
func (c *Calendar) WithThreshold(r Ruling, x float64) (*Calendar, error) {
	return c.vary(variant{bounds: map[sheet.Place]float64{r.number.Place: x}})
}

// WithRule is the calendar with a rule that always holds, or never does.
func (c *Calendar) WithRule(r Ruling, holds bool) (*Calendar, error) {
	return c.vary(variant{force: map[sheet.Place]bool{r.cond.Place: holds}})
}

// WithQuadrats is the calendar with so many quadrats counted; 0: all of the field is seen as it is.
func (c *Calendar) WithQuadrats(n int) *Calendar {
	if c.Rules == nil {
		return c
	}
	out, rules := *c, *c.Rules
	rules.Counting.Quadrats = n
	out.Rules = &rules
	return &out
}

// FixedPlan is a plan with every choice and every rule of work held the same.
type FixedPlan struct {
	*Calendar
	Words string // what it holds: always spring barley, spring contact never
	force map[sheet.Place]bool
}

// MostFixed is how many fixed plans are tried.
const MostFixed = 64

// FixedPlans are a plan's branches each held always, with each of the conditional work in them
// always or never done, in all combinations.
func (c *Calendar) FixedPlans() ([]FixedPlan, error) {
	all := []FixedPlan{{force: map[sheet.Place]bool{}}}
	seen := map[*sheet.Mapping]bool{}
	for _, x := range c.items() {
		key := x.choice
		if key == nil {
			key = x.branches[0].whole
		}
		if seen[key] {
			continue
		}
		seen[key] = true
		var next []FixedPlan
		for _, f := range all {
			for i := range x.branches {
				next = append(next, x.hold(f, i)...)
			}
		}
		if all = next; len(all) > MostFixed {
			return nil, fmt.Errorf("the plan has more than %d combinations of branches held always and work always or never done; "+
				"write some of its conditions out (take the if away, or the work) and ask again", MostFixed)
		}
	}
	for i := range all {
		var err error
		if all[i].Calendar, err = c.vary(variant{force: all[i].force}); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// hold is a fixed plan with one branch of an entry held, in every combination of its work.
func (x *item) hold(f FixedPlan, number int) []FixedPlan {
	with := func(f FixedPlan, at sheet.Place, holds bool, words string) FixedPlan {
		out := FixedPlan{force: map[sheet.Place]bool{at: holds}, Words: f.Words}
		for k, v := range f.force {
			out.force[k] = v
		}
		if words != "" {
			if out.Words != "" {
				out.Words += ", "
			}
			out.Words += words
		}
		return out
	}
	for i, b := range x.branches {
		if b.cond != nil {
			f = with(f, b.cond.Place, i == number, "")
		}
	}
	if x.choice != nil {
		var crops []string
		for _, w := range x.branches[number].list {
			if w.year == 1 {
				crops = append(crops, strings.ReplaceAll(w.season.Text("crop"), "-", " "))
			}
		}
		f = with(f, sheet.Place{}, true, "always "+strings.Join(crops, " and "))
	}
	out := []FixedPlan{f}
	x.branches[number].works(func(cond *sheet.Value, of string, _ bool) {
		var next []FixedPlan
		for _, f := range out {
			for _, holds := range []bool{true, false} {
				word := map[bool]string{true: " always", false: " never"}[holds]
				next = append(next, with(f, cond.Place, holds, strings.ReplaceAll(of, "-", " ")+word))
			}
		}
		out = next
	})
	return out
}
