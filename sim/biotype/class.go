// Package biotype is what seed and plants of one weed inherit that herbicides act on.
//
// Resistance of two makes: a gene of large effect for each of up to two HRAC groups
// (target-site), carried in whole seeds and plants, and for every group a trait of many
// genes of small effect (mostly metabolism), carried as a mean and a variance.
//
// A Class is a genotype at both genes. Seed and plants of all classes that share a history
// share its chances; every class draws with its own luck, and only where there is any of it.
// What differs by class is a herbicide's kill, seed by a cost, and offspring.
package biotype

import "rundown/sim/random"

// Loci is how many genes of large effect a run may follow.
const Loci = 2

// Classes of seed and plants: 3 × the copies of resistance (0–2) at the first gene + those
// at the second. Class 0 carries none.
const Classes = 9

// MostTraits is how many HRAC groups a run may follow a trait of many genes for.
const MostTraits = 8

// Copies is how many copies of resistance a class has at a gene.
func Copies(class, locus int) int {
	if locus == 0 {
		return class / 3
	}
	return class % 3
}

// Counts are whole seeds or plants by class; that of class 0 is not kept, since it is
// what is left of the number that goes with them.
type Counts [Classes]int64

// Sum is how many carry anything.
func (c *Counts) Sum() (n int64) {
	for _, x := range c[1:] {
		n += x
	}
	return n
}

// Add adds others.
func (c *Counts) Add(o *Counts) {
	for i := 1; i < Classes; i++ {
		c[i] += o[i]
	}
}

// Kin is what goes with a number of seeds of one history, or of plants of one day.
type Kin struct {
	Carriers int64 // sum of By; nearly always 0, and then nothing need be drawn
	By       Counts
	Traits   [MostTraits]Trait
}

// Luck is the luck of every class but the first.
type Luck [Classes]random.Key

// SetLuck narrows a key to every class.
func (l *Luck) SetLuck(key random.Key) {
	for c := 1; c < Classes; c++ {
		l[c] = key.Biotype(c)
	}
}

// Draw moves to another those carriers that meet a fate of probability p, which is the same for all: every
// class by its own luck at an address. It returns how many, and leaves traits alone.
func (k *Kin) Draw(l *Luck, at uint64, p float64, to *Kin) (n int64) {
	if k.Carriers == 0 || p <= 0 {
		return 0
	}
	for c := 1; c < Classes; c++ {
		x := k.By[c]
		if x == 0 {
			continue
		}
		if u := l[c].Uniform(at); !random.None(u, x, p) {
			x = random.Binomial(u, x, p)
			k.By[c] -= x
			to.By[c] += x
			n += x
		}
	}
	k.Carriers -= n
	to.Carriers += n
	return n
}

// Merge adds n seeds that carry o to the number that k goes with, traits and all.
func (k *Kin) Merge(number int64, o *Kin, n int64, traits int) {
	if n <= 0 {
		return
	}
	k.Carriers += o.Carriers
	k.By.Add(&o.By)
	for t := range traits {
		k.Traits[t].Blend(float64(number), &o.Traits[t], float64(n))
	}
}

// Total is all seeds or plants of many lots that have been added up.
type Total struct {
	N      int64
	by     Counts
	traits Sum
}

// Reset empties it for so many traits.
func (o *Total) Reset(traits int) {
	*o = Total{}
	o.traits.Reset(traits)
}

// Add adds n that carry k.
func (o *Total) Add(k *Kin, n int64) {
	o.N += n
	if k.Carriers > 0 {
		o.by.Add(&k.By)
	}
	o.traits.Add(&k.Traits, float64(n))
}

// Kin is what they carry.
func (o *Total) Kin() (k Kin) {
	k.By, k.Carriers = o.by, o.by.Sum()
	o.traits.Mixture(&k.Traits)
	return k
}
