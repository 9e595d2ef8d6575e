package rotations

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"rundown/params"
)

// space collects everything that the calendar can use, and of it every
// uncertain value: those of its entries, of the actives of its herbicides, and
// the plan's own.
func (r *resolver) space() {
	c := r.c
	for _, e := range []*params.Entry{c.Soil, c.Climate, c.History, c.LastCrop, c.Weed} {
		if e != nil {
			r.used[e] = true
		}
	}
	for _, e := range slices.Collect(maps.Keys(r.used)) {
		for _, name := range e.Lists["actives"] {
			r.used[r.lib.Find("herbicides", name)] = true
		}
		if name := e.Text["bypass_as"]; name != "" {
			r.used[r.lib.Find("implements", name)] = true
		}
	}
	delete(r.used, nil)
	if c.Genes != nil {
		r.spray()
		r.used[c.Genes] = true
	}
	for e, used := range r.used {
		if used {
			c.entries = append(c.entries, e)
		}
	}
	slices.SortFunc(c.entries, func(a, b *params.Entry) int {
		if order := cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Name, b.Name)); order != 0 {
			return order
		}
		return cmp.Compare(prices(a), prices(b)) // of few, and costly
	})
	values := append(c.Seedbank[:], c.Heads, c.Trend, c.FreshPerM2)
	values = append(values, c.saidOfResistance()...)
	for _, v := range values {
		if v != nil {
			v.OfField = true
		}
	}
	for _, e := range c.entries {
		for _, k := range e.Keys {
			if !e.AboutOther(k, c.Weed) && (e != c.Genes || !c.ofOtherGroup(k)) {
				values = append(values, e.Values[k])
			}
		}
	}
	c.Space = params.NewSpace(values)
}

// prices tells entries apart that differ in their prices alone.
func prices(e *params.Entry) string {
	var s strings.Builder
	for _, k := range e.Keys {
		s.WriteString(e.Values[k].Path)
	}
	return s.String()
}
