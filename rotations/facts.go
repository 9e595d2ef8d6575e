package rotations

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"rundown/params/sheet"
)

// grown is the branch that the plan says was grown; not ok where it says nothing of the year.
func (r *resolver) grown(x item, chains [][]Way) (branch int, ok bool) {
	facts := x.choice.Map("grown")
	at := slices.IndexFunc(chains, func(c []Way) bool { return c != nil })
	if at < 0 {
		return 0, false
	}
	year := chains[at][0].HarvestYear
	if r.grownYears[x.choice] == nil {
		r.grownYears[x.choice] = map[int]bool{}
	}
	r.grownYears[x.choice][year] = true
	v := facts.Get(strconv.Itoa(year))
	if v == nil || slices.ContainsFunc(chains, func(c []Way) bool { return c == nil }) {
		return 0, false
	}
	if v.Key.Kind == sheet.Whole {
		if n := int(v.Number); n <= len(chains) {
			return n - 1, true
		}
		r.m.Add(v.Place, "the choice has %d branches, so that number %s was not grown", len(chains), v.Text)
		return 0, false
	}
	crop := r.find("crops", v.Text)
	if crop == nil {
		return 0, false // noted with the names
	}
	found := -1
	for i := range chains {
		if chains[i][0].Courses[0].Crop.Name == crop.Name {
			if found >= 0 {
				r.m.Add(v.Place, "%s is the crop of branches %d and %d; write the number of the branch", crop.Name, found+1, i+1)
				return 0, false
			}
			found = i
		}
	}
	if found < 0 {
		r.m.Add(v.Place, "no branch of the choice grows %s; write one that does, or the number of a branch", crop.Name)
	}
	return max(found, 0), found >= 0
}

// factYears notes facts of years in which nothing is chosen.
func (r *resolver) factYears(list []item) {
	for _, x := range list {
		if x.choice == nil {
			continue
		}
		for _, name := range names(x.choice.Map("grown")) {
			if year, err := strconv.Atoi(name); err != nil || !r.grownYears[x.choice][year] {
				r.m.Add(x.choice.Get("grown").Place, "grown: %s is no harvest year in which this is chosen; those are %s", name, yearsWords(r.grownYears[x.choice]))
			}
		}
	}
}

func yearsWords(of map[int]bool) string {
	var out []string
	for y := range of {
		out = append(out, strconv.Itoa(y))
	}
	slices.Sort(out)
	return strings.Join(out, ", ")
}

// pairs are the mistakes of one branch in each of its places.
type pairs struct {
	found []sheet.Mistake
	times map[sheet.Mistake]int
	at    map[sheet.Mistake]string // what it stood behind
}

func (p *pairs) add(m *sheet.Mistakes, behind string) {
	for _, x := range m.Sorted() {
		if p.times == nil {
			p.times, p.at = map[sheet.Mistake]int{}, map[sheet.Mistake]string{}
		}
		if p.times[x]++; p.times[x] == 1 {
			p.found = append(p.found, x)
			p.at[x] = behind
		}
	}
}

// tell notes the mistakes, with what it stands behind where it is a mistake there alone.
func (p *pairs) tell(m *sheet.Mistakes, places int) {
	for _, x := range p.found {
		if p.times[x] == places {
			m.Add(x.Place, "%s", x.Text)
		} else {
			m.Add(x.Place, "%s (where it stands behind %s)", x.Text, p.at[x])
		}
	}
}

// choices checks what is wrong with choices whatever the days are.
func (r *resolver) choices(list []item) (ok bool) {
	ok = true
	wrong := func(at sheet.Place, format string, args ...any) {
		r.m.Add(at, format, args...)
		ok = false
	}
	for _, x := range list {
		if x.choice == nil {
			continue
		}
		if n := len(x.branches); n < 2 || n > mostBranches {
			if n > mostBranches {
				wrong(x.place, "a choice has %d branches; at most %d can be told apart in the answer: put some together", n, mostBranches)
			}
			ok = false
			continue
		}
		last := len(x.branches) - 1
		for i, b := range x.branches {
			said := b.cond != nil
			switch {
			case i == last && said:
				wrong(b.cond.Place, "the last branch of a choice has an if, so that nothing is grown where none holds; take it out, or add a branch without one")
			case i < last && !said && !r.plan.bad:
				wrong(b.place, "this branch has no if, so that those after it are never grown; give it one, or put it last")
			}
			if n, first := len(b.list), len(x.branches[0].list); n != first {
				wrong(b.place, "this branch is of %s, the first of %s; all branches of a choice fill the same years: write seasons: [..] in the shorter one",
					harvests(n), harvests(first))
			}
		}
	}
	return ok
}

func harvests(n int) string {
	if n == 1 {
		return "1 harvest"
	}
	return fmt.Sprintf("%d harvests", n)
}
