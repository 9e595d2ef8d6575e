package planner

import (
	"net/http"
	"strings"

	"rundown/params"
	"rundown/params/sheet"
	"rundown/rotations"
)

// entryView is what the page needs to know of an entry of the library.
type entryView struct {
	Name   string   `json:"name"`
	About  string   `json:"about"`
	Role   string   `json:"role"`
	Season string   `json:"season"`
	Crops  []string `json:"crops"` // in which a herbicide is used; none: not known
	Groups []string `json:"groups"`
}

// names gives the names that controls offer.
func (s *Server) names(w http.ResponseWriter, _ *http.Request) {
	lib := s.library
	out := map[string]any{}
	for _, kind := range params.Kinds {
		list := []entryView{}
		for _, name := range lib.Names(kind) {
			e := lib.Find(kind, name)
			x := entryView{Name: name, About: firstSentence(e.About), Role: e.Text["role"], Season: e.Text["season"], Crops: []string{}, Groups: []string{}}
			if kind == "herbicides" {
				if crops, known := lib.CropsOf(e); known {
					x.Crops = crops
				}
				x.Groups = append(x.Groups, e.Text["hrac"])
			}
			list = append(list, x)
		}
		out[kind] = list
	}
	out["rotations"] = rotationsView()
	answer(w, http.StatusOK, out)
}

func rotationsView() []entryView {
	out := []entryView{}
	for _, name := range rotations.ReadyMade() {
		out = append(out, entryView{Name: name, About: rotations.About(name)})
	}
	return out
}

func firstSentence(text string) string {
	if i := strings.Index(text, ". "); i > 0 {
		return text[:i+1]
	}
	return text
}

// whatIf is a value of the library taken otherwise, as if a library of the user's own said so.
type whatIf struct {
	Path string // weeds/black-grass/seeds_per_head
	At   float64
}

// spreadOf keeps the spread of a value round another middle, where its family has one.
func spreadOf(v *params.Value) string {
	switch v.Spread.Kind {
	case params.Lognormal, params.Normal, params.LogitNormal:
		return "{" + v.Spread.Kind.String() + ": " + sheet.Plain(v.Spread.A) + "}"
	}
	return "fixed"
}

// lay lays the value over the plan's library.
func (x *whatIf) lay(p *Plan, m *sheet.Mistakes) {
	parts := strings.Split(x.Path, "/")
	if len(parts) != 3 {
		m.Add(sheet.Place{File: p.Name}, "%q is no value of the library", x.Path)
		return
	}
	e := p.library.Find(parts[0], parts[1])
	if e == nil || e.Value(parts[2]) == nil {
		m.Add(sheet.Place{File: p.Name}, "%q is no value of the library", x.Path)
		return
	}
	text := "name: " + parts[1] + "\nvalues:\n  " + parts[2] + ": {value: " + sheet.Plain(x.At) +
		", spread: " + spreadOf(e.Value(parts[2])) + ", grade: assumed, source: what if}\n"
	if own := p.plan.Root.Get("library"); own != nil {
		m.Add(own.Place, "the plan has a library of its own; change the value there")
		return
	}
	p.library.OverlayEntry(parts[0], parts[1], []byte(text), m)
}
