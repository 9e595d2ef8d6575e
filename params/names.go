package params

import (
	"slices"

	"rundown/params/sheet"
)

// MostResiduals is how many residual actives one programme may hold.
const MostResiduals = 6

// checkHerbicide notes names of a herbicide that lead nowhere, and programmes that
// cannot be sprayed.
func (l *Library) checkHerbicide(d draft, m *sheet.Mistakes) {
	e, residuals := d.entry, 0
	for _, a := range e.Lists["actives"] {
		x := l.Find("herbicides", a)
		switch {
		case x == nil:
			m.Add(d.at("actives "+a), "no herbicide is called %q; %s", a, l.DidYouMean(a, "herbicides"))
		case x.Text["role"] != "residual" && x.Text["role"] != "contact":
			m.Add(d.at("actives "+a), "%q is of role %q; a programme is made of residual and contact entries", a, x.Text["role"])
		case x.Text["role"] == "residual":
			if residuals++; residuals == MostResiduals+1 {
				m.Add(d.at("actives "+a), "herbicides/%s has more than %d residual actives; no tank holds so many: make two programmes of it", e.Name, MostResiduals)
			}
		}
	}
	for _, c := range e.Lists["crops"] {
		if l.Find("crops", c) == nil {
			m.Add(d.at("crops "+c), "no crop is called %q; %s", c, l.DidYouMean(c, "crops"))
		}
	}
}

// checkWeed notes a weed that is said to answer to herbicides as one that is not there,
// or as one that itself answers as another.
func (l *Library) checkWeed(d draft, m *sheet.Mistakes) {
	as := d.entry.Text["herbicides_as"]
	if as == "" {
		return
	}
	switch x := l.Find("weeds", as); {
	case x == nil:
		m.Add(d.at("herbicides_as"), "no weed is called %q; %s", as, l.DidYouMean(as, "weeds"))
	case x.Text["herbicides_as"] != "":
		m.Add(d.at("herbicides_as"), "%s itself answers to herbicides as %s; name that one", as, x.Text["herbicides_as"])
	}
}

// CropsOf are the crops in which a herbicide is used; not known for one whose entry, and
// those of its actives, name none. A programme's own list counts before those of its actives.
func (l *Library) CropsOf(e *Entry) (crops []string, known bool) {
	if own := e.Lists["crops"]; len(own) > 0 {
		return own, true
	}
	for _, a := range e.Lists["actives"] {
		x := l.Find("herbicides", a)
		if x == nil || len(x.Lists["crops"]) == 0 {
			continue
		}
		if !known {
			crops, known = x.Lists["crops"], true
			continue
		}
		var both []string
		for _, c := range crops {
			if slices.Contains(x.Lists["crops"], c) {
				both = append(both, c)
			}
		}
		crops = both
	}
	return crops, known
}
