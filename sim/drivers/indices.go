package drivers

import (
	"math"
	"math/rand/v2"
	"slices"

	"rundown/sim/random"
)

// Estimate is an index with the ends of its 95 % bootstrap interval.
type Estimate struct{ Value, Low, High float64 }

// Half is half of the interval's width.
func (e Estimate) Half() float64 { return (e.High - e.Low) / 2 }

// Sample is what the model gave over a design: one element for each row. A
// block is the first sample with some inputs taken from the second.
type Sample struct {
	A, B   []float64   // the two independent samples
	Blocks [][]float64 // A with the inputs of a block from B
}

// Indices are variance-based indices of the blocks of a sample.
type Indices struct {
	Rows     int     // rows with a value everywhere, which are those used
	Mean     float64 // of the output, over both samples
	Variance float64
	First    []Estimate // by block
	Total    []Estimate
	draws    []draw // bootstrap draws
}

// draw is one set of indices: of the rows, or of rows drawn again.
type draw struct {
	first, total []float64
	variance     float64
}

// resamples is how many times rows are drawn again for an interval.
const resamples = 500

// NewIndices estimates the indices of every block: first-order by
//
//	V_i = 1/N Σ f(B)(f(A_B^i) − f(A))        (Saltelli et al. 2010, table 2, row b)
//
// and total by
//
//	V_Ti = 1/2N Σ (f(A) − f(A_B^i))²         (Jansen 1999; row f)
//
// over the variance of A and B together, with f less its mean. Intervals are
// percentiles over rows drawn again with replacement (Archer, Saltelli & Sobol'
// 1997). On the scrambled design they are a little too wide: rows drawn at
// random lose what the design gains. Rows in which any run has no value are
// left out. An output that does not vary has indices NaN.
func NewIndices(s Sample, key random.Key) *Indices {
	t := newTerms(s)
	x := &Indices{Rows: t.rows, First: make([]Estimate, len(s.Blocks)), Total: make([]Estimate, len(s.Blocks))}
	if t.rows < 2 {
		return x.without()
	}
	var all []int32
	for r := range t.rows {
		all = append(all, int32(r))
	}
	whole := t.indices(all)
	x.Mean, x.Variance = t.mean, whole.variance
	var pcg rand.PCG
	key.Seed(&pcg)
	dice := rand.New(&pcg)
	rows := make([]int32, t.rows)
	for range resamples {
		for k := range rows {
			rows[k] = int32(dice.IntN(t.rows))
		}
		x.draws = append(x.draws, t.indices(rows))
	}
	for b := range s.Blocks {
		x.First[b] = x.estimate(whole.first[b], func(d *draw) float64 { return d.first[b] })
		x.Total[b] = x.estimate(whole.total[b], func(d *draw) float64 { return d.total[b] })
	}
	return x
}

// without fills in that there is nothing to say.
func (x *Indices) without() *Indices {
	nan := math.NaN()
	x.Mean, x.Variance = nan, nan
	for b := range x.First {
		x.First[b], x.Total[b] = Estimate{nan, nan, nan}, Estimate{nan, nan, nan}
	}
	return x
}

// estimate is a value with its interval over the bootstrap draws.
func (x *Indices) estimate(value float64, of func(*draw) float64) Estimate {
	var all []float64
	for i := range x.draws {
		if v := of(&x.draws[i]); !math.IsNaN(v) {
			all = append(all, v)
		}
	}
	if len(all) == 0 || math.IsNaN(value) {
		return Estimate{math.NaN(), math.NaN(), math.NaN()}
	}
	slices.Sort(all)
	at := func(p float64) float64 { return all[int(p*float64(len(all)-1)+0.5)] }
	return Estimate{value, at(0.025), at(0.975)}
}

// SumFirst is the sum of the first-order indices of some blocks.
func (x *Indices) SumFirst(blocks []int) Estimate {
	value := 0.0
	for _, b := range blocks {
		value += x.First[b].Value
	}
	return x.estimate(value, func(d *draw) float64 {
		sum := 0.0
		for _, b := range blocks {
			sum += d.first[b]
		}
		return sum
	})
}

// Apart is by how much the total index of a block exceeds that of another.
func (x *Indices) Apart(a, b int) Estimate {
	return x.estimate(x.Total[a].Value-x.Total[b].Value, func(d *draw) float64 { return d.total[a] - d.total[b] })
}

// terms are what each row adds to the sums, so that rows can be drawn again cheaply.
type terms struct {
	rows, blocks int
	mean         float64
	a, b         []float64 // less the mean
	gap          []float64 // f(A_B^i) − f(A), by row and block
}

func newTerms(s Sample) *terms {
	t := &terms{blocks: len(s.Blocks)}
	var rows []int
	for r := range s.A {
		whole := !math.IsNaN(s.A[r]) && !math.IsNaN(s.B[r])
		for _, block := range s.Blocks {
			whole = whole && !math.IsNaN(block[r])
		}
		if whole {
			rows = append(rows, r)
			t.mean += s.A[r] + s.B[r]
		}
	}
	t.rows = len(rows)
	t.mean /= float64(2 * max(t.rows, 1))
	for _, r := range rows {
		t.a, t.b = append(t.a, s.A[r]-t.mean), append(t.b, s.B[r]-t.mean)
		for _, block := range s.Blocks {
			t.gap = append(t.gap, block[r]-s.A[r])
		}
	}
	return t
}

// indices are those of some rows.
func (t *terms) indices(rows []int32) draw {
	d := draw{first: make([]float64, t.blocks), total: make([]float64, t.blocks)}
	n := float64(len(rows))
	var sum, square float64
	gaps := make([]float64, t.blocks)
	for _, r := range rows {
		a, b := t.a[r], t.b[r]
		sum += a + b
		square += a*a + b*b
		for i, g := range t.gap[int(r)*t.blocks : (int(r)+1)*t.blocks] {
			d.first[i] += b * g
			d.total[i] += g * g
			gaps[i] += g
		}
	}
	mean := sum / (2 * n)
	d.variance = square/(2*n) - mean*mean
	if !(d.variance > 1e-300) {
		d.variance = math.NaN() // nothing varies: there is nothing to share out
	}
	for i := range t.blocks {
		d.first[i] = (d.first[i] - mean*gaps[i]) / n / d.variance
		d.total[i] /= 2 * n * d.variance
	}
	return d
}
