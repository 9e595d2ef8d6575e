package rotations

import (
	"cmp"
	"math"
	"slices"
)

// implies tells whether a condition can only hold where another does, as far as that shows
// in what is written: bands within bands, and tests that are the same.
func (c *Condition) implies(other *Condition) bool {
	for i := range other.Tests {
		if !c.impliesTest(&other.Tests[i]) {
			return false
		}
	}
	return true
}

func (c *Condition) impliesTest(t *Test) bool {
	if t.What == AnyOf && slices.ContainsFunc(t.Any, c.implies) {
		return true
	}
	return slices.ContainsFunc(c.Tests, func(u Test) bool { return u.within(t) })
}

// within tells whether a test can only hold where another does.
func (t *Test) within(o *Test) bool {
	if t.What != o.What || t.Seen != o.Seen || t.Before != o.Before || t.ThisSeason != o.ThisSeason {
		return false
	}
	switch t.What {
	case HeadsSeen, PlantsSeen, SeedSeen:
		return t.Above >= o.Above && t.Below <= o.Below
	case DrilledBy:
		return t.By <= o.By
	case GroundDry:
		return t.Holds == o.Holds
	case CropBefore:
		return !slices.ContainsFunc(t.Crops, func(name string) bool { return !slices.Contains(o.Crops, name) })
	case AnyOf:
		return !slices.ContainsFunc(t.Any, func(c *Condition) bool { return !c.impliesTest(o) })
	}
	return false
}

// shadowed tells whether some conditions leave nothing for one that comes after them: one
// of them holds wherever it does, or their bands of one quantity together cover its own. A
// nil condition always holds.
func shadowed(c *Condition, earlier []*Condition) bool {
	if c == nil {
		c = &Condition{}
	}
	for _, e := range earlier {
		if c.implies(e) {
			return true
		}
	}
	for _, e := range earlier {
		if len(e.Tests) == 1 && e.Tests[0].What <= SeedSeen && covered(c, &e.Tests[0], earlier) {
			return true
		}
	}
	return false
}

// covered tells whether bands of the quantity of a test cover what a condition leaves of it.
func covered(c *Condition, like *Test, earlier []*Condition) bool {
	own := Test{What: like.What, Seen: like.Seen, Before: like.Before, ThisSeason: like.ThisSeason, Above: math.Inf(-1), Below: math.Inf(1)}
	for i := range c.Tests {
		if t := c.Tests[i]; t.within(&own) {
			own = t
		}
	}
	var bands []Test
	for _, e := range earlier {
		if len(e.Tests) == 1 {
			t := e.Tests[0]
			all := own
			all.Above, all.Below = math.Inf(-1), math.Inf(1)
			if t.within(&all) {
				bands = append(bands, t)
			}
		}
	}
	slices.SortFunc(bands, func(a, b Test) int { return cmp.Compare(a.Above, b.Above) })
	reached := own.Above
	if math.IsInf(reached, -1) {
		reached = -1 // nothing is seen below 0
	}
	for i, b := range bands {
		if i > 0 && b.Above >= reached || b.Above > reached { // the bound itself is in neither
			return false
		}
		if reached = max(reached, b.Below); reached >= own.Below {
			return true
		}
	}
	return false
}
