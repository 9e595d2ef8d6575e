package drivers

import (
	"math"
	"testing"

	"rundown/sim/random"
)

// testFunction is a function of the unit cube with known indices.
type testFunction struct {
	name         string
	inputs       int
	f            func(x []float64) float64
	first, total []float64
}

// sampled runs a function over a scrambled design of so many rows.
func (t *testFunction) sampled(tb testing.TB, rows int, seed uint64) Sample {
	tb.Helper()
	sobol, err := NewSobol(2*t.inputs, random.Root(seed, random.Parameters, 0))
	if err != nil {
		tb.Fatal(err)
	}
	s := Sample{Blocks: make([][]float64, t.inputs)}
	a, b, x := make([]float64, t.inputs), make([]float64, t.inputs), make([]float64, t.inputs)
	for row := range rows {
		for d := range t.inputs {
			a[d], b[d] = sobol.At(uint32(row), d), sobol.At(uint32(row), t.inputs+d)
		}
		s.A, s.B = append(s.A, t.f(a)), append(s.B, t.f(b))
		for d := range t.inputs {
			copy(x, a)
			x[d] = b[d]
			s.Blocks[d] = append(s.Blocks[d], t.f(x))
		}
	}
	return s
}

// ishigami is the function of Ishigami & Homma (1990) with a = 7, b = 0.1, and
// a fourth input that it ignores. Its indices follow from V = a²/8 + bπ⁴/5 +
// b²π⁸/18 + 1/2, V_1 = (1 + bπ⁴/5)²/2, V_2 = a²/8, V_13 = 8b²π⁸/225 and are
// printed as 0.3139, 0.4424, 0 and 0.5576, 0.4424, 0.2437 (Saltelli et al. 2008,
// Global Sensitivity Analysis: The Primer, section 4; from memory).
func ishigami() *testFunction {
	return &testFunction{
		name: "Ishigami", inputs: 4,
		f: func(x []float64) float64 {
			at := func(i int) float64 { return math.Pi * (2*x[i] - 1) }
			s := math.Sin(at(1))
			return math.Sin(at(0)) + 7*s*s + 0.1*math.Pow(at(2), 4)*math.Sin(at(0))
		},
		first: []float64{0.3139, 0.4424, 0, 0},
		total: []float64{0.5576, 0.4424, 0.2437, 0},
	}
}

// gFunction is the product of (|4x − 2| + a)/(1 + a) of Sobol' (1993, Math.
// Model. Comput. Exp. 1:407–414) at the coefficients 0, 1, 4.5, 9, 99 × 4 that
// Saltelli et al. (2010, Comput. Phys. Commun. 181:259–270) and others use. Its
// indices follow from V_i = 1/(3(1 + a_i)²), 1 + V = Π (1 + V_i).
func gFunction() *testFunction {
	a := []float64{0, 1, 4.5, 9, 99, 99, 99, 99}
	t := &testFunction{name: "g", inputs: len(a), f: func(x []float64) float64 {
		y := 1.0
		for i := range a {
			y *= (math.Abs(4*x[i]-2) + a[i]) / (1 + a[i])
		}
		return y
	}}
	product := 1.0
	part := func(i int) float64 { return 1 / (3 * (1 + a[i]) * (1 + a[i])) }
	for i := range a {
		product *= 1 + part(i)
	}
	for i := range a {
		t.first = append(t.first, part(i)/(product-1))
		t.total = append(t.total, part(i)*product/(1+part(i))/(product-1))
	}
	return t
}

// linear is Σ c_i x_i, whose indices are c_i²/Σc², first-order and total alike.
func linear() *testFunction {
	c := []float64{4, 3, 2, 1, 0.5}
	t := &testFunction{name: "linear", inputs: len(c), f: func(x []float64) (y float64) {
		for i := range c {
			y += c[i] * x[i]
		}
		return y
	}}
	sum := 0.0
	for _, v := range c {
		sum += v * v
	}
	for _, v := range c {
		t.first = append(t.first, v*v/sum)
	}
	t.total = t.first
	return t
}
