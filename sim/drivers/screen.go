package drivers

import (
	"math"
	"slices"

	"rundown/sim"
	"rundown/sim/random"
)

// margins of the cube: a walk goes from the 5 % to the 95 % point of an input.
const (
	lowPoint  = 0.05
	highPoint = 0.95
)

// Screening is walks through the inputs, each under its own luck.
type Screening struct {
	Options
	in    *Inputs
	walks []Trajectory
}

// NewScreening lays the walks out.
func NewScreening(in *Inputs, o Options) *Screening {
	s := &Screening{Options: o, in: in, walks: make([]Trajectory, o.Walks)}
	key := random.Root(o.Seed, random.Parameters, 0).WithText("drivers/walks")
	for k := range s.walks {
		s.walks[k] = NewTrajectory(len(in.List), key.With(uint64(k)))
	}
	return s
}

// steps is how many runs a walk takes.
func (s *Screening) steps() int { return len(s.in.List) + 1 }

// Runs is how many runs all take.
func (s *Screening) Runs() int { return len(s.walks) * s.steps() }

// Replicate makes a run of the screening of its index.
func (s *Screening) Replicate(w *sim.Worker, run int, r *sim.Replicate) {
	u := make([]float64, len(s.in.List))
	walk, step := run/s.steps(), run%s.steps()
	s.walks[walk].Point(step, u)
	for i := range u {
		u[i] = lowPoint + (highPoint-lowPoint)*u[i]
	}
	s.in.Fill(w, u, r.Theta)
	r.Streams = sim.StreamsOf(walkLuck + uint32(walk))
}

// Effects are those of every input on the season that inputs are ranked by, of what its
// runs gave.
func (s *Screening) Effects(out []float64) []Effect {
	out = s.scaled(out)
	outputs := make([][]float64, len(s.walks))
	for k := range outputs {
		outputs[k] = out[k*s.steps() : (k+1)*s.steps()]
	}
	return Effects(s.walks, outputs)
}

// strongest are the inputs with the largest effects in root mean square,
// largest first.
func strongest(effects []Effect, n int) []int {
	order := make([]int, len(effects))
	for i := range order {
		order[i] = i
	}
	size := func(i int) float64 {
		if math.IsNaN(effects[i].Root) {
			return -1
		}
		return effects[i].Root
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case size(a) > size(b):
			return -1
		case size(a) < size(b):
			return 1
		}
		return 0
	})
	return order[:min(n, len(order))]
}
