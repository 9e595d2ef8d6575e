package study

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"rundown/params"
	"rundown/sim"
)

// Mover is an uncertain value of a plan and how the results went with it over
// the runs: Spearman's rank correlations, −1..1.
type Mover struct {
	*params.Value
	Seed  float64 // with the seed in the soil on the last 30 June
	Money float64 // with the mean yearly margin
}

// Strength is the larger of the two, without sign.
func (m Mover) Strength() float64 { return max(math.Abs(m.Seed), math.Abs(m.Money)) }

// mostLooked is how many runs are looked at; more would tell no more.
const mostLooked = 2000

// Movers are the uncertain values of a plan, strongest first. The values that
// each run drew are drawn again, which gives the same: a draw is a function of
// seed and replicate. It is a rough guide, one value at a time; 'rundown
// drivers' splits the spread properly.
func (f *Forecast) Movers() (list []Mover, runs int) {
	w, err := f.Outcome.Model.NewWorker()
	if err != nil {
		return nil, 0 // the model ran; without a worker there is nothing to say
	}
	space := f.Calendar.Space
	runs = min(f.Replicates, mostLooked)
	drawn := make([][]float64, len(space.Values))
	theta := space.Central()
	for k := range runs {
		w.DrawTheta(f.Seed, uint32(k), theta)
		for i, x := range theta {
			drawn[i] = append(drawn[i], x)
		}
	}
	seed := ranks(f.Outcome.Column(sim.SeedbankJune, len(f.Calendar.Seasons)-1)[:runs])
	money := ranks(f.MeanMargin()[:runs])
	for i, v := range space.Values {
		x := ranks(drawn[i])
		list = append(list, Mover{v, correlation(x, seed), correlation(x, money)})
	}
	slices.SortStableFunc(list, func(a, b Mover) int {
		switch d := b.Strength() - a.Strength(); {
		case d > 0:
			return 1
		case d < 0:
			return -1
		}
		return 0
	})
	return list, runs
}

// ranks are the ranks of a sample from 1, ties sharing their mean rank.
func ranks(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case x[a] < x[b]:
			return -1
		case x[a] > x[b]:
			return 1
		}
		return 0
	})
	out := make([]float64, len(x))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && x[order[j]] == x[order[i]] {
			j++
		}
		for k := i; k < j; k++ {
			out[order[k]] = float64(i+j+1) / 2
		}
		i = max(j, i+1) // NaN equals nothing, itself included
	}
	return out
}

// correlation is 0 where one side does not vary.
func correlation(x, y []float64) float64 {
	if c := stat.Correlation(x, y, nil); !math.IsNaN(c) {
		return c
	}
	return 0
}

// RankInterval is a 95 % interval of a rank correlation by Fisher's z, with
// the variance 1.06/(n − 3) of Fieller, Hartley and Pearson (1957, Biometrika).
func RankInterval(rho float64, n int) (low, high float64) {
	if n < 5 || math.Abs(rho) >= 1 {
		return math.NaN(), math.NaN()
	}
	half := 1.96 * math.Sqrt(1.06/float64(n-3))
	return math.Tanh(math.Atanh(rho) - half), math.Tanh(math.Atanh(rho) + half)
}
