package drivers

import (
	"math"

	"rundown/sim/random"
)

// levels is how many values of each input a trajectory may visit, an even
// number; a step goes half of the levels up or down, levels/2/(levels−1) of the
// range, so that every value is as likely as any other (Morris 1991).
const levels = 4

// stride is the size of a step, as a share of the range.
const stride = float64(levels/2) / float64(levels-1)

// Trajectory is a walk through the grid of the unit cube in which each input
// moves once, in random order.
type Trajectory struct {
	Start []float64 // values on the grid, 0..1
	Order []int     // which input moves at each step
	Up    []bool    // by input: it moves up by the stride, not down
}

// NewTrajectory draws one.
func NewTrajectory(inputs int, key random.Key) Trajectory {
	t := Trajectory{Start: make([]float64, inputs), Order: make([]int, inputs), Up: make([]bool, inputs)}
	for i := range inputs {
		level := int(key.WithText("level").Uniform(uint64(i)) * levels)
		t.Start[i] = float64(level) / (levels - 1)
		t.Up[i] = level < levels/2
		j := int(key.WithText("order").Uniform(uint64(i)) * float64(i+1)) // Fisher–Yates, inside out
		t.Order[i] = t.Order[j]
		t.Order[j] = i
	}
	return t
}

// Point fills x with where the walk is after so many steps.
func (t *Trajectory) Point(steps int, x []float64) {
	copy(x, t.Start)
	for _, i := range t.Order[:steps] {
		if t.Up[i] {
			x[i] += stride
		} else {
			x[i] -= stride
		}
	}
}

// Effect is what is known of an input's elementary effects, in units of the
// output for the whole range of the input.
type Effect struct {
	MuStar float64 // mean of their sizes (Campolongo, Cariboni & Saltelli 2007, Environ. Model. Softw. 22:1509–1518)
	Mu     float64 // mean (Morris 1991, Technometrics 33:161–174)
	Sigma  float64 // standard deviation: the effect differs from place to place
	Error  float64 // standard error of MuStar
	// Root is the root of the mean of their squares, by which inputs are chosen:
	// variance goes by squares, and a value that does much, but rarely (a threshold
	// that is seldom reached), has a small MuStar and may have a large index.
	Root float64
}

// Effects are the effects of every input from the outputs along the
// trajectories: one for the start and one after each step. An effect with an
// output that has no value is left out.
func Effects(walks []Trajectory, outputs [][]float64) []Effect {
	inputs := len(walks[0].Start)
	found := make([][]float64, inputs)
	for k, t := range walks {
		for step, i := range t.Order {
			d := (outputs[k][step+1] - outputs[k][step]) / stride
			if !t.Up[i] {
				d = -d
			}
			if !math.IsNaN(d) {
				found[i] = append(found[i], d)
			}
		}
	}
	out := make([]Effect, inputs)
	for i, all := range found {
		out[i] = effect(all)
	}
	return out
}

func effect(all []float64) (e Effect) {
	n := float64(len(all))
	if n == 0 {
		nan := math.NaN()
		return Effect{nan, nan, nan, nan, nan}
	}
	for _, d := range all {
		e.Mu += d / n
		e.MuStar += math.Abs(d) / n
		e.Root += d * d / n
	}
	e.Root = math.Sqrt(e.Root)
	if n == 1 {
		e.Sigma, e.Error = math.NaN(), math.NaN()
		return e
	}
	var around, sizes float64
	for _, d := range all {
		around += (d - e.Mu) * (d - e.Mu)
		sizes += (math.Abs(d) - e.MuStar) * (math.Abs(d) - e.MuStar)
	}
	e.Sigma = math.Sqrt(around / (n - 1))
	e.Error = math.Sqrt(sizes / (n - 1) / n)
	return e
}
