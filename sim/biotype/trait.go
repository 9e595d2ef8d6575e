package biotype

import (
	"math"

	"rundown/sim/random"
)

// Trait is how well plants bear the herbicides of one HRAC group, in standard deviations of
// the unselected weed: the mean and the variance of what is inherited of it. With what is not
// inherited, new for every spray, a plant's own is normal; it dies where that is below Φ⁻¹(k), k
// being what the spray kills of the unselected weed.
type Trait struct{ Mean, Variance float64 }

// MostMean is where a trait is as good as immune.
const MostMean = 6

// CopyTraits copies so many traits, number by number: what has just been written so is not waited for.
func CopyTraits(to, from *[MostTraits]Trait, many int) {
	for t := range many {
		to[t].Mean, to[t].Variance = from[t].Mean, from[t].Variance
	}
}

// Blend makes t the mixture of n seeds of its own and m of another.
func (t *Trait) Blend(n float64, o *Trait, m float64) {
	if n <= 0 {
		*t = *o
		return
	}
	if m <= 0 || *t == *o {
		return
	}
	w := m / (n + m)
	apart := o.Mean - t.Mean
	t.Mean += w * apart
	t.Variance += w*(o.Variance-t.Variance) + w*(1-w)*apart*apart
}

// Survive takes the trait through a spray that kills a share of the unselected weed, and
// returns the share that it kills of these: selection by truncation (Falconer & Mackay, Introduction
// to Quantitative Genetics). other is the variance that is not inherited. Of a trait without variance and
// mean the kill is that of the unselected weed.
func (t *Trait) Survive(kill, other float64) float64 {
	if kill <= 0 || kill >= 1 || t.Variance <= 0 && t.Mean == 0 {
		return kill
	}
	live, _ := t.survive(kill, other)
	return 1 - live
}

// survive is Survive of a kill inside (0,1): the share that lives, and how far the mean moves for
// each unit of variance that is inherited, were it not bounded.
func (t *Trait) survive(kill, other float64) (live, pull float64) {
	per := 1 / math.Sqrt(t.Variance+other)
	x := (random.NormalQuick(kill) - t.Mean) * per
	live, i := above(x)
	if live <= 0 {
		return 0, 0
	}
	pull = per * i
	if t.Mean += t.Variance * pull; t.Mean > MostMean {
		t.Mean = MostMean
	}
	if left := 1 - t.Variance*(per*per)*(i*(i-x)); left > 0 {
		t.Variance *= left
	} else {
		t.Variance = 0
	}
	return live, pull
}

// Kill is what a spray that kills a share of the unselected weed kills of these, who stay as they are.
func (t *Trait) Kill(kill, other float64) float64 {
	u := *t
	return u.Survive(kill, other)
}

// MeanOf is the mean of a trait of plants of which a share survived a test that kills the
// sensitive standard's share kill.
func MeanOf(kill, survived float64) float64 {
	kill, survived = min(max(kill, 1e-6), 1-1e-6), min(max(survived, 1e-6), 1-1e-6)
	return random.Normal(kill) - random.Normal(1-survived)
}

// Seed is the variance of a trait among the seed of parents. standing is that of the weed
// as it mates, on which it stays where nothing selects: the genes' own variance is
// standing/(1 + F), which selfing keeps apart among lines, (1 − F) of it within them.
func Seed(parents, standing, self float64) float64 {
	f := Inbreeding(self)
	return (1-self)*parents/2 + self*parents + (1-f)/2*standing/(1+f)
}

// Sum adds up seeds of different traits, to become their mixture.
type Sum struct {
	n      float64
	m, q   [MostTraits]float64 // Σ n·mean, Σ n·(variance + mean²)
	traits int
}

// Reset empties it for so many traits.
func (s *Sum) Reset(traits int) { *s = Sum{traits: traits} }

// Add adds n seeds.
func (s *Sum) Add(t *[MostTraits]Trait, n float64) {
	s.n += n
	for i := range s.traits {
		x := &t[i]
		s.m[i] += n * x.Mean
		s.q[i] += n * (x.Variance + x.Mean*x.Mean)
	}
}

// Mixture is what was added.
func (s *Sum) Mixture(t *[MostTraits]Trait) {
	if s.n <= 0 {
		return
	}
	per := 1 / s.n
	for i := range s.traits {
		m := s.m[i] * per
		t[i].Mean, t[i].Variance = m, max(0, s.q[i]*per-m*m)
	}
}
