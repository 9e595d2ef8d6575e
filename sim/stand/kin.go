package stand

import (
	"math"

	"rundown/sim/biotype"
)

// Kin is what the plants of a cohort carry: one class, and their traits.
type Kin struct {
	Class  uint8
	Traits [biotype.MostTraits]biotype.Trait
}

// Toll is what a herbicide is to plants that differ in what they inherit.
type Toll struct {
	Genes *biotype.Genes
	Parts []biotype.Part
	// Whole: the one part kills what the work does, plant by plant. Else its parts kill seedlings
	// that are just up, and work kills larger ones as far as they are within reach.
	Whole bool
}

// Evolve makes a stand keep what its cohorts carry.
func (s *Stand) Evolve(room int) {
	if s.Kin == nil {
		s.Kin = make([]Kin, 0, room)
	}
}

// AddKin puts a cohort of a class with its traits at the end of the stand, as Add does.
func (s *Stand) AddKin(c Cohort, killed, smothered float64, kin Kin) {
	if c.N > 0 {
		s.Add(c, killed, smothered)
		s.Kin[len(s.Kin)-1] = kin
	}
}

func (s *Stand) classOf(i int) uint8 {
	if s.Kin == nil {
		return 0
	}
	return s.Kin[i].Class
}

// classes is how many classes there may be.
func (s *Stand) classes() int {
	if s.Kin == nil {
		return 1
	}
	return biotype.Classes
}

// toll is what work kills of a cohort that inherits what it does, where it kills that share
// of those that inherit nothing.
func (s *Stand) toll(i int, w *Work, killed float64) float64 {
	k, t := &s.Kin[i], w.Toll
	if t == nil || killed <= 0 || k.Class == 0 && t.Genes.Traits == 0 {
		return killed
	}
	if t.Whole {
		part := t.Parts[0]
		part.Kill = killed
		return t.Genes.Meet([]biotype.Part{part}, int(k.Class), &k.Traits, 1)
	}
	return t.Genes.Meet(t.Parts, int(k.Class), &k.Traits, killed/w.Kill.Small)
}

// fell keeps the traits of plants that were killed when their seed was set, beside those of plants killed before
// them, by what they bear.
func (s *Stand) fell(before, bears float64) {
	for t := range s.was {
		s.fallen[t].Blend(before, &s.was[t], bears)
	}
}

// cost is the factor of what a cohort inherits on its heads.
func (s *Stand) cost(g *biotype.Genes, i int) float64 {
	k := &s.Kin[i]
	f := g.Bears[k.Class]
	if g.TraitCost > 0 {
		for t := range g.Traits {
			f *= math.Exp(-g.TraitCost * k.Traits[t].Mean)
		}
	}
	return f
}

// carry draws the heads of carriers. By[0] is the sum of them.
func (h *Heads) carry(bears, plants [][2]float64, c *Chance) {
	h.By = [biotype.Classes][2]int64{}
	for class := 1; class < biotype.Classes; class++ {
		for g := range h.By[class] {
			n := c.heads(uint8(g), uint8(class), bears[class][g]*h.each, plants[class][g])
			h.By[class][g] = n
			h.By[0][g] += n
		}
	}
	h.Early += h.By[0][0]
	h.Late += h.By[0][1]
}

// HeadsOf is the heads of a class.
func (h *Heads) HeadsOf(class int) float64 {
	if class == 0 {
		return float64(h.Total() - h.By[0][0] - h.By[0][1])
	}
	return float64(h.By[class][0] + h.By[class][1])
}

// SetSeedOf draws the viable seed of the mothers of a class above 0, as SetSeed does of class 0.
func (h *Heads) SetSeedOf(p *Params, class int, season float64, c *Chance) int64 {
	each := p.Viability * season * math.Pow(1+h.Crowding, -p.CrowdingExponent)
	n := &h.By[class]
	return c.seeds(0, uint8(class), float64(n[0])*p.SeedsPerHead*each) + c.seeds(1, uint8(class), float64(n[1])*p.SeedsPerHeadLate*each)
}

// Parents are the traits of those that bear seed: mothers by their seed, pollen by
// heads, and how many parents count in full, each by its heads (Σ heads)²/Σ heads².
func (h *Heads) Parents(s *Stand, p *Params, season *Season, genes *biotype.Genes) (mothers, pollen [biotype.MostTraits]biotype.Trait, effective float64) {
	var heads, squares float64
	var bySeed, byHeads biotype.Sum
	bySeed.Reset(genes.Traits)
	byHeads.Reset(genes.Traits)
	add := func(traits *[biotype.MostTraits]biotype.Trait, bears, plants, perHead float64) {
		n := bears * h.each
		bySeed.Add(traits, n*perHead)
		byHeads.Add(traits, n)
		heads += n
		if plants > 0 { // heads of a plant are geometric about their mean
			squares += n + 2*n*n/plants
		}
	}
	for c := range s.dead {
		for g, d := range s.dead[c] {
			if d.bears > 0 {
				add(&s.fallen, d.bears, d.plants, p.seedsOf(g))
			}
		}
	}
	for i := range s.Cohorts {
		k := &s.Cohorts[i]
		if bears := float64(k.N) * p.fecundity(k.Up, season) * k.Cover * k.bears * s.cost(genes, i); bears > 0 {
			add(&s.Kin[i].Traits, bears, float64(k.N), p.seedsOf(late(k.Up, season)))
		}
	}
	if squares > 0 {
		effective = heads * heads / squares
	}
	bySeed.Mixture(&mothers)
	byHeads.Mixture(&pollen)
	return mothers, pollen, effective
}

// seedsOf is the seeds per head of a group of plants, early or late.
func (p *Params) seedsOf(group int) float64 {
	if group == 1 {
		return p.SeedsPerHeadLate
	}
	return p.SeedsPerHead
}
