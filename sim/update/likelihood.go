package update

import (
	"math"

	"rundown/sim/counts"
	"rundown/sim/random"
)

// Patchiness is not known when a field is walked: every count is weighed over a
// grid of k, even in log k, with the weights of a lognormal about counts.AssumedK.
// Its spread (geometric sd 3) holds what is reported of grass weeds, 0.1 to 2 by
// quadrat and field (from memory), and lets the quadrats themselves tell.
const (
	gridK  = 15
	lowK   = 0.05
	highK  = 20.0
	gsdOfK = 3.0
)

// patchiness is the grid of k and the logs of its weights.
func patchiness() (k, logWeight [gridK]float64) {
	total := 0.0
	for i := range k {
		k[i] = lowK * math.Pow(highK/lowK, float64(i)/(gridK-1))
		z := math.Log(k[i]/counts.AssumedK) / math.Log(gsdOfK)
		logWeight[i] = -z * z / 2
		total += math.Exp(logWeight[i])
	}
	for i := range k {
		logWeight[i] -= math.Log(total)
	}
	return k, logWeight
}

// leastPerM2 stands for a field without any: ten plants to the hectare, which a
// model that has died out does not rule out.
const leastPerM2 = 1e-3

// evidence is a count made ready to be weighed against densities.
type evidence struct {
	sizes []size
	k     [gridK]float64
	fixed [gridK]float64 // log weight of k and what of the likelihood does not hang on the density
	total float64        // all that was counted
}

// size is the quadrats of one size.
type size struct{ areaM2, quadrats, n float64 }

func newEvidence(q []counts.Quadrat) *evidence {
	e := &evidence{}
	e.k, e.fixed = patchiness()
	for _, x := range q {
		n := float64(x.N)
		e.total += n
		ways, _ := math.Lgamma(n + 1)
		for i, k := range e.k {
			a, _ := math.Lgamma(n + k)
			b, _ := math.Lgamma(k)
			e.fixed[i] += a - b - ways
		}
		e.add(x.AreaM2, n)
	}
	return e
}

func (e *evidence) add(areaM2, n float64) {
	for i := range e.sizes {
		if s := &e.sizes[i]; s.areaM2 == areaM2 {
			s.quadrats++
			s.n += n
			return
		}
	}
	e.sizes = append(e.sizes, size{areaM2, 1, n})
}

// logLik is the log likelihood of a density, with k integrated over its grid.
func (e *evidence) logLik(perM2 float64) float64 {
	perM2 = math.Max(perM2, leastPerM2)
	var l [gridK]float64
	top := math.Inf(-1)
	for i, k := range e.k {
		x := e.fixed[i]
		for _, s := range e.sizes {
			r := perM2 * s.areaM2 / k // μ/k of a quadrat
			x += s.n*math.Log(r) - (s.n+s.quadrats*k)*math.Log1p(r)
		}
		l[i] = x
		top = math.Max(top, x)
	}
	sum := 0.0
	for _, x := range l {
		sum += math.Exp(x - top)
	}
	return top + math.Log(sum)
}

// draw counts such quadrats anew in a field of a density: u1 chooses k, the
// others are uniforms by size of quadrat.
func (e *evidence) draw(perM2, u1 float64, uniform func(size int) float64) float64 {
	_, logWeight := patchiness()
	at := gridK - 1
	for i, w := range logWeight {
		if u1 -= math.Exp(w); u1 < 0 {
			at = i
			break
		}
	}
	var n float64
	for i, s := range e.sizes {
		mean := math.Max(perM2, leastPerM2) * s.areaM2 * s.quadrats
		n += float64(random.NegativeBinomial(uniform(i), mean, s.quadrats*e.k[at])) // the sum of quadrats of one size
	}
	return n
}
