package sim

import (
	"slices"
	"strconv"

	"rundown/params"
	"rundown/rotations"
	"rundown/sim/biotype"
	"rundown/sim/random"
)

// geneUnit is how the weed inherits resistance, as one replicate has it. It is empty
// where nothing evolves.
type geneUnit struct {
	Params biotype.Params
	biotype.Genes
	groups []groupUnit
	number [biotype.MostTraits]uint8 // of the HRAC group of each trait, in addresses
	start  startGenes
	// What the programmes of Model.Programmes kill of the unselected weed, where it is stated for this replicate.
	programmes [][]biotype.Part
	stated     bool
}

// groupUnit is one HRAC group that the plan sprays.
type groupUnit struct {
	hrac               string
	locus              int // −1: no gene of large effect is known
	trait              int // its place among those that this replicate follows; −1: none is
	heritability       float64
	start, targetShare float64              // of a gene
	dominance, ofDims  float64              // of it, against most actives and against cyclohexanediones
	said               *rotations.Resistant // what the plan says; nil: nothing
	found              float64              // its value
	standard           float64              // what the test, or the spray of which a share of the effect is said to be lost, kills of sensitive plants
}

// startGenes are what seed at the start, and from outside, carries.
type startGenes struct {
	inside, outside [biotype.Classes]float64
	traits          [biotype.MostTraits]biotype.Trait
}

// byDNA is what a plan says that knows of plants that carry a gene.
const byDNA = "carriers"

// evolves tells whether the plan asks for resistance that evolves.
func (m *Model) evolves() bool { return m.calendar.Genes != nil }

// bindGenes fills the values that do not hang on a replicate's luck.
func (m *Model) bindGenes(b *binder, u *geneUnit) {
	e := m.calendar.Genes
	if e == nil {
		return
	}
	b.bind(&u.Params, e)
	u.groups = make([]groupUnit, len(m.calendar.Sprayed))
	for i, hrac := range m.calendar.Sprayed {
		g := &u.groups[i]
		*g = groupUnit{hrac: hrac, locus: -1, trait: -1}
		key := "heritability_" + hrac
		if e.Value(key) == nil {
			key = "heritability_other"
		}
		b.value(&g.heritability, e.Value(key))
		for l, known := range params.GeneGroups {
			if known == hrac {
				g.locus = l
				b.value(&g.start, e.Value("start_share_"+hrac))
				b.value(&g.targetShare, e.Value("target_site_share_"+hrac))
				b.value(&g.dominance, e.Value("dominance_"+hrac))
				if v := e.Value("dominance_" + hrac + "_" + params.Cyclohexanedione); v != nil && m.calendar.SpraysDims {
					b.value(&g.ofDims, v)
				}
			}
		}
		if g.said = m.calendar.Resistant[hrac]; g.said == nil {
			continue
		}
		if g.standard = g.said.Standard; g.said.Said == "lost" {
			g.standard = m.strongest(hrac)
		}
		if g.said.Value != nil {
			b.value(&g.found, g.said.Value)
		}
	}
}

// strongest is what the plan's strongest spray of a group kills of a weed that resists nothing. Of it
// the share is lost that a plan says is.
func (m *Model) strongest(hrac string) (kill float64) {
	for _, e := range m.tables.herbicides {
		if e.Text["hrac"] == hrac {
			kill = max(kill, m.StatedKill(e))
		}
	}
	return kill
}

// heldStill is the share of a herbicide's efficacy that the field's resistance takes where it
// does not evolve.
func (m *Model) heldStill(e *params.Entry) float64 {
	if m.evolves() {
		return 0
	}
	return m.calendar.Resistance[e.Text["hrac"]]
}

// kinship is what a herbicide is to the genes of a weed.
type kinship struct {
	group int  // the place of its HRAC group among those that evolve, −1 for none
	dim   bool // it is a cyclohexanedione, of which one copy of a gene keeps off less
}

// followed is a herbicide's.
func (m *Model) followed(e *params.Entry) kinship {
	if !m.evolves() {
		return kinship{group: -1}
	}
	return kinship{slices.Index(m.calendar.Sprayed, e.Text["hrac"]), e.Text["family"] == params.Cyclohexanedione}
}

// setGenes works out what a replicate follows. The values and the keys of its parameters must be set.
func (w *Worker) setGenes() {
	if !w.m.evolves() {
		return
	}
	u := &w.u.genes
	p := &u.Params
	bears := u.Genes.Bears
	u.Genes = biotype.Genes{On: true, Protection: p.Protection, Self: 1 - p.Outcrossing, Mutation: p.Mutation,
		TraitCost: p.TraitCost, FromOut: p.PollenOutside, Between: p.PollenBetween, Bears: bears}
	var inside, outside [biotype.Loci]float64
	u.start.traits, u.stated = [biotype.MostTraits]biotype.Trait{}, false
	f := biotype.Inbreeding(u.Self)
	for i := range u.groups {
		g := &u.groups[i]
		g.trait = -1
		both := g.said != nil && g.said.Make == rotations.BothMakes
		if g.locus >= 0 && (both || w.byOneGene(g)) {
			u.Followed[g.locus] = true
			inside[g.locus], outside[g.locus] = g.start, g.start
			if g.said != nil && (!both || g.said.Said == byDNA) {
				inside[g.locus] = biotype.Frequency(g.carriers(), f)
			}
			if !both {
				continue
			}
		}
		if start := (biotype.Trait{Mean: g.mean(), Variance: g.heritability}); start != (biotype.Trait{}) {
			g.trait = u.Traits
			u.Traits++
			u.Standing[g.trait], u.start.traits[g.trait], u.number[g.trait] = g.heritability, start, number(g.hrac)
		}
	}
	u.start.inside, u.start.outside = biotype.Genotypes(inside, f), biotype.Genotypes(outside, f)
	u.Outside = biotype.PollenOf(outside)
	w.relate()
	w.setCosts()
}

// byOneGene tells whether resistance to a group comes by one gene in this replicate.
func (w *Worker) byOneGene(g *groupUnit) bool {
	if g.said != nil && g.said.Make != "" {
		return g.said.Make == rotations.OneGene
	}
	return w.parameters.WithText("genes."+g.hrac).Uniform(0) < g.targetShare
}

// survived is the share of seedlings that survived a test, as the plan says.
func (g *groupUnit) survived() float64 {
	switch s := g.said; s.Said {
	case "lost":
		return 1 - g.standard*(1-s.Lost)
	case "survived":
		return g.found
	default: // a class
		return s.Class[0] + (s.Class[1]-s.Class[0])*g.found
	}
}

// carriers is the share of plants that carry a gene, as the plan says: those that survived a
// test beyond what survives of the sensitive standard.
func (g *groupUnit) carriers() float64 {
	if g.said.Said == byDNA {
		return g.found
	}
	k := g.standard
	return max(0, (g.survived()-(1-k))/k)
}

// mean is the trait's at the start, as the plan says; a field is not less than the sensitive standard.
func (g *groupUnit) mean() float64 {
	if g.said == nil || g.said.Said == byDNA { // tests of DNA know nothing of many genes
		return 0
	}
	return min(max(0, biotype.MeanOf(g.standard, g.survived())), biotype.MostMean)
}

// relate sets the genetic correlations of the traits.
func (w *Worker) relate() {
	u := &w.u.genes
	for a := range u.groups {
		for b := range u.groups {
			i, k, r := u.groups[a].trait, u.groups[b].trait, u.Params.CorrelationOther
			if i < 0 || k < 0 {
				continue
			}
			switch x, y := u.groups[a].hrac, u.groups[b].hrac; {
			case x == "1" && y == "2" || x == "2" && y == "1":
				r = u.Params.CorrelationPair
			case x == "3" && y == "15" || x == "15" && y == "3":
				r = u.Params.CorrelationSoil
			}
			u.Relation[i][k] = r
		}
	}
}

// setCosts sets what genes cost their bearers: in some fields nothing.
func (w *Worker) setCosts() {
	u := &w.u.genes
	var cost [biotype.Loci]float64
	for l := range cost {
		if w.parameters.WithText("genes.cost."+params.GeneGroups[l]).Uniform(0) < u.Params.CostShare {
			cost[l] = u.Params.Cost
		}
	}
	for c := range u.Bears {
		u.Bears[c] = 1
		for l, x := range cost {
			u.Bears[c] *= 1 - x*float64(biotype.Copies(c, l))/2
		}
	}
}

// group is the place of an HRAC group among those that the plan sprays, −1 for none.
func (u *geneUnit) group(hrac string) int {
	for t := range u.groups {
		if u.groups[t].hrac == hrac {
			return t
		}
	}
	return -1
}

// part is an active that kills a share of the unselected weed.
func (u *geneUnit) part(of kinship, kill float64) biotype.Part {
	p := biotype.Part{Kill: kill, Locus: -1, Trait: -1}
	if of.group < 0 {
		return p
	}
	g := &u.groups[of.group]
	p.Trait = g.trait
	if g.locus >= 0 && u.Followed[g.locus] {
		if p.Locus, p.Dominance = g.locus, g.dominance; of.dim {
			p.Dominance = g.ofDims
		}
	}
	return p
}

// number is that of an HRAC group in addresses.
func number(hrac string) uint8 {
	if n, err := strconv.Atoi(hrac); err == nil && n >= 0 && n < 100 {
		return uint8(n)
	}
	return uint8(100 + groupKey(hrac)%28)
}

// startKin finds what n seeds at the start, or from outside, carry: by class at the address of
// their layer and age.
func (s spot) startKin(n int64, layer, age uint8, shares *[biotype.Classes]float64) (kin biotype.Kin) {
	left, rest := n, 1.0
	for c := biotype.Classes - 1; c > 0; c-- { // conditional binomials of a multinomial
		if left > 0 && shares[c] > 0 {
			at := random.At(s.draw.Day, random.DrawCarriers, layer, age, uint8(c), 0, s.draw.Zone)
			kin.By[c] = random.Binomial(s.draw.ByClass[c].Uniform(at), left, min(shares[c]/rest, 1))
			left -= kin.By[c]
		}
		rest -= shares[c]
	}
	kin.Carriers = n - left
	kin.Traits = s.u.genes.start.traits
	return kin
}

// inheritAtStart gives a lot of n seeds what seed of this field carries at the start.
func (s spot) inheritAtStart(lot int, n int64, layer, age uint8) {
	if s.u.genes.On {
		s.bank.Kin[lot] = s.startKin(n, layer, age, &s.u.genes.start.inside)
	}
}
