package drivers

import (
	"math"
	"testing"

	"rundown/sim/random"
)

// morrisFunction is the test function of Morris (1991, Technometrics
// 33:161–174, section 4): 20 inputs, of which the first ten matter; 8 to 10 act
// linearly, the others through products or a curve. Coefficients that the paper
// draws from a standard normal distribution are drawn so here.
func morrisFunction(key random.Key) func(x []float64) float64 {
	const n = 20
	var one [n]float64
	var two [n][n]float64
	normal := func(tag string, at int) float64 { return random.Normal(key.WithText(tag).Uniform(uint64(at))) }
	for i := range n {
		one[i] = normal("one", i)
		if i < 10 {
			one[i] = 20
		}
		for j := range i {
			two[j][i] = normal("two", n*j+i)
			if i < 6 {
				two[j][i] = -15
			}
		}
	}
	return func(x []float64) float64 {
		var w [n]float64
		for i := range w {
			w[i] = 2 * (x[i] - 0.5)
			if i == 2 || i == 4 || i == 6 {
				w[i] = 2 * (1.1*x[i]/(x[i]+0.1) - 0.5)
			}
		}
		y := normal("none", 0)
		for i := range n {
			y += one[i] * w[i]
			for j := range i {
				y += two[j][i] * w[j] * w[i]
			}
		}
		for i := range 5 {
			for j := range i {
				for k := range j {
					y += -10 * w[i] * w[j] * w[k]
				}
			}
		}
		return y + 5*w[0]*w[1]*w[2]*w[3]
	}
}

func walked(inputs, n int, seed uint64, f func(x []float64) float64) []Effect {
	key := random.Root(seed, random.Parameters, 0)
	var walks []Trajectory
	var outputs [][]float64
	x := make([]float64, inputs)
	for k := range n {
		t := NewTrajectory(inputs, key.With(uint64(k)))
		walks = append(walks, t)
		var y []float64
		for step := range inputs + 1 {
			t.Point(step, x)
			y = append(y, f(x))
		}
		outputs = append(outputs, y)
	}
	return Effects(walks, outputs)
}

// What Morris found in figure 1 of his paper, with four trajectories: the first
// ten inputs stand apart from the rest, and of these 8, 9 and 10 have a mean
// effect near 40 (the slope 2·20) with little spread, while 1 to 5 spread widely.
func TestMorrisOwnFunction(t *testing.T) {
	e := walked(20, 4, 1, morrisFunction(random.Root(9, random.Parameters, 0)))
	least, most := math.Inf(1), 0.0
	for i := range e {
		t.Logf("input %2d: mean %6.1f, mean size %5.1f, sd %5.1f", i+1, e[i].Mu, e[i].MuStar, e[i].Sigma)
		if i < 10 {
			least = min(least, e[i].MuStar)
		} else {
			most = max(most, e[i].MuStar)
		}
	}
	if least < 1.5*most {
		t.Errorf("the least of the first ten effects is %.1f, the largest of the others %.1f", least, most)
	}
	for i := 7; i < 10; i++ {
		if math.Abs(e[i].Mu-40) > 10 || e[i].Sigma > 12 {
			t.Errorf("input %d acts linearly with slope 40; its effects have mean %.1f, sd %.1f", i+1, e[i].Mu, e[i].Sigma)
		}
	}
	for i := range 5 {
		if e[i].Sigma < 20 {
			t.Errorf("input %d acts through products; its effects have sd %.1f only", i+1, e[i].Sigma)
		}
	}
}

// Exact effects: of a linear model its coefficients; of an ignored input none;
// of a product the mean size differs from the mean, which cancels.
func TestExactEffects(t *testing.T) {
	e := walked(4, 200, 2, func(x []float64) float64 { return 3*x[0] - 2*x[1] + 0*x[2] })
	for i, want := range []Effect{{MuStar: 3, Mu: 3, Root: 3}, {MuStar: 2, Mu: -2, Root: 2}, {}, {}} {
		if math.Abs(e[i].Mu-want.Mu) > 1e-9 || math.Abs(e[i].MuStar-want.MuStar) > 1e-9 || math.Abs(e[i].Root-want.Root) > 1e-9 || e[i].Sigma > 1e-9 ||
			e[i].Error > 1e-9 {
			t.Errorf("input %d: %+v, expected %+v", i+1, e[i], want)
		}
	}
	// d/dx of (x − ½)(y − ½) is ±½ or ±1/6 with either sign: mean 0, mean size 1/3.
	e = walked(2, 4000, 3, func(x []float64) float64 { return (x[0] - 0.5) * (x[1] - 0.5) })
	for i := range e {
		if math.Abs(e[i].Mu) > 5*0.37/math.Sqrt(4000) || math.Abs(e[i].MuStar-1.0/3) > 5*0.17/math.Sqrt(4000) {
			t.Errorf("input %d of a product: %+v, expected mean 0 and mean size 1/3 (five standard errors)", i+1, e[i])
		}
	}
}

// A walk stays in the cube, on the grid, and moves each input once.
func TestTrajectory(t *testing.T) {
	x := make([]float64, 9)
	for k := range uint64(100) {
		w := NewTrajectory(9, random.Root(4, random.Parameters, 0).With(k))
		moved := make([]int, 9)
		for _, i := range w.Order {
			moved[i]++
		}
		for _, n := range moved {
			if n != 1 {
				t.Fatalf("order %v does not move each input once", w.Order)
			}
		}
		for step := range 10 {
			w.Point(step, x)
			for _, v := range x {
				if v < -1e-12 || v > 1+1e-12 || math.Abs(3*v-math.Round(3*v)) > 1e-9 {
					t.Fatalf("coordinate %v is not on the grid 0, 1/3, 2/3, 1", v)
				}
			}
		}
	}
}
