package study

import (
	"math"

	"rundown/sim"
	"rundown/sim/drivers"
	"rundown/sim/ensemble"
)

// Verdicts of a sweep: what moving the value from its first to its last point does to the weed.
const (
	MovesUp    = "more-weed" // more seed at the end in more than 66 of 100 runs
	MovesDown  = "less-weed"
	MovesBoth  = "either-way"
	MovesNoRun = "nothing" // neither seed nor margin differs in any run
)

// SweepAnswer is what moving a value over its points does to the end of the plan and to what
// it earns.
type SweepAnswer struct {
	Ends
	Against Against        // the last point against the first
	Ratio   Band           // seed at the end, last point over first, run by run, where the first has any
	Change  [2]*SeedChange // end against start, at the first and at the last point
	Earns   [2]float64     // mean margin a year at the two, per ha
	Verdict string
}

// sweptMetrics are what runs of a sweep keep besides the metric asked for.
var sweptMetrics = []sim.Metric{sim.Heads, sim.SeedBefore, sim.SeedAfter, sim.Margin}

// answer makes the answer of a sweep.
func (q *SweepRequest) answer(s *drivers.Sweep, o *Outcome) *SweepAnswer {
	last := len(q.Calendar.Seasons) - 1
	a := &SweepAnswer{Ends: endsOf(q.Calendar, nil, last)}
	var ways [2]way
	for i, point := range []int{0, len(q.At) - 1} {
		at := pointOf(s, o, point)
		ways[i] = wayOf(at, last)
		a.Change[i] = seedBetween(at, a.From, a.To)
		a.Earns[i] = mean(ways[i].yearly)
	}
	a.Against = ways[1].against(ways[0], q.Calendar.AreaHa)
	ratio, same := make([]float64, len(ways[0].seed)), true
	for k, first := range ways[0].seed {
		ratio[k] = math.NaN()
		if first > 0 {
			ratio[k] = ways[1].seed[k] / first
		}
		same = same && first == ways[1].seed[k] && ways[0].yearly[k] == ways[1].yearly[k]
	}
	a.Ratio = band(ratio)
	switch more := 1 - a.Against.Cleaner; {
	case same:
		a.Verdict = MovesNoRun
	case more > likelyShare:
		a.Verdict = MovesUp
	case more < 1-likelyShare:
		a.Verdict = MovesDown
	default:
		a.Verdict = MovesBoth
	}
	return a
}

// likelyShare is the share of runs above which a change is told as one.
const likelyShare = 2.0 / 3

// pointOf is the outcome of the runs at a point, of the metrics that its answer needs.
func pointOf(s *drivers.Sweep, o *Outcome, point int) *ensemble.Outcome {
	return o.Every(point, len(s.At), sweptMetrics)
}
