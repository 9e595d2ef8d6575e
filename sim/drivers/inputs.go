package drivers

import (
	"math"

	"rundown/params"
	"rundown/sim"
	"rundown/sim/random"
)

// Input is one thing that is not known about a field or its weed and that runs
// draw independently of all others.
type Input struct {
	Path  string        // of the value; "constraint/…" for what is known of a product of values
	Label string        // in words
	Short string        // at most 28 characters
	Unit  string        // "" for a pure departure
	Grade params.Grade  // of the evidence
	From  string        // source of the value, as the library cites it
	Value *params.Value // nil for a constraint
	For   *params.Value // of a constraint: the weed's value that is set to meet it
	// Middle of what is drawn, and the points below which one in twenty and
	// nineteen in twenty are; of the old share, of what is known of it beforehand.
	Middle, P05, P95 float64
	at               int // in theta; −1 for a constraint
}

// The inputs that take the place of two of the weed's values.
const (
	PathReturn = "constraint/seed_return"
	PathOld    = "constraint/old_share"
)

// Inputs are the independent inputs of a model, in order of path: its uncertain
// values, with two of the weed's replaced by what is known of the yearly cycle.
type Inputs struct {
	List        []Input
	values      []*params.Value // theta
	heads       int             // index of heads per plant in theta; −1: not drawn
	Own         *sim.OwnReturn  // what a user's values do to what one seed returns; nil: nothing
	returns, of int             // indices in List of the two constraints; −1: none
	middle, sd  float64         // of what one seed returns: sim.Worker.KnownReturn
}

// NewInputs lists the inputs of a model.
func NewInputs(m *sim.Model) (*Inputs, error) {
	c := m.Calendar()
	w, err := m.NewWorker()
	if err != nil {
		return nil, err
	}
	in := &Inputs{values: c.Space.Values, Own: m.OwnReturn(), returns: -1, of: -1}
	ready := c.Space.Index("weeds/" + c.Weed.Name + "/old_ready_share")
	in.heads = c.Space.Index("weeds/" + c.Weed.Name + "/heads_per_plant")
	if ready >= 0 {
		in.of = len(in.List)
		in.List = append(in.List, oldShare(c.Weed, c.Space.Values[ready]))
	}
	if in.heads >= 0 {
		in.returns = len(in.List)
		in.middle, in.sd = w.KnownReturn()
		in.List = append(in.List, seedReturn(c.Weed, in.middle, in.sd, c.Space.Values[in.heads]))
	}
	for i, v := range c.Space.Values {
		if i != ready && i != in.heads {
			in.List = append(in.List, Input{Path: v.Path, Label: v.Label, Short: v.Short, Unit: v.Unit, Grade: v.Grade, From: v.Source, Value: v,
				Middle: v.Quantile(0.5), P05: v.Quantile(0.05), P95: v.Quantile(0.95), at: i})
		}
	}
	return in, nil
}

// inTwenty is the standard normal quantile of 0.95.
const inTwenty = 1.6449

func oldShare(weed *params.Entry, set *params.Value) Input {
	v, sd := weed.Value("old_share_target"), weed.Value("old_share_target_sd").Central
	return Input{Path: PathOld, Label: "share of plants from old seed", Short: "plants from old seed",
		Unit: v.Unit, Grade: v.Grade, From: v.Source, For: set, at: -1,
		Middle: v.Central, P05: max(0, v.Central-inTwenty*sd), P95: min(1, v.Central+inTwenty*sd)}
}

func seedReturn(weed *params.Entry, middle, sd float64, set *params.Value) Input {
	v := weed.Value("return_target")
	return Input{Path: PathReturn, Label: "what one seed returns a year", Short: "seed returned a year",
		Unit: v.Unit, Grade: v.Grade, From: v.Source, For: set, at: -1,
		Middle: middle, P05: middle * math.Exp(-inTwenty*sd), P95: middle * math.Exp(inTwenty*sd)}
}

// Index is the place of a path in the list; −1 when it is not in it.
func (in *Inputs) Index(path string) int {
	for i := range in.List {
		if in.List[i].Path == path {
			return i
		}
	}
	return -1
}

// Fill makes theta of a point of the unit cube, one coordinate in (0, 1) for
// each input.
func (in *Inputs) Fill(w *sim.Worker, u, theta []float64) {
	for i, x := range in.List {
		if x.at >= 0 {
			theta[x.at] = x.Value.Quantile(u[i])
		}
	}
	var returned, old float64
	if in.of >= 0 {
		old = random.Normal(u[in.of])
	}
	if in.returns >= 0 {
		returned = in.middle * math.Exp(in.sd*random.Normal(u[in.returns]))
		theta[in.heads] = in.values[in.heads].Central // whatever the last run left; it is scaled
	}
	w.Project(theta, returned, old)
}

// Scale is the scale on which the spread of an output is shared out.
type Scale uint8

// Scales.
const (
	Plain   Scale = iota // as it is
	Log                  // log(1 + x)
	LogCent              // log(1 + 100 x), for a share: log(1 + per cent)
)

// ScaleOf is the scale for a metric: densities and losses are skewed, and few
// runs far out would make up all of their variance.
func ScaleOf(m sim.Metric) Scale {
	return map[sim.Axis]Scale{sim.AxisPlain: Plain, sim.AxisLog: Log, sim.AxisShare: LogCent}[sim.Metrics[m].Form.Axis]
}

// Apply puts a value on the scale; NaN stays NaN.
func (s Scale) Apply(x float64) float64 {
	switch s {
	case Log:
		return math.Log1p(x)
	case LogCent:
		return math.Log1p(100 * x)
	}
	return x
}

// String names the scale in words.
func (s Scale) String() string {
	return [...]string{"as it is", "log(1 + x)", "log(1 + per cent)"}[s]
}
