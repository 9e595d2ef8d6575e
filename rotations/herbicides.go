package rotations

import (
	"fmt"
	"slices"
	"strings"

	"rundown/params"
	"rundown/params/sheet"
)

// usedIn checks that a herbicide is used in the crop. What a crop's own usual practice
// names is used in it: so a user's new crop says what fits.
func (r *resolver) usedIn(op *Operation, v *sheet.Value, sp *span) bool {
	if r.fits(op.With, sp.crop) {
		return true
	}
	name := op.With.Name
	var fit []string
	for _, n := range r.lib.Names("herbicides") {
		e := r.lib.Find("herbicides", n)
		if role := e.Text["role"]; (role == "programme" || role == "contact") && r.fits(e, sp.crop) {
			fit = append(fit, n)
		}
	}
	way := "in " + sp.crop.Name + ": " + strings.Join(fit, ", ")
	if len(fit) == 0 {
		way = "the library has none for it; write herbicides: []"
	}
	at := v.Place
	if p := v.Map.Get("programme"); p != nil {
		at = p.Place
	}
	r.m.Add(at, "%q is not used in %s; %s (label and adviser decide; where yours allow it, list the crop under crops: in a library of your own)", name,
		sp.crop.Name, way)
	return false
}

// fits tells whether a herbicide is used in a crop, as far as the library knows.
func (r *resolver) fits(e, crop *params.Entry) bool {
	crops, known := r.lib.CropsOf(e)
	return !known || slices.Contains(crops, crop.Name) || r.usuallyIn(crop, e.Name)
}

// usuallyIn tells whether a crop's usual practice names a herbicide.
func (r *resolver) usuallyIn(crop *params.Entry, herbicide string) bool {
	for _, v := range r.usualOf(crop).List("herbicides") {
		if v.Map.Text("programme") == herbicide {
			return true
		}
	}
	return false
}

// often is the spray of one active in a season at which a plan is warned.
const often = 3

// sprayedOften warns of a third spray with one active in a season: the model lets each
// act and knows of no harm to the crop, but labels seldom allow it.
func (r *resolver) sprayedOften(ops []Operation, sp *span) {
	count := map[string]int{}
	for i := range ops {
		if ops[i].Action != Herbicide {
			continue
		}
		actives := ops[i].With.Lists["actives"]
		if len(actives) == 0 {
			actives = []string{ops[i].With.Name}
		}
		for _, a := range actives {
			if count[a]++; count[a] == often {
				const advice = "labels seldom allow so many, and harm to the crop is not counted here: ask your adviser"
				where := fmt.Sprintf("%s in %s (%s)", a, sp.name(), ops[i].Place)
				r.warn(Warning{Code: SprayedOften, Season: sp.number, Lead: "Sprayed a third time in one season; " + advice + ":", Detail: where,
					Text: fmt.Sprintf("A third spray of %s; %s.", where, advice)})
			}
		}
	}
}

// coverSprayed warns of burn-offs while the cover stands, which kill it.
func coverSprayed(s *Season, number int) []Warning {
	k := s.Cover
	if k == nil {
		return nil
	}
	var out []Warning
	course := &s.Courses[0]
	for i := range course.Operations {
		o := &course.Operations[i]
		if on := o.due(course.Drill); o.Action == SprayOff && on >= k.Sow && on < k.Destroy {
			const way = "if it should not, write spray_off: with other days, or [] for none"
			detail := fmt.Sprintf("in season %d (%s) on %s (%s), cover sown on %s, to stand until %s", number, course.Crop.Name, on.Short(), o.Place,
				k.Sow.Short(), k.Destroy.Short())
			out = append(out, Warning{Code: CoverSprayedOff, Season: number, Lead: "A burn-off kills the cover while it was to stand; " + way + ":", Detail: detail,
				Text: fmt.Sprintf("A burn-off kills the cover %s; %s.", detail, way)})
		}
	}
	return out
}
