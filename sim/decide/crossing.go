package decide

import "math"

// Gain is what a second choice earns more than a first, by replicate, when the
// field starts with some density.
type Gain struct {
	Density     float64 // per m²; 0: clean ground
	Differences []float64
}

// Verdict says how two choices compare over the densities.
type Verdict uint8

// Verdicts.
const (
	Crosses Verdict = iota // the first is better below a density, the second above
	First                  // the first is better at every density
	Second                 // the second is better, or as good, at every density
)

// Crossover is where two choices change places.
type Crossover struct {
	Verdict Verdict
	// The density at which the mean gain turns from loss to gain; 0: below the
	// lowest density but for clean ground.
	Density float64
	// The 95 % interval of the mean gain holds zero between these; Low 0: from clean
	// ground on; High infinite: at the heaviest, too.
	Low, High float64
}

// Cross finds the crossover from gains in ascending order of density: the mean
// gain is taken as straight between neighbours against the logarithm of density.
// The mean, not the median, because money is what adds up over the years.
func Cross(gains []Gain) Crossover {
	x := make([]float64, len(gains))
	middle, low, high := make([]float64, len(gains)), make([]float64, len(gains)), make([]float64, len(gains))
	for i, g := range gains {
		m, e := mean(g.Differences), z95*math.Sqrt(variance(g.Differences)/float64(len(g.Differences)))
		x[i], middle[i], low[i], high[i] = g.Density, m, m-e, m+e
	}
	at, ok := turns(x, middle)
	if !ok {
		if middle[0] < 0 {
			return Crossover{Verdict: First}
		}
		return Crossover{Verdict: Second}
	}
	c := Crossover{Density: at, High: math.Inf(1)}
	if l, ok := turns(x, high); ok {
		c.Low = l
	}
	if h, ok := turns(x, low); ok {
		c.High = h
	}
	return c
}

// turns is where y first turns from below zero to zero or above and stays there
// at the next density.
func turns(x, y []float64) (float64, bool) {
	for i := 1; i < len(y); i++ {
		if y[i-1] >= 0 || y[i] < 0 {
			continue
		}
		if x[i-1] == 0 {
			return 0, true
		}
		a, b := math.Log(x[i-1]), math.Log(x[i])
		return math.Exp(a + (b-a)*-y[i-1]/(y[i]-y[i-1])), true
	}
	return 0, false
}
