package random_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"rundown/sim/random"
)

// law is a distribution that package random draws from: its sampler, and its
// exact probabilities, got another way than the sampler gets them.
type law struct {
	name  string
	a, b  float64 // binomial: n, p; poisson: mean; negbinomial: mean, size
	draw  func(u float64) int64
	first int64     // the count of pmf[0]
	pmf   []float64 // those above 1e-18 of the greatest
	cdf   []float64
}

func (l *law) String() string { return fmt.Sprintf("%s(%v, %v)", l.name, l.a, l.b) }

// newLaw makes the probabilities outwards from the mode by the ratio of
// neighbours, and divides by their sum: no factorial, no rounding to speak of.
func newLaw(t *testing.T, name string, a, b float64) *law {
	t.Helper()
	l := &law{name: name, a: a, b: b}
	var ratio func(k float64) float64 // f(k)/f(k−1)
	var mode float64
	switch name {
	case "binomial":
		l.draw = func(u float64) int64 { return random.Binomial(u, int64(a), b) }
		ratio = func(k float64) float64 { return (a + 1 - k) / k * (b / (1 - b)) }
		mode = math.Floor((a + 1) * b)
	case "poisson":
		l.draw = func(u float64) int64 { return random.Poisson(u, a) }
		ratio = func(k float64) float64 { return a / k }
		mode = math.Floor(a)
	case "negbinomial":
		l.draw = func(u float64) int64 { return random.NegativeBinomial(u, a, b) }
		ratio = func(k float64) float64 { return (b - 1 + k) / k * (a / (a + b)) }
		mode = max(math.Floor((b-1)*a/b), 0)
	default:
		t.Fatalf("no law %q", name)
	}
	for k, f := mode, 1.0; k >= 0 && f > 1e-18; k-- {
		l.pmf = append(l.pmf, f)
		f /= ratio(k)
	}
	l.first = int64(mode) - int64(len(l.pmf)) + 1
	slices.Reverse(l.pmf)
	for k, f := mode+1, ratio(mode+1); f > 1e-18; k++ {
		l.pmf = append(l.pmf, f)
		f *= ratio(k + 1)
	}
	total := 0.0
	for _, f := range l.pmf {
		total += f
	}
	sum := 0.0
	for i, f := range l.pmf {
		l.pmf[i] = f / total
		sum += f
		l.cdf = append(l.cdf, sum/total)
	}
	return l
}

// cumulative is F(k).
func (l *law) cumulative(k int64) float64 {
	switch i := k - l.first; {
	case i < 0:
		return 0
	case i >= int64(len(l.cdf)):
		return 1
	default:
		return l.cdf[i]
	}
}

// drawn is the chance that the sampler gives at most k: the share of the 2⁵²
// uniforms for which it does, found by halving, since it is monotone.
func (l *law) drawn(k int64) float64 {
	low, high := uint64(0), uint64(1<<52) // the first i of uniforms (2i+1)·2⁻⁵³ that gives more than k
	for low < high {
		mid := (low + high) / 2
		if l.draw(float64(2*mid+1)*0x1p-53) > k {
			high = mid
		} else {
			low = mid + 1
		}
	}
	return float64(low) * 0x1p-52
}

// error is the sum over all counts of |chance drawn − exact chance|; what lies
// outside pmf counts in full.
func (l *law) error() float64 {
	sum, before := 0.0, 0.0
	for i, f := range l.pmf {
		below := l.drawn(l.first + int64(i))
		sum += math.Abs(below - before - f)
		before = below
	}
	return sum + 1 - before
}
