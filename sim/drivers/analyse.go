package drivers

import (
	"fmt"
	"slices"

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

	design  *Design
	outputs []float64 // of every run of the design, in the season that inputs are ranked by
}

// Refuses is why a plan of so many seasons cannot be analysed so; nil: it can.
func (o *Options) Refuses(seasons int) error {
	if o.Season < 0 || o.Season >= seasons {
		return fmt.Errorf("season %d was asked for; the plan has %d", o.Season+1, seasons)
	}
	if o.Rows < 2 || o.Walks < 1 || o.Own < 0 {
		return fmt.Errorf("%d rows, %d walks and %d inputs of their own were asked for; at least 2, 1 and 0 are needed", o.Rows, o.Walks, o.Own)
	}
	return nil
}

// Cost is the number of runs that an analysis takes: of the screening and of
// the indices.
func (in *Inputs) Cost(o Options) (screening, indices int) {
	return o.Walks * (len(in.List) + 1), o.Rows * (2 + min(o.Own, len(in.List)) + len(o.groups()))
}

// Analysis shares out the spread of what the runs of the design gave, by season and run.
func (d *Design) Analysis(out [][]float64) *Analysis {
	a := &Analysis{Options: d.Options, Inputs: d.in, Effects: d.Effects, Blocks: d.blocks, design: d}
	screening, indices := d.in.Cost(d.Options)
	a.Runs = screening + indices
	key := random.Root(d.Seed, random.Parameters, 0).WithText("drivers/bootstrap")
	for s := range out {
		scaled := d.scaled(out[s])
		a.Seasons = append(a.Seasons, NewIndices(d.sample(scaled), key.With(uint64(s))))
		if s == d.Season {
			a.outputs = scaled
		}
	}
	return a
}

// scaled are outputs on the scale on which they are shared out.
func (o *Options) scaled(out []float64) []float64 {
	scaled := make([]float64, len(out))
	for i, x := range out {
		scaled[i] = ScaleOf(o.Metric).Apply(x)
	}
	return scaled
}

// sample sorts the outputs of all runs into the samples and blocks.
func (d *Design) sample(out []float64) Sample {
	per := d.runs()
	rows := len(out) / per
	s := Sample{Blocks: make([][]float64, len(d.blocks))}
	for row := range rows {
		for k, x := range out[row*per : (row+1)*per] {
			switch b := d.order(k); b {
			case First:
				s.A = append(s.A, x)
			case Second:
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
