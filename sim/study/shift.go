package study

import (
	"math"
	"slices"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/ensemble"
)

// Shift is what a change to a plan does, run by run: the changed plan against the one before.
type Shift struct {
	None   bool // no run differs
	First  int  // season from which on the runs differ
	Last   int  // the last that both plans have
	Then   Step // at harvest of the first season that differs
	End    Against
	Heads  float64 // at the last harvest: heads over those before, median over the runs; NaN: there were none before
	Error  float64 // half-width of the 95 % interval of the margin's difference a year
	Missed float64 // share of runs in which the planned crop of First did not go in
	Before float64 // and before the change
}

// Step is a change at one harvest.
type Step struct {
	Heads  float64 // over those before, median over the runs; NaN: there were none before
	Margin float64 // mean difference, per ha
	Error  float64 // half-width of its 95 % interval
}

// ShiftRequest asks what a change does. The two have their weather and luck in common.
type ShiftRequest struct{ Before, After *rotations.Calendar }

// Find makes the shift of the runs of the two, which are of one range of replicates.
func (q *ShiftRequest) Find(before, after Outcomes) *Shift {
	x, y := before[0], after[0]
	last := min(len(q.Before.Seasons), len(q.After.Seasons)) - 1
	s := &Shift{First: last, Last: last, None: true}
	for i := range last + 1 {
		if parted(x, y, i) {
			s.First, s.None = i, false
			break
		}
	}
	s.None = s.None && len(q.Before.Seasons) == len(q.After.Seasons)
	then := decide.Differences(y.Column(sim.Margin, s.First), x.Column(sim.Margin, s.First))
	s.Then = Step{headsOver(x, y, s.First), mean(then), decide.MeanError(then)}
	s.End = wayOf(y, last).against(wayOf(x, last), q.After.AreaHa)
	s.Heads, s.Error = headsOver(x, y, last), s.End.MarginError
	s.Before, s.Missed = decide.Missed(x, s.First), decide.Missed(y, s.First)
	return s
}

// parted tells whether any run differs in a season.
func parted(x, y *ensemble.Outcome, season int) bool {
	for _, m := range []sim.Metric{sim.Heads, sim.Margin, sim.Course, sim.SeedbankJune, sim.Yield} {
		same := func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }
		if !slices.EqualFunc(x.Column(m, season), y.Column(m, season), same) {
			return true
		}
	}
	return false
}

// headsOver is the median, over the runs that had any heads, of heads after over heads before.
func headsOver(before, after *ensemble.Outcome, season int) float64 {
	var ratios []float64
	was, is := before.Column(sim.Heads, season), after.Column(sim.Heads, season)
	for k, x := range was {
		if x > 0 && !math.IsNaN(is[k]) {
			ratios = append(ratios, is[k]/x)
		}
	}
	if len(ratios) == 0 {
		return math.NaN()
	}
	return median(ratios)
}
