package drivers

import (
	"context"
	"fmt"
	"slices"

	"rundown/sim"
	"rundown/sim/random"
)

// Analysis is what drives an output of a model.
type Analysis struct {
	Options
	Inputs  *Inputs
	Effects []Effect // by input: the screening
	Blocks  []Block
	Seasons []*Indices // by season; blocks as Blocks
	Runs    int

	design  *design
	outputs []float64 // of every run of the design, in the season that inputs are ranked by
}

// Cost is the number of runs that an analysis takes: of the screening and of
// the indices.
func Cost(m *sim.Model, o Options) (screening, indices int) {
	inputs := len(NewInputs(m).List)
	return o.Walks * (inputs + 1), o.Rows * (2 + min(o.Own, inputs) + len(o.groups()))
}

// groups are those of the analysis.
func (o *Options) groups() []Group {
	if o.only != nil {
		return o.only
	}
	return groups
}

// Analyse screens every input, then shares out the spread among the strongest,
// the rest and luck. When the context ends it gives its error and no result.
func Analyse(ctx context.Context, m *sim.Model, o Options) (*Analysis, error) {
	if o.Season < 0 || o.Season >= m.Seasons() {
		return nil, fmt.Errorf("season %d was asked for; the plan has %d", o.Season+1, m.Seasons())
	}
	if o.Rows < 2 || o.Walks < 1 || o.Own < 0 {
		return nil, fmt.Errorf("%d rows, %d walks and %d inputs of their own were asked for; at least 2, 1 and 0 are needed", o.Rows, o.Walks, o.Own)
	}
	a := &Analysis{Options: o, Inputs: NewInputs(m)}
	screening, indices := Cost(m, o)
	a.Runs = screening + indices
	progress := func(before int) func(int) {
		if o.Progress == nil {
			return nil
		}
		return func(done int) { o.Progress(before+done, a.Runs) }
	}
	var err error
	if a.Effects, err = screen(ctx, m, a.Inputs, &o, progress(0)); err != nil {
		return nil, err
	}
	d, err := newDesign(a.Inputs, strongest(a.Effects, o.Own), o.Seed, o.groups())
	if err != nil {
		return nil, err
	}
	a.Blocks, a.design = d.blocks, d
	per := d.runs()
	runs := o.batch(m, Sharing, len(a.Inputs.List), o.Rows*per, progress(screening))
	runs.fill = func(w *sim.Worker, run int, u, theta []float64) sim.Streams {
		b := Block{}
		switch k := d.order(run % per); k {
		case -2:
			b.Input = -1 // nothing from the second sample
		case -1:
			b.Group = second
		default:
			b = d.blocks[k]
		}
		return d.fill(w, run/per, b, u, theta)
	}
	out, err := runs.run(ctx)
	if err != nil {
		return nil, err
	}
	a.outputs = out[o.Season]
	key := random.Root(o.Seed, random.Parameters, 0).WithText("drivers/bootstrap")
	for s := range out {
		a.Seasons = append(a.Seasons, NewIndices(d.sample(out[s]), key.With(uint64(s))))
	}
	return a, nil
}

// batch is so many runs of an analysis, without what fills them.
func (o *Options) batch(m *sim.Model, stage Stage, inputs, runs int, progress func(done int)) *batch {
	return &batch{m: m, metric: o.Metric, scale: ScaleOf(o.Metric), seed: o.Seed, jobs: o.Jobs, runs: runs, inputs: inputs, progress: progress, maker: o.Maker, stage: stage}
}

// sample sorts the outputs of all runs into the samples and blocks.
func (d *design) sample(out []float64) Sample {
	per := d.runs()
	rows := len(out) / per
	s := Sample{Blocks: make([][]float64, len(d.blocks))}
	for row := range rows {
		for k, x := range out[row*per : (row+1)*per] {
			switch b := d.order(k); b {
			case -2:
				s.A = append(s.A, x)
			case -1:
				s.B = append(s.B, x)
			default:
				s.Blocks[b] = append(s.Blocks[b], x)
			}
		}
	}
	return s
}

// Block is the place of a group among the blocks.
func (a *Analysis) Block(g Group) int {
	return slices.IndexFunc(a.Blocks, func(b Block) bool { return b.Group == g })
}

// Ranked are the blocks of single inputs by their total index in the season
// that inputs are ranked by, largest first.
func (a *Analysis) Ranked() []int {
	var out []int
	for i, b := range a.Blocks {
		if b.Group == OneInput {
			out = append(out, i)
		}
	}
	total := a.Seasons[a.Season].Total
	slices.SortStableFunc(out, func(x, y int) int {
		switch {
		case total[x].Value > total[y].Value:
			return -1
		case total[x].Value < total[y].Value:
			return 1
		}
		return 0
	})
	return out
}

// Screened are the inputs by the size of their elementary effects, largest first.
func (a *Analysis) Screened() []int { return strongest(a.Effects, len(a.Effects)) }

// Scale is the scale on which the spread is shared out.
func (a *Analysis) Scale() Scale { return ScaleOf(a.Metric) }
