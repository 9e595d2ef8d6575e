package decide

import (
	"math"
	"slices"

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
	n := o.Seasons()
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

// MarginSoFar is the margin per ha summed over the seasons up to each, by season and
// replicate.
func MarginSoFar(o *ensemble.Outcome) [][]float64 {
	out := make([][]float64, o.Seasons())
	for i := range out {
		out[i] = make([]float64, o.Replicates)
		for k, x := range o.Column(sim.Margin, i) {
			if out[i][k] = x; i > 0 {
				out[i][k] += out[i-1][k]
			}
		}
	}
	return out
}

// Under says how a metric keeps under a limit, in some seasons in a row.
type Under struct {
	Last       float64 // share of runs that are under it in the last season
	Throughout float64 // share of runs that are under it in every one of them
	First      int     // first season of the plan whose median is; −1: never
	Stays      int     // first from which on every median is; −1: never
}

// KeepsUnder reckons how a metric keeps under a limit from one season of an outcome to another.
func KeepsUnder(o *ensemble.Outcome, m sim.Metric, limit float64, from, last int) Under {
	var seasons [][]float64
	for i := from; i <= last; i++ {
		seasons = append(seasons, o.Column(m, i))
	}
	return keepsUnder(seasons, from, limit)
}

// keepsUnder is of seasons × runs, the first of which is the plan's season from.
func keepsUnder(seasons [][]float64, from int, limit float64) Under {
	u := Under{First: -1, Stays: -1}
	runs := len(seasons[0])
	last, throughout := 0, 0
	for k := range runs {
		if seasons[len(seasons)-1][k] < limit {
			last++
		}
		if !slices.ContainsFunc(seasons, func(x []float64) bool { return !(x[k] < limit) }) {
			throughout++
		}
	}
	u.Last, u.Throughout = float64(last)/float64(runs), float64(throughout)/float64(runs)
	for i, x := range seasons {
		if !(Median(x) < limit) {
			u.Stays = -1
			continue
		}
		if u.First < 0 {
			u.First = from + i
		}
		if u.Stays < 0 {
			u.Stays = from + i
		}
	}
	return u
}
