package biotype

// Pollen is the shares of the four sorts of pollen: 2 × resistance at the first gene + that at the second.
type Pollen [4]float64

// gametes are the shares of the gametes of every class: genes assort freely.
var gametes = func() (g [Classes]Pollen) {
	for c := range g {
		a, b := float64(Copies(c, 0))/2, float64(Copies(c, 1))/2
		g[c] = Pollen{(1 - a) * (1 - b), (1 - a) * b, a * (1 - b), a * b}
	}
	return g
}()

// joined is the class of two gametes.
func joined(g, h int) int { return 3*(g>>1+h>>1) + g&1 + h&1 }

// selfed are the shares of the classes among a class's seed by its own pollen.
var selfed = func() (s [Classes][Classes]float64) {
	for c := range s {
		for g, x := range gametes[c] {
			for h, y := range gametes[c] {
				s[c][joined(g, h)] += x * y
			}
		}
	}
	return s
}()

// Add adds the pollen of a number of heads of a class.
func (p *Pollen) Add(class int, heads float64) {
	for g := range p {
		p[g] += heads * gametes[class][g]
	}
}

// PollenOf is the pollen of plants whose resistance is p1 and p2 of all copies.
func PollenOf(p [Loci]float64) Pollen {
	return Pollen{(1 - p[0]) * (1 - p[1]), (1 - p[0]) * p[1], p[0] * (1 - p[1]), p[0] * p[1]}
}

// Mix adds a share of other pollen, which is taken as it stands: of its own sum.
func (p *Pollen) Mix(share float64, o *Pollen) {
	sum := o[0] + o[1] + o[2] + o[3]
	if sum <= 0 || share <= 0 {
		return
	}
	for g := range p {
		p[g] += share * o[g] / sum
	}
}

// Offspring are the shares of the classes among the seed of a mother, a share of it selfed
// and the rest by pollen. Without pollen all is selfed.
func Offspring(mother int, self float64, pollen *Pollen) (o [Classes]float64) {
	sum := pollen[0] + pollen[1] + pollen[2] + pollen[3]
	if sum <= 0 {
		self = 1
	}
	for c, x := range selfed[mother] {
		o[c] = self * x
	}
	if self >= 1 {
		return o
	}
	for g, x := range gametes[mother] {
		if x == 0 {
			continue
		}
		for h, y := range pollen {
			o[joined(g, h)] += (1 - self) * x * y / sum
		}
	}
	return o
}

// Inbreeding is F of a population with a share of selfing, in the long run.
func Inbreeding(self float64) float64 { return self / (2 - self) }

// Genotypes are the shares of the classes where resistance is p of all copies at each
// gene, in a population inbred to F, the genes independent.
func Genotypes(p [Loci]float64, f float64) (o [Classes]float64) {
	var at [Loci][3]float64
	for l, x := range p {
		at[l] = [3]float64{(1 - x) * (1 - x*(1-f)), 2 * x * (1 - x) * (1 - f), x * (x + (1-x)*f)}
	}
	for c := range o {
		o[c] = at[0][Copies(c, 0)] * at[1][Copies(c, 1)]
	}
	return o
}

// Frequency is the share of resistance of all copies at which a share of plants carries it.
func Frequency(carriers, f float64) float64 {
	if carriers >= 1 {
		return 1
	}
	low, high := 0.0, carriers
	for range 60 {
		p := (low + high) / 2
		if 1-(1-p)*(1-p*(1-f)) < carriers {
			low = p
		} else {
			high = p
		}
	}
	return (low + high) / 2
}
