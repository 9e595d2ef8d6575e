package drivers

import (
	"rundown/sim"
	"rundown/sim/random"
)

// Options say how an analysis is run.
type Options struct {
	Metric sim.Metric
	Season int // index of the season that inputs are ranked by
	Rows   int // of the design of indices; a power of two uses the sequence best
	Walks  int // trajectories of the screening
	Own    int // how many inputs get indices of their own
	Seed   uint64
	only   []Group // groups with a block, nil for all; a ranking needs none
}

// groups are those of the analysis.
func (o *Options) groups() []Group {
	if o.only != nil {
		return o.only
	}
	return groups
}

// Group is what a block of the design takes from the second sample.
type Group uint8

// Groups. OneInput is a single input, by its place in the list.
const (
	OneInput   Group = iota
	OtherInput       // every input without a block of its own
	FieldDraws       // the infestation's past and the field's yield: drawn once per run, no library value
	Parameters       // every input and the field's draws: all that is not known
	Weather
	Seasons
	Chance
	Luck // weather, seasons and chance
	second
)

// Block is a block of the design.
type Block struct {
	Group Group
	Input int // index in Inputs.List; OneInput only
}

// luckOf tells whether a block takes the luck of a kind from the second sample.
func (g Group) luckOf(k random.Kind) bool {
	switch g {
	case second:
		return true
	case Luck:
		return k != random.Parameters
	case Weather:
		return k == random.Weather
	case Seasons:
		return k == random.Season
	case Chance:
		return k == random.Chance
	case FieldDraws, Parameters:
		return k == random.Parameters
	}
	return false
}

// Design lays out the runs that indices are taken of: rows, each of both samples and of
// every block.
type Design struct {
	Options
	Effects []Effect // by input: the screening that it follows from
	in      *Inputs
	own     []int // inputs with a block and a dimension of the sequence, in its order
	column  []int // by input: its place in own; −1
	blocks  []Block
	sobol   *Sobol
	key     random.Key
}

// Luck indices: those of the second sample and of the screening lie apart from
// those of the first.
const (
	secondLuck = 1 << 30
	walkLuck   = 1 << 31
)

// groups are those that have a block, in the order in which they are run.
var groups = []Group{OtherInput, FieldDraws, Parameters, Seasons, Chance, Luck, Weather}

// NewDesign gives the inputs with the strongest effects indices of their own.
func NewDesign(in *Inputs, o Options, effects []Effect) (*Design, error) {
	d, err := newDesign(in, strongest(effects, o.Own), o.Seed, o.groups())
	if err != nil {
		return nil, err
	}
	d.Options, d.Effects = o, effects
	return d, nil
}

func newDesign(in *Inputs, own []int, seed uint64, groups []Group) (*Design, error) {
	d := &Design{in: in, own: own, column: make([]int, len(in.List)), key: random.Root(seed, random.Parameters, 0).WithText("drivers")}
	for i := range d.column {
		d.column[i] = -1
	}
	for k, i := range own {
		d.column[i] = k
		d.blocks = append(d.blocks, Block{OneInput, i})
	}
	for _, g := range groups {
		d.blocks = append(d.blocks, Block{Group: g})
	}
	var err error
	d.sobol, err = NewSobol(max(1, 2*len(own)), d.key.WithText("scramble"))
	return d, err
}

// runs is the number of runs of a row: both samples and the blocks.
func (d *Design) runs() int { return 2 + len(d.blocks) }

// Runs is how many runs the design takes.
func (d *Design) Runs() int { return d.Rows * d.runs() }

// Replicate makes a run of the design of its index.
func (d *Design) Replicate(w *sim.Worker, run int, r *sim.Replicate) {
	b := Block{}
	switch k := d.order(run % d.runs()); k {
	case First:
		b.Input = -1 // nothing from the second sample
	case Second:
		b.Group = second
	default:
		b = d.blocks[k]
	}
	r.Streams = d.fill(w, run/d.runs(), b, make([]float64, len(d.in.List)), r.Theta)
}

// order is the block that is run k-th, First and Second for the two samples: runs that
// share their weather stand together, so that it is drawn once.
func (d *Design) order(k int) int {
	if k == 0 {
		return First
	}
	if k == d.runs()-1 {
		return Second
	}
	return k - 1
}

// coordinate of an input in the first or the second sample of a row.
func (d *Design) coordinate(input, row int, second bool) float64 {
	if c := d.column[input]; c >= 0 {
		if second {
			c += len(d.own)
		}
		return d.sobol.At(uint32(row), c)
	}
	key := d.key.WithText("first")
	if second {
		key = d.key.WithText("second")
	}
	return key.With(uint64(input)).Uniform(uint64(row))
}

// takes tells whether a block takes an input from the second sample.
func (d *Design) takes(b Block, input int) bool {
	switch b.Group {
	case second, Parameters:
		return true
	case OtherInput:
		return d.column[input] < 0
	case OneInput:
		return b.Input == input
	}
	return false
}

// fill makes the run of a row and block.
func (d *Design) fill(w *sim.Worker, row int, b Block, u, theta []float64) sim.Streams {
	for i := range u {
		u[i] = d.coordinate(i, row, d.takes(b, i))
	}
	d.in.Fill(w, u, theta)
	luck := sim.StreamsOf(uint32(row))
	for k := range luck {
		if b.Group.luckOf(random.Kind(k)) {
			luck[k] += secondLuck
		}
	}
	return luck
}

// UsualRows is the size at which the ranking of the leading inputs is stable
// on the example plans.
const UsualRows = 4096

// WalksFor is how many walks the screening takes for so many rows.
func WalksFor(rows int) int { return min(max(rows/32, 4), 100) }
