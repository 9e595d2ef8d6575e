package decide

import (
	"math"

	"rundown/sim"
	"rundown/sim/ensemble"
)

// Controls are, by replicate, the control of a season from all causes and the
// control that it would have taken to stand still.
//
// gone is the share of the seedlings that came up in the season and did not live
// to head: killed by sprays, residues and tillage, or dead of frost and crowding.
//
// needed is 1 − 1/growth. Growth is the seed that would have been shed had all
// the seedlings lived, shed/(1 − gone) as if seed were in proportion to plants, over
// the seed that the season used up (at its start + shed − at its end). With that
// share gone as much seed would have been shed as was used up. It is 0 where even
// full growth would not have replaced what was lost, 1 where seed brought in alone
// did.
//
// A replicate in which nothing came up has neither (NaN); one that shed nothing
// has no needed.
func Controls(o *ensemble.Outcome, season int) (gone, needed []float64) {
	up, heading := o.Column(sim.PlantsEmerged, season), o.Column(sim.PlantsHeading, season)
	start, end, shed := o.Column(sim.LedgerStart, season), o.Column(sim.LedgerEnd, season), o.Column(sim.LedgerShed, season)
	gone, needed = make([]float64, len(up)), make([]float64, len(up))
	for k := range up {
		gone[k], needed[k] = math.NaN(), math.NaN()
		if !(up[k] > 0) || math.IsNaN(heading[k]) {
			continue
		}
		left := min(heading[k]/up[k], 1)
		gone[k] = 1 - left
		if shed[k] > 0 && left > 0 {
			used := start[k] + shed[k] - end[k]
			needed[k] = min(max(1-left*used/shed[k], 0), 1)
		}
	}
	return gone, needed
}

// MeanMargin is the mean yearly margin per ha over the seasons from one on, by
// replicate.
func MeanMargin(o *ensemble.Outcome, from int) []float64 {
	n := o.Model.Seasons()
	out := make([]float64, o.Replicates)
	for i := from; i < n; i++ {
		for k, x := range o.Column(sim.Margin, i) {
			out[k] += x
		}
	}
	for k := range out {
		out[k] /= float64(n - from)
	}
	return out
}

// FirstUnder is the first season from which on the median of a metric stays
// under a limit; −1: never.
func FirstUnder(o *ensemble.Outcome, m sim.Metric, limit float64) int {
	first := -1
	for i := o.Model.Seasons() - 1; i >= 0 && Median(o.Column(m, i)) < limit; i-- {
		first = i
	}
	return first
}
