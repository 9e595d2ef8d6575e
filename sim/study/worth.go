package study

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/ensemble"
)

// ChosenFrom is the index of the first of the runs on which worth and its like choose: what is
// chosen is then valued on the runs of a forecast, which the choice never saw.
const ChosenFrom = 1_000_000

// Truth stands for a look that sees what is there.
const Truth = -2

// WorthRequest asks what a plan's rule is worth, and a better look. Money is the value a year,
// with what the seed left behind costs.
type WorthRequest struct {
	Calendar   *rotations.Calendar
	Against    []*rotations.Calendar // more fixed plans
	Names      []string              // of those
	Rule       int                   // which of the calendar's Rulings
	Quadrats   []int                 // to try; Truth is tried besides
	Thresholds []float64             // to try, besides always and never; nil: about the plan's own
	Replicates int                   // to value on
	Choosing   int                   // to choose on
	Seed       uint64

	ruling     rotations.Ruling
	written    Bound // its threshold
	plans      map[string]*candidate
	choose, at []string // keys of what is run in each round
	fixed      []string
}

// candidate is one way of farming that is tried.
type candidate struct {
	*rotations.Calendar // with what is grown afterwards
	words               string
}

// Bound is a threshold, or that the rule always holds, or never.
type Bound struct {
	X             float64
	Always, Never bool
}

func (b Bound) key(quadrats int) string {
	switch {
	case b.Always:
		return "always"
	case b.Never:
		return "never"
	}
	return fmt.Sprintf("%d quadrats, threshold %v", quadrats, b.X)
}

// Estimate is a mean with the half-width of its 95 % interval.
type Estimate struct{ Mean, Error float64 }

func estimate(x []float64) Estimate { return Estimate{mean(x), decide.MeanError(x)} }

// Glance is what a number of quadrats is worth, with the threshold that was chosen for it.
type Glance struct {
	Quadrats  int // Truth: what is there is seen
	Threshold Bound
	Value     Estimate // a year, per ha, before the cost of counting, over the better of always and never
	Cost      float64  // a year, per ha
	Net       Estimate // less the cost
	AsGood    bool     // as the best, as far as these runs tell
	Written   Estimate // as Value, with the threshold of the plan as written
	Fewest    Estimate // Written over that of the fewest quadrats
}

// ThresholdPoint is what a threshold is worth with the plan's own counting.
type ThresholdPoint struct {
	Bound
	Value  Estimate // a year, per ha, its cost taken off
	Less   Estimate // than the best
	AsGood bool     // as the best, as far as these runs tell
	Margin float64  // mean a year, within the plan
	Seed   float64  // median at the end, per m²
}

// DecidesAs tells whether another threshold decides alike in every run, so that all it gives
// is the same.
func (p *ThresholdPoint) DecidesAs(q *ThresholdPoint) bool {
	return p.Value == q.Value && p.Margin == q.Margin && p.Seed == q.Seed
}

// Worth is what was found.
type Worth struct {
	WorthRequest
	Ruling    rotations.Ruling
	RuleValue Estimate // of the plan as written, over the best fixed plan
	BestFixed string   // in words
	Fixed     []FixedValue
	By        []Glance
	BestLook  int // in By, by Net on the choosing runs
	Points    []ThresholdPoint
	BestPoint int
}

// FixedValue is a fixed plan on the choosing runs.
type FixedValue struct {
	Words string
	Value Estimate // a year, per ha
}

// usualLooks are the numbers of quadrats that are tried.
var usualLooks = []int{5, 10, 20, 40, 80}

// prepare makes the calendars that are tried.
func (q *WorthRequest) prepare() error {
	rulings := q.Calendar.Rulings()
	if q.Rule < 0 || q.Rule >= len(rulings) {
		return fmt.Errorf("the plan has %d rules with a threshold", len(rulings))
	}
	q.ruling, q.plans = rulings[q.Rule], map[string]*candidate{}
	if q.Quadrats == nil {
		q.Quadrats = usualLooks
	}
	if q.Thresholds == nil {
		q.Thresholds = thresholds(q.ruling.Threshold)
	}
	slices.Sort(q.Thresholds)
	q.choose, q.fixed = nil, nil
	if err := q.addFixed(); err != nil {
		return err
	}
	for _, b := range []Bound{{Always: true}, {Never: true}} {
		if err := q.addBound(b, own); err != nil {
			return err
		}
	}
	for _, x := range q.Thresholds {
		for _, n := range append(slices.Clone(q.Quadrats), Truth, own) {
			if err := q.addBound(Bound{X: x}, n); err != nil {
				return err
			}
		}
	}
	q.written = Bound{X: q.ruling.Threshold}
	if !slices.Contains(q.Thresholds, q.written.X) { // valued alone, not chosen among
		chosen := q.choose
		for _, n := range append(slices.Clone(q.Quadrats), Truth) {
			if err := q.addBound(q.written, n); err != nil {
				return err
			}
		}
		q.choose = chosen
	}
	return q.add("as written", "as written", q.Calendar)
}

// own stands for the counting of the plan.
const own = -1

// thresholds are some about a plan's own, by steps of 1.4 and 2.
func thresholds(own float64) []float64 {
	var out []float64
	for _, f := range []float64{0.125, 0.25, 0.5, 1 / math.Sqrt2, 1, math.Sqrt2, 2, 4, 8} {
		x := math.Max(own, 0.5) * f
		if f != 1 {
			x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 2, 64), 64)
		} else if own > 0 {
			x = own
		}
		out = append(out, x)
	}
	return out
}

func (q *WorthRequest) add(key, words string, c *rotations.Calendar) error {
	more, err := c.Continued(rotations.Behind{})
	if err != nil {
		return err
	}
	q.plans[key] = &candidate{more, words}
	q.choose = append(q.choose, key)
	return nil
}

func (q *WorthRequest) addFixed() error {
	list, err := q.Calendar.FixedPlans()
	if err != nil {
		return err
	}
	for _, f := range list {
		key := "fixed: " + f.Words
		q.fixed = append(q.fixed, key)
		if err := q.add(key, f.Words, f.Calendar); err != nil {
			return err
		}
	}
	for i, c := range q.Against {
		key := "against: " + q.Names[i]
		q.fixed = append(q.fixed, key)
		if err := q.add(key, q.Names[i], c); err != nil {
			return err
		}
	}
	return nil
}

// addBound adds the plan with the rule's threshold moved, and so many quadrats counted.
func (q *WorthRequest) addBound(b Bound, quadrats int) (err error) {
	var c *rotations.Calendar
	if b.Always || b.Never {
		c, err = q.Calendar.WithRule(q.ruling, b.Always)
	} else {
		c, err = q.Calendar.WithThreshold(q.ruling, b.X)
	}
	if err != nil {
		return err
	}
	if quadrats != own {
		c = c.WithQuadrats(max(quadrats, 0)) // Truth: all of the field
	}
	return q.add(b.key(quadrats), "", c)
}

// worthKeeps are the metrics that values are made of.
var worthKeeps = []sim.Metric{sim.Margin, sim.TakenByWeeds, sim.Looking, sim.SeedAfter, sim.Branch}

// Runs are two rounds: everything to choose among, on runs of its own; then what was chosen,
// on those of a forecast.
func (q *WorthRequest) Runs(given []Outcomes) ([]Runs, error) {
	r := Runs{Seed: q.Seed, Keep: worthKeeps}
	switch len(given) {
	case 0:
		if err := q.prepare(); err != nil {
			return nil, err
		}
		r.Round, r.Replicates, r.First = Choosing, q.Choosing, ChosenFrom
		r.Calendars = q.calendars(q.choose)
	case 1:
		q.at = q.valued(q.values(q.choose, given[0]))
		r.Replicates, r.Calendars = q.Replicates, q.calendars(q.at)
	default:
		return nil, nil
	}
	return []Runs{r}, nil
}

func (q *WorthRequest) calendars(keys []string) []*rotations.Calendar {
	var out []*rotations.Calendar
	for _, k := range keys {
		out = append(out, q.plans[k].Calendar)
	}
	return out
}

// valuation is the value a year of a candidate, by replicate, and what it spent on looking.
type valuation struct {
	net, looking []float64
	outcome      *ensemble.Outcome
}

func (q *WorthRequest) values(keys []string, given Outcomes) map[string]valuation {
	out := map[string]valuation{}
	for i, k := range keys {
		c := q.plans[k].Calendar
		v := ValueOf(c, given[i])
		out[k] = valuation{v.Year, lookingAYear(c, given[i]), given[i]}
	}
	return out
}

// lookingAYear is what was spent on looking, as an equal yearly sum over the plan's years.
func lookingAYear(c *rotations.Calendar, o *ensemble.Outcome) []float64 {
	out, sum, worth := make([]float64, o.Replicates), 0.0, 1.0
	for i := range len(c.Seasons) - c.After {
		worth /= 1 + c.Discount
		sum += worth
		add(out, o.Column(sim.Looking, i), worth)
	}
	for k := range out {
		out[k] /= sum
	}
	return out
}

// before is a value before the cost of looking.
func (v *valuation) before() []float64 {
	out := slices.Clone(v.net)
	for k := range out {
		out[k] += v.looking[k]
	}
	return out
}

// best is the key of several whose mean is highest, by what is taken of each.
func best(keys []string, of map[string]valuation, take func(*valuation) []float64) string {
	var columns [][]float64
	for _, k := range keys {
		v := of[k]
		columns = append(columns, take(&v))
	}
	return keys[pick(columns)]
}

// pick is which of several options has the highest mean, the first of equals.
func pick(columns [][]float64) int {
	at, most := 0, math.Inf(-1)
	for i, x := range columns {
		if m := mean(x); m > most {
			at, most = i, m
		}
	}
	return at
}

func netOf(v *valuation) []float64    { return v.net }
func beforeOf(v *valuation) []float64 { return v.before() }

// bounds are all that is tried with so many quadrats, those beside each other that decide
// most alike.
func (q *WorthRequest) bounds() []Bound {
	lowest, highest := Bound{Always: true}, Bound{Never: true}
	if !q.ruling.Above {
		lowest, highest = highest, lowest
	}
	out := []Bound{lowest}
	for _, x := range q.Thresholds {
		out = append(out, Bound{X: x})
	}
	return append(out, highest)
}

func (q *WorthRequest) keys(quadrats int) []string {
	var out []string
	for _, b := range q.bounds() {
		out = append(out, b.key(quadrats))
	}
	return out
}

// valued are the keys of what is valued: the plan, the best fixed plan, what was chosen for
// every number of quadrats, and all thresholds with the plan's own counting.
func (q *WorthRequest) valued(chosen map[string]valuation) []string {
	out := append([]string{"as written", best(q.fixed, chosen, netOf)}, q.keys(own)...)
	for _, n := range append(slices.Clone(q.Quadrats), Truth) {
		out = append(out, best(q.keys(n), chosen, beforeOf), q.written.key(n))
	}
	var once []string
	for _, k := range out {
		if !slices.Contains(once, k) {
			once = append(once, k)
		}
	}
	return once
}
