package drivers

import (
	"context"
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

// screen walks through the inputs, each walk under its own luck, and gives the
// effect of every input on the season that inputs are ranked by.
func screen(ctx context.Context, m *sim.Model, in *Inputs, o *Options, progress func(done int)) ([]Effect, error) {
	n := len(in.List) + 1
	key := random.Root(o.Seed, random.Parameters, 0).WithText("drivers/walks")
	walks := make([]Trajectory, o.Walks)
	for k := range walks {
		walks[k] = NewTrajectory(len(in.List), key.With(uint64(k)))
	}
	b := o.batch(m, Screening, len(in.List), o.Walks*n, progress)
	b.fill = func(w *sim.Worker, run int, u, theta []float64) sim.Streams {
		walks[run/n].Point(run%n, u)
		for i := range u {
			u[i] = lowPoint + (highPoint-lowPoint)*u[i]
		}
		in.Fill(w, u, theta)
		return sim.StreamsOf(walkLuck + uint32(run/n))
	}
	out, err := b.run(ctx)
	if err != nil {
		return nil, err
	}
	outputs := make([][]float64, o.Walks)
	for k := range outputs {
		outputs[k] = out[o.Season][k*n : (k+1)*n]
	}
	return Effects(walks, outputs), nil
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
