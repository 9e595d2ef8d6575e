package rotations

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"rundown/params/sheet"
)

// UsualDiscount is by how much less a sum counts for each year that it comes later, unless
// a plan says otherwise (4 % a year: common practice, no source).
const UsualDiscount = 0.04

// usualAfterwards is what is grown behind every plan that does not say what: winter wheat as
// usual practice, which fills up any field that was left with seed.
const usualAfterwards = "afterwards: [{crop: winter-wheat}]"

// usualSeasons is for how many seasons that is grown.
const usualSeasons = 4

// mostDiscount is far above any rate of interest that a farm pays.
const mostDiscount = 0.3

func afterwardsKey() sheet.Key {
	season := sheet.Key{Kind: sheet.Nested, Table: seasonTable(true)}
	return sheet.Key{Name: "afterwards", Kind: sheet.List, Least: 1, Of: &season,
		Doc: "seasons grown after the plan to see what the seed that it leaves costs; four winter wheats if left out"}
}

func discountKey() sheet.Key {
	return sheet.Key{Name: "discount", Kind: sheet.Number, Unit: "fraction", High: mostDiscount,
		Doc: "by how much less money counts for each year that it comes later; 0.04"}
}

// Behind says what is grown behind a plan.
type Behind struct {
	Seasons int  // 0: as many as are written, or four of the usual; else the list is cut, or begun again, to fill so many
	Own     bool // the plan's own seasons once more, not its afterwards
}

// Continued is the calendar with more seasons behind its own, of which After counts those.
// Nothing of its own seasons changes.
func (c *Calendar) Continued(b Behind) (*Calendar, error) {
	var m sheet.Mistakes
	out := c.goOn(c.behind(b, &m), &m)
	if m.Len() > 0 {
		return nil, fmt.Errorf("what is grown afterwards does not fit behind the plan:\n%w", &m)
	}
	return out, nil
}

// goOn resolves more seasons behind those of a calendar.
func (c *Calendar) goOn(list []written, m *sheet.Mistakes) *Calendar {
	out := *c
	out.Seasons, out.written, out.money = slices.Clip(c.Seasons), slices.Clip(c.written), slices.Clip(c.money)
	out.Notes, out.Warnings, out.entries = slices.Clip(c.Notes), slices.Clip(c.Warnings), nil
	r := *c.by
	r.c, r.m = &out, m
	r.priced, r.usual, r.used = maps.Clone(r.priced), maps.Clone(r.usual), maps.Clone(r.used)
	if c.Rules != nil {
		r.moreWays(list)
	} else {
		r.seasons(list)
	}
	r.beforeTheEnd(m)
	if m.Len() > 0 {
		return nil
	}
	out.After += len(out.Seasons) - len(c.Seasons)
	r.space()
	out.by = &r
	return &out
}

// behind lists what is grown behind a plan.
func (c *Calendar) behind(b Behind, m *sheet.Mistakes) []written {
	seasons, own := c.plan.Root.List("afterwards"), c.written[:len(c.Seasons)-c.After]
	n := b.Seasons
	switch {
	case b.Own && n == 0:
		n = len(own)
	case b.Own:
	case seasons == nil:
		t := &sheet.Table{Name: "what is grown afterwards", Keys: []sheet.Key{afterwardsKey()}}
		seasons = sheet.Read(sheet.Parse("usual afterwards", []byte(usualAfterwards), m), t, m).List("afterwards")
		if n == 0 {
			n = usualSeasons
		}
	}
	all := own
	if !b.Own {
		all = list(seasons, 1)
	}
	if n == 0 {
		n = len(all)
	}
	var out []written
	for i := range n {
		out = append(out, all[i%len(all)])
	}
	if n > len(all) || b.Own {
		noYears(all, m)
	}
	return out
}

// noYears notes dates with a year in seasons that are grown again.
func noYears(list []written, m *sheet.Mistakes) {
	seen := map[*sheet.Mapping]bool{}
	for _, w := range list {
		if seen[w.season] {
			continue
		}
		seen[w.season] = true
		walk(w.season, func(v *sheet.Value) {
			if v.Date.Full {
				m.Add(v.Place, "the date %s has a year, but the season is grown again; write it without: %s", v.Date, annual(v.Date.Day))
			}
		})
	}
}

// SameAfterwards reports where two plans are not followed by the same, or count years
// differently, which plans must not that are charged for the seed they leave.
func (c *Calendar) SameAfterwards(other *Calendar) []string {
	var out []string
	for _, key := range []string{"afterwards", "discount"} {
		mine, theirs := c.plan.Root.Get(key), other.plan.Root.Get(key)
		if asText(mine) == asText(theirs) || key == "discount" && c.Discount == other.Discount {
			continue
		}
		at := sheet.Place{File: other.plan.File}
		if theirs != nil {
			at = theirs.Place
		}
		out = append(out, fmt.Sprintf("%s: %s is not that of %s; plans that are charged for the seed they leave must be followed by the same", at, key, c.plan.File))
	}
	return out
}

// asText is a value as it was written, on one line; "" for none.
func asText(v *sheet.Value) string {
	if v == nil {
		return ""
	}
	return nodeText(v.Node)
}

func nodeText(n *sheet.Node) string {
	var parts []string
	switch n.Shape {
	case sheet.Map:
		for i, k := range n.Keys {
			parts = append(parts, key(k.Text)+": "+nodeText(n.Values[i]))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	case sheet.Sequence:
		for _, x := range n.Items {
			parts = append(parts, nodeText(x))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	if n.Quoted || strings.ContainsAny(n.Text, ",[]{}#:'\"") {
		return strconv.Quote(n.Text)
	}
	return n.Text
}
