package rotations

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"rundown/params"
	"rundown/params/sheet"
)

// Resistant is what a plan says of the field's resistance to one HRAC group.
type Resistant struct {
	Lost     float64       // share of efficacy lost, where that was said, or what the rest comes to held still
	Said     string        // how: "lost", "survived", "rating", "survey" or "carriers"
	Make     string        // OneGene, ManyGenes or BothMakes; "": left open
	Standard float64       // of a seed test: share of the sensitive standard that it killed
	Value    *params.Value // survived: share of seedlings; carriers: of plants; rating, survey: where in the class, 0..1
	Class    [2]float64    // of rating and survey: share that survived, from and to
	Tested   int           // of carriers: plants whose DNA was tested
	Found    int           // of carriers: those of them that carry resistance
	Text     string        // of a test: as a plan writes it, for whoever compares plans
}

// How resistance comes about.
const (
	OneGene   = "one-gene"   // of large effect: target-site
	ManyGenes = "many-genes" // of small effect: mostly metabolism
	BothMakes = "both"       // in one field; what a seed test found is by many genes, what a test of DNA found by one
)

// usualStandard is what a seed test kills of the sensitive standard where the plan does not say.
const usualStandard = 0.95

// ratingStandard is the same of ratings, whose classes are reductions against it (from memory).
const ratingStandard = 0.9

// ratings are the classes of a seed test as the trade writes them: share that survives.
var ratings = map[string][2]float64{"S": {0, 0.19}, "R-maybe": {0.19, 0.28}, "RR": {0.28, 0.64}, "RRR": {0.64, 1}}

// surveys are the classes of a survey, by how many of 100 survive.
var surveys = map[string][2]float64{"0": {0, 0.01}, "1-19": {0.01, 0.2}, "20-100": {0.2, 1}}

// Survivals are the words in which a person says how many plants live through a spray that used to
// kill them, and what share of its effect each is taken for as lost (assumed); of the first nothing is known.
var Survivals = []string{"none known", "some survive", "most survive"}

var lostWhere = map[string]float64{Survivals[1]: 0.3, Survivals[2]: 0.8}

// LostWhere is the share of its effect that a spray is taken to have lost where so many survive.
func LostWhere(survival string) float64 { return lostWhere[survival] }

// resistanceKey is what may be said of one HRAC group.
func resistanceKey() *sheet.Key {
	share := func(name, doc string) sheet.Key {
		return sheet.Key{Name: name, Kind: sheet.Uncertain, Unit: "fraction", High: 1, Doc: doc}
	}
	t := &sheet.Table{Name: "the resistance", Keys: []sheet.Key{
		share("survived", "share of this field's seedlings that survived a seed test"),
		{Name: "standard", Kind: sheet.Number, Unit: "fraction", Low: 0.5, High: 0.999,
			Doc: "share of the sensitive standard that the test killed; 0.95 if left out"},
		{Name: "rating", Kind: sheet.Choice, Choices: []string{"S", "R-maybe", "RR", "RRR"},
			Doc: "class of a seed test, instead of survived; R-maybe is R? on reports"},
		{Name: "survey", Kind: sheet.Choice, Choices: []string{"0", "1-19", "20-100"}, Doc: "so many of 100 survived, instead of survived"},
		{Name: "tested", Kind: sheet.Whole, Low: 1, High: 1e6, Doc: "plants whose DNA was tested"},
		{Name: "carriers", Kind: sheet.Whole, High: 1e6, Doc: "of those, plants that carry resistance"},
		{Name: "by", Kind: sheet.Choice, Choices: []string{OneGene, ManyGenes, BothMakes},
			Doc: "one gene (target-site), many (metabolism) or both; left open if left out"},
	}, Rules: []sheet.Rule{{Kind: sheet.ExactlyOne, Keys: []string{"survived", "rating", "survey", "tested"}}}}
	return &sheet.Key{Kind: sheet.OneOf, Forms: []sheet.Key{{Kind: sheet.Number, Unit: "fraction", High: 1},
		{Kind: sheet.Choice, Choices: Survivals}, {Kind: sheet.Nested, Table: t}}}
}

// resistance reads what is known of resistance by HRAC group, and whether it evolves.
func (r *resolver) resistance(w *sheet.Mapping) {
	c := r.c
	c.Resistance, c.Resistant = map[string]float64{}, map[string]*Resistant{}
	r.evolves(w)
	v := w.Get("resistance")
	if v == nil {
		return
	}
	groups := r.groups()
	for _, k := range v.Node.Keys {
		if !slices.Contains(groups, k.Text) {
			r.m.Add(k.Place, "no herbicide of the library is of HRAC group %q; %s", k.Text, params.SuggestGroup(k.Text, groups))
		}
	}
	for _, hrac := range v.Map.Names {
		x := v.Map.Get(hrac)
		if x == nil {
			continue
		}
		if x.Key.Kind == sheet.Choice && lostWhere[x.Text] == 0 {
			continue // nothing is known
		}
		said := &Resistant{Said: "lost", Lost: x.Number + lostWhere[x.Text], Make: ManyGenes, Standard: usualStandard}
		if x.Map != nil {
			if said = r.resistant(hrac, x); said == nil {
				continue
			}
		}
		c.Resistance[hrac], c.Resistant[hrac] = said.Lost, said
	}
}

// evolves reads whether resistance evolves, and finds how the weed inherits it.
func (r *resolver) evolves(w *sheet.Mapping) {
	v := w.Get("evolve")
	r.c.SaidEvolve = v != nil
	if v == nil || !v.Yes || r.c.Weed == nil {
		return
	}
	weed := r.c.Weed
	e := r.lib.Find("genes", weed.Name)
	if e == nil && weed.Text["herbicides_as"] != "" {
		e = r.lib.Find("genes", weed.Text["herbicides_as"])
	}
	if e == nil {
		r.m.Add(v.Place, "the library does not say how %s inherits resistance: add genes/%s.yaml to a library of your own (rundown library genes "+
			"black-grass shows what is in one), or write evolve: no", weed.Name, weed.Name)
		return
	}
	r.c.Genes = e
}

// resistant reads what a test says of one group.
func (r *resolver) resistant(hrac string, v *sheet.Value) *Resistant {
	out := &Resistant{Make: v.Map.Text("by"), Standard: v.Map.Number("standard", usualStandard), Text: asWritten(v.Map)}
	if (out.Make == OneGene || out.Make == BothMakes) && !slices.Contains(params.GeneGroups, hrac) {
		r.m.Add(v.Map.Get("by").Place, "resistance to HRAC group %s by one gene is not modelled; only that to groups %s is: write by: many-genes, or "+
			"leave \"by\" out", hrac, strings.Join(params.GeneGroups, " and "))
		return nil
	}
	if !slices.Contains(params.GeneGroups, hrac) {
		out.Make = ManyGenes
	}
	if !r.oneTest(v) {
		return nil
	}
	class := func(said, word string, classes map[string][2]float64) {
		out.Said, out.Class = said, classes[word]
		out.Value = within(v, "test of group "+hrac+" in its class", fmt.Sprintf("where in its class the seed test of HRAC group %s lies", hrac))
		out.Lost = lostOf((out.Class[0]+out.Class[1])/2, out.Standard)
	}
	switch m := v.Map; {
	case m.Has("survived"):
		out.Said = "survived"
		out.Value = value(m.Get("survived"), "survived group "+hrac, fmt.Sprintf("share of seedlings that survived a test with HRAC group %s", hrac))
		byOdds(m.Get("survived"), out.Value)
		out.Value.High = 1
		out.Lost = lostOf(out.Value.Central, out.Standard)
	case m.Has("rating"):
		if !m.Has("standard") {
			out.Standard = ratingStandard
		}
		class("rating", m.Text("rating"), ratings)
	case m.Has("survey"):
		class("survey", m.Text("survey"), surveys)
	case m.Has("tested"):
		return r.byDNA(out, hrac, v)
	}
	if m := v.Map; m.Has("carriers") {
		r.m.Add(m.Get("carriers").Place, "\"carriers\" goes with \"tested\", the plants whose DNA was tested; of a seed test write survived: 0.3")
		return nil
	}
	return out
}

// oneTest notes a group of which not exactly one thing is said.
func (r *resolver) oneTest(v *sheet.Value) bool {
	var said []string
	for _, name := range []string{"survived", "rating", "survey", "tested"} {
		if v.Map.Said(name) {
			said = append(said, name)
		}
		if v.Map.Said(name) && !v.Map.Has(name) {
			return false // noted where it was read
		}
	}
	switch len(said) {
	case 1:
		return true
	case 0:
		r.m.Add(v.Place, "what is known of this group? write {survived: 0.3}, {rating: RR}, {survey: 1-19} or {tested: 20, carriers: 3}")
	default:
		r.m.Add(v.Map.Get(said[1]).Place, "%q and %q both say what a test found; keep the one that you trust more", said[0], said[1])
	}
	return false
}

// byDNA reads carriers among tested plants: the share of plants is beta about what was found.
func (r *resolver) byDNA(out *Resistant, hrac string, v *sheet.Value) *Resistant {
	m := v.Map
	k := m.Get("carriers")
	if k == nil {
		r.m.Add(m.Get("tested").Place, "of the tested plants, how many carry resistance? write {tested: %s, carriers: 3}", m.Text("tested"))
		return nil
	}
	n, carriers := m.Number("tested", 0), k.Number
	switch {
	case carriers > n:
		r.m.Add(k.Place, "%g carriers are more than the %g plants tested", carriers, n)
		return nil
	case !slices.Contains(params.GeneGroups, hrac) || out.Make == ManyGenes:
		r.m.Add(v.Place, "tests of DNA find single genes, which are modelled for HRAC groups %s; write what a seed test gave: {survived: 0.3}",
			strings.Join(params.GeneGroups, " and "))
		return nil
	}
	a, b := carriers+0.5, n-carriers+0.5
	out.Said, out.Tested, out.Found = "carriers", int(n), int(carriers)
	if out.Make != BothMakes {
		out.Make = OneGene
	}
	out.Value = within(v, "carriers of group "+hrac, fmt.Sprintf("share of plants that carry resistance to HRAC group %s", hrac))
	out.Value.Central, out.Value.Spread = a/(a+b), params.Spread{Kind: params.Beta, A: a, B: b}
	out.Lost = out.Value.Central
	return out
}

// byOdds draws a range of shares by their log odds, so that 2 to 98 of 100 has its middle at 50.
func byOdds(v *sheet.Value, to *params.Value) {
	if !v.Range() || v.Low <= 0 || v.High >= 1 {
		return
	}
	low, high := math.Log(v.Low/(1-v.Low)), math.Log(v.High/(1-v.High))
	to.Central = 1 / (1 + math.Exp(-(low+high)/2))
	to.Spread = params.Spread{Kind: params.LogitNormal, A: (high - low) / (2 * z95)}
}

// within is a value of the plan that is drawn evenly between 0 and 1.
func within(v *sheet.Value, short, label string) *params.Value {
	return &params.Value{Path: v.Path, Label: label, Short: short, Unit: "fraction", Central: 0.5, High: 1,
		Spread: params.Spread{Kind: params.Beta, A: 1, B: 1}, Source: "the plan", From: v.Place.String()}
}

// lostOf is the share of a herbicide's effect that is lost where a share survives, held still.
func lostOf(survived, standard float64) float64 { return math.Max(0, 1-(1-survived)/standard) }

// asWritten is a mapping as a plan writes it, its keys in one order.
func asWritten(m *sheet.Mapping) string {
	var out []string
	for _, name := range slices.Sorted(slices.Values(m.Names)) {
		out = append(out, name+": "+asText(m.Get(name)))
	}
	return "{" + strings.Join(out, ", ") + "}"
}

// groups writes the status of resistance as plans do.
func (c *Calendar) groups() string {
	var out []string
	for _, g := range slices.Sorted(maps.Keys(c.Resistance)) {
		x := fmt.Sprintf("%g", c.Resistance[g])
		if s := c.Resistant[g]; s != nil && s.Said != "lost" {
			x = s.Text
		}
		out = append(out, g+": "+x)
	}
	text := "{" + strings.Join(out, ", ") + "}"
	if len(out) == 0 {
		text = "left out"
	}
	if c.Genes != nil {
		text += ", which evolves"
	}
	return text
}

// spray notes which HRAC groups the calendar sprays, in order, where resistance evolves.
func (r *resolver) spray() {
	c := r.c
	for e, used := range r.used {
		if g := e.Text["hrac"]; used && e.Kind == "herbicides" && g != "" && !slices.Contains(c.Sprayed, g) {
			c.Sprayed = append(c.Sprayed, g)
		}
		c.SpraysDims = c.SpraysDims || used && e.Text["family"] == params.Cyclohexanedione
	}
	order := r.groups()
	slices.SortFunc(c.Sprayed, func(a, b string) int { return slices.Index(order, a) - slices.Index(order, b) })
	if n := len(c.Sprayed); n > mostGroups {
		r.m.Add(r.plan.Root.Place, "the plan sprays herbicides of %d HRAC groups; with evolve: yes at most %d can be followed: leave some out, or write "+
			"evolve: no", n, mostGroups)
	}
}

// mostGroups is how many HRAC groups may evolve in one run.
const mostGroups = 8

// ofOtherGroup tells whether a value of how resistance is inherited is of an HRAC group, or of a
// family of actives, that the calendar does not spray.
func (c *Calendar) ofOtherGroup(key string) bool {
	if key == "dominance_1_"+params.Cyclohexanedione {
		return !c.SpraysDims
	}
	at := strings.LastIndex(key, "_")
	group := key[at+1:]
	if strings.HasPrefix(key, "correlation_") || at < 0 {
		return false
	}
	if group == "other" {
		return !slices.ContainsFunc(c.Sprayed, func(g string) bool { return !slices.Contains(params.Groups, g) })
	}
	return slices.Contains(params.Groups, group) && !slices.Contains(c.Sprayed, group)
}

// saidOfResistance are the uncertain values of the plan's own words on resistance, of groups that
// are sprayed; none where it is held still.
func (c *Calendar) saidOfResistance() (values []*params.Value) {
	for _, g := range c.Sprayed {
		if s := c.Resistant[g]; s != nil && s.Value != nil {
			values = append(values, s.Value)
		}
	}
	return values
}
