package biotype

import "math"

// Part is one active of what plants meet at one time.
type Part struct {
	Kill         float64 // of the unselected weed, 0..1
	Locus, Trait int     // of its HRAC group; −1: none is followed
	Dominance    float64 // of the gene at this active's rate, 0..1
}

// Genes are what a replicate follows of a weed, and how it is passed on.
type Genes struct {
	On         bool
	Traits     int                             // that are followed
	Standing   [MostTraits]float64             // variance of a trait in the unselected weed: h²
	Relation   [MostTraits][MostTraits]float64 // genetic correlation
	Protection float64                         // of what kills plants without resistance, the share that two copies keep off
	Self       float64                         // share of seed that is selfed
	Mutation   float64                         // per gamete and gene
	Followed   [Loci]bool                      // genes of large effect
	Bears      [Classes]float64                // factor of each class on heads
	TraitCost  float64                         // fall of ln heads per unit of a trait's mean
	Outside    Pollen                          // of the field outside
	FromOut    float64                         // share of pollen from outside
	Between    float64                         // share from the rest of the field, where it has several patches
}

// Spared is the share of an active's kill that a class is spared.
func (g *Genes) Spared(p *Part, class int) float64 {
	if p.Locus < 0 {
		return 0
	}
	switch Copies(class, p.Locus) {
	case 1:
		return p.Dominance * g.Protection
	case 2:
		return g.Protection
	}
	return 0
}

// Meet takes plants of a class through actives, one after the other, and returns the share
// that they kill; traits are those of the plants before, then of those that live. reach is the share of
// the plants that is within reach of them.
func (g *Genes) Meet(parts []Part, class int, traits *[MostTraits]Trait, reach float64) float64 {
	if reach >= 1 {
		return 1 - g.meet(parts, class, traits)
	}
	before := *traits
	live := g.meet(parts, class, traits)
	for t := range g.Traits { // those out of reach are not selected
		all := before[t]
		all.Blend(1-reach, &traits[t], reach*live)
		traits[t] = all
	}
	return reach * (1 - live)
}

// meet is the share that actives let live of plants of a class that are all within their reach.
func (g *Genes) meet(parts []Part, class int, traits *[MostTraits]Trait) float64 {
	live := 1.0
	for i := range parts {
		p := &parts[i]
		k := p.Kill
		if class > 0 {
			k *= 1 - g.Spared(p, class)
		}
		if p.Trait >= 0 {
			live *= g.select1(traits, p.Trait, k)
		} else {
			live *= 1 - k
		}
	}
	return live
}

// select1 takes one trait through a spray, which lets the share live that it returns; others
// follow as far as they hang together.
func (g *Genes) select1(traits *[MostTraits]Trait, t int, kill float64) (live float64) {
	x := &traits[t]
	if kill <= 0 || kill >= 1 || x.Variance <= 0 && x.Mean == 0 {
		return 1 - kill
	}
	mean, variance := x.Mean, x.Variance
	live, pull := x.survive(kill, 1-g.Standing[t])
	if full := mean + variance*pull; full > MostMean && variance > 0 { // as far as it could move
		pull = (x.Mean - mean) / variance
	}
	for o, r := range g.Relation[t][:g.Traits] {
		if o == t || r == 0 {
			continue
		}
		y := &traits[o]
		if y.Mean += r * pull * math.Sqrt(variance*y.Variance); y.Mean > MostMean {
			y.Mean = MostMean
		}
	}
	return live
}

// KillOf is the share of plants of which so many carry by, with these traits, that actives kill.
func (g *Genes) KillOf(parts []Part, number float64, by *[Classes]float64, traits *[MostTraits]Trait) float64 {
	killed, carriers := 0.0, 0.0
	alike := true // no gene that is followed protects from any
	for i := range parts {
		alike = alike && parts[i].Locus < 0
	}
	for c := 1; c < Classes && !alike; c++ {
		if by[c] > 0 {
			u := *traits
			killed += by[c] * g.Meet(parts, c, &u, 1)
			carriers += by[c]
		}
	}
	u := *traits
	return (killed + max(number-carriers, 0)*g.Meet(parts, 0, &u, 1)) / number
}
