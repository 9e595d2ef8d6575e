package stand

import (
	"math"
	"slices"

	"rundown/sim/biotype"
)

// Kin is what the plants of a cohort carry: one class, and the traits at a place of Stand.Traits, which
// those of one day share until they meet what kills some classes more than others. Places never fall from cohort to cohort.
type Kin struct {
	Class uint8
	At    int32
}

// Traits are those of many genes.
type Traits = [biotype.MostTraits]biotype.Trait

// Toll is what a herbicide is to plants that differ in what they inherit.
type Toll struct {
	Genes *biotype.Genes
	Parts []biotype.Part
	// Whole: the one part kills what the work does, plant by plant. Else its parts kill seedlings
	// that are just up, and work kills larger ones as far as they are within reach.
	Whole bool
}

// differs tells whether classes meet different kills, and whether those of them that live
// differ in traits for that.
func (t *Toll) differs() (kills, traits bool) {
	selects, both := false, false
	for i := range t.Parts {
		p := &t.Parts[i]
		kills = kills || p.Locus >= 0
		selects = selects || p.Trait >= 0
		both = both || p.Locus >= 0 && p.Trait >= 0
	}
	return kills, both || kills && selects && !t.Whole
}

// KeepTraits makes room for the traits of plants that have just come up, so many, which go with the classes that are
// then added; they may be changed in place until the next are kept.
func (s *Stand) KeepTraits(t *Traits, many int) *Traits {
	n := len(s.Traits)
	s.Traits = slices.Grow(s.Traits, 1)[:n+1]
	biotype.CopyTraits(&s.Traits[n], t, many)
	return &s.Traits[n]
}

// AddKin puts n plants of a class at the end of the stand, which are otherwise as c is and have the traits that
// were kept last. Field by field: a copy of what has just been written in other pieces would wait for it.
func (s *Stand) AddKin(c *Cohort, class uint8, n int64, killed, smothered float64) {
	if n <= 0 {
		return
	}
	i := len(s.Cohorts)
	s.Cohorts, s.Kin = slices.Grow(s.Cohorts, 1)[:i+1], append(s.Kin, Kin{class, int32(len(s.Traits) - 1)})
	k := &s.Cohorts[i]
	k.Day, k.Number, k.Up, k.N = c.Day, c.Number, c.Up, n
	k.Heat, k.Spread, k.Cover, k.Fresh = c.Heat, c.Spread, c.Cover, c.Fresh
	k.alive, k.killed, k.died = 1-killed-smothered, killed, smothered
	k.bears, k.room = 1, 1
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

// shared is what the cohorts that share traits have met of a piece of work.
type shared struct {
	at             int32
	before         Traits // their traits before it, where met or left
	met            bool   // one of them has met its herbicide, which killed such a share of it
	killed         float64
	kills, selects bool    // the herbicide kills classes, and selects among traits, by class
	left           float64 // what those of them that it killed still bear
	fallen         float64 // the same of all plants that are dead, but for these
}

// toll is what work kills of a cohort that inherits what it does, where it kills that share
// of those that inherit nothing.
func (s *Stand) toll(i int, w *Work, killed float64) float64 {
	k, t, m := &s.Kin[i], w.Toll, &s.now
	if k.At != m.at {
		if m.left > 0 {
			s.fell(w.Season.Genes)
		}
		m.at, m.met = k.At, false
	}
	if t == nil || killed <= 0 || k.Class == 0 && t.Genes.Traits == 0 {
		return killed
	}
	if t.Whole && t.Parts[0].Trait < 0 {
		return killed * (1 - t.Genes.Spared(&t.Parts[0], int(k.Class)))
	}
	if m.met && !m.kills {
		return m.killed
	}
	traits := &s.Traits[k.At]
	switch {
	case !m.met:
		m.met = true
		biotype.CopyTraits(&m.before, traits, t.Genes.Traits)
	case m.selects:
		s.split(i)
		traits = &s.Traits[k.At]
	default: // those that live have been selected already
		s.was = m.before
		traits = &s.was
	}
	if t.Whole {
		t.Parts[0].Kill = killed
		m.killed = t.Genes.Meet(t.Parts[:1], int(k.Class), traits, 1)
	} else {
		m.killed = t.Genes.Meet(t.Parts, int(k.Class), traits, killed/w.Kill.Small)
	}
	return m.killed
}

// split gives a cohort, and those behind it that share traits with it, the traits that they had before this work.
func (s *Stand) split(i int) {
	m := &s.now
	m.at++
	s.Traits = slices.Insert(s.Traits, int(m.at), m.before)
	for ; i < len(s.Kin); i++ {
		s.Kin[i].At++
	}
}

// tidy drops traits that no cohort has.
func (s *Stand) tidy() {
	kept, last := int32(-1), int32(-1)
	for i := range s.Kin {
		k := &s.Kin[i]
		if k.At != last {
			last = k.At
			if kept++; kept != last {
				s.Traits[kept] = s.Traits[last]
			}
		}
		k.At = kept
	}
	s.Traits = s.Traits[:kept+1]
}

// falls notes what plants of a cohort that work has killed still bear, since their seed was set.
func (s *Stand) falls(i int, genes *biotype.Genes, bears float64) {
	if m := &s.now; genes.Traits > 0 {
		if m.left == 0 && !m.met {
			biotype.CopyTraits(&m.before, &s.Traits[s.Kin[i].At], genes.Traits)
		}
		m.left += bears
	}
}

// fell keeps the traits of plants that have fallen, beside those of plants killed before them, by what they bear.
func (s *Stand) fell(genes *biotype.Genes) {
	m := &s.now
	for t := range genes.Traits {
		s.fallen[t].Blend(m.fallen, &m.before[t], m.left)
	}
	m.fallen += m.left
	m.left = 0
}

// cost is the factor of what a cohort inherits on its heads; that of its traits is worked out once for all that
// share them.
func (s *Stand) cost(g *biotype.Genes, i int) float64 {
	k := &s.Kin[i]
	f := g.Bears[k.Class]
	if g.TraitCost <= 0 {
		return f
	}
	if i == 0 || s.Kin[i-1].At != k.At {
		sum := 0.0
		for t := range g.Traits {
			sum += s.Traits[k.At][t].Mean
		}
		s.costs = math.Exp(-g.TraitCost * sum)
	}
	return f * s.costs
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
	count := func(plants, perPlant float64) float64 { // heads of a plant are geometric about their mean
		n := plants * perPlant
		heads += n
		squares += n + 2*n*perPlant
		return n
	}
	for c := range s.dead {
		for g, d := range s.dead[c] {
			if d.bears > 0 && d.plants > 0 {
				n := count(d.plants, d.bears/d.plants*h.each)
				bySeed.Add(&s.fallen, n*p.seedsOf(g))
				byHeads.Add(&s.fallen, n)
			}
		}
	}
	var seeds, all, fecundity float64 // of those that share traits
	for i := range s.Cohorts {
		k := &s.Cohorts[i]
		if i == 0 || !k.alike(&s.Cohorts[i-1]) {
			fecundity = p.fecundity(k.Up, season)
		}
		if perPlant := fecundity * k.Cover * k.bears * s.cost(genes, i) * h.each; perPlant > 0 {
			n := count(float64(k.N), perPlant)
			seeds += n * p.seedsOf(late(k.Up, season))
			all += n
		}
		if last := i == len(s.Cohorts)-1; last || s.Kin[i+1].At != s.Kin[i].At {
			bySeed.Add(&s.Traits[s.Kin[i].At], seeds)
			byHeads.Add(&s.Traits[s.Kin[i].At], all)
			seeds, all = 0, 0
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
