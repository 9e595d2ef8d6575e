package rotations

import (
	"maps"
	"strings"

	"rundown/params"
	"rundown/params/sheet"
)

// price is one value of the library that a plan replaces.
type price struct {
	entry *params.Entry
	key   string // price, variable_cost, harvest_cost or cost
	value *params.Value
}

// tariff is the prices of one economics mapping, in the order of the plan.
type tariff []price

// tariff reads an economics mapping; of nil it is empty.
func (r *resolver) tariff(p *sheet.Mapping) tariff {
	var t tariff
	for _, table := range []struct{ name, key, library string }{
		{"prices", "price", "crops"}, {"variable_costs", "variable_cost", "crops"},
		{"harvest_costs", "harvest_cost", "crops"}, {"costs", "cost", "operations"},
	} {
		given := p.Map(table.name)
		if given == nil {
			continue
		}
		for _, name := range given.Names {
			v, e := given.Get(name), r.find(table.library, name)
			if v == nil || e == nil {
				continue
			}
			old := e.Value(table.key)
			if old == nil {
				r.m.Add(v.Place, "%q has no %s of its own that could be replaced; give it for what it is used in", name, strings.ReplaceAll(table.key, "_", " "))
				continue
			}
			fresh := value(v, old.Short, old.Label)
			fresh.Low, fresh.Grade = old.Low, old.Grade
			t = append(t, price{e, table.key, fresh})
		}
	}
	return t
}

// at is an entry with the prices of the plan, and over them those of a season.
// Entries with the same prices are one and the same.
func (r *resolver) at(e *params.Entry, season tariff) *params.Entry {
	if e == nil {
		return nil
	}
	own := map[string]*params.Value{}
	var key strings.Builder
	key.WriteString(e.Kind + "/" + e.Name)
	for _, t := range []tariff{r.c.money[0], season} {
		for _, p := range t {
			if p.entry.Kind == e.Kind && p.entry.Name == e.Name {
				own[p.key] = p.value
				key.WriteString(" " + p.value.Path + "@" + p.value.From)
			}
		}
	}
	r.used[e] = r.used[e] || len(own) == 0
	if len(own) == 0 {
		return e
	}
	if done := r.priced[key.String()]; done != nil {
		return done
	}
	fresh := *e
	fresh.Values = maps.Clone(e.Values)
	maps.Copy(fresh.Values, own)
	r.priced[key.String()] = &fresh
	r.used[&fresh] = true
	return &fresh
}
