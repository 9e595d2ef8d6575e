package decide

import (
	"math"
	"slices"

	"rundown/sim/bands"
)

// Contest is two plans that stand next to each other in a ranking and cannot
// be told apart by the replicates that were run, or of which the one with the
// worse middle is the better more often.
type Contest struct {
	Better, Worse int     // indices of the plans, by their middles
	Wins          float64 // share of replicates in which the first is better, ties half
	Needed        int     // replicates that would settle it if the share is as found; 0: more than MostNeeded
	Against       bool    // it is settled, but the other way than by the middles: the worse wins more often
}

// MostNeeded is the number of replicates beyond which two plans are as good as
// equal.
const MostNeeded = 1_000_000

// z95 is the standard normal deviate of a two-sided 95 % interval.
const z95 = 1.96

// Unsettled ranks plans by a middle, median or mean (ascending when fewer is better, else
// descending) and returns the neighbours of the ranking whose order the sign
// test does not tell from chance: the 95 % interval of the share of wins, at its
// widest, holds ½; and those which it tells the other way. Plans that never differ
// are equal, not unsettled.
func Unsettled(columns [][]float64, fewer bool, middle func([]float64) float64) []Contest {
	middles := make([]float64, len(columns))
	order := make([]int, len(columns))
	for i, x := range columns {
		middles[i], order[i] = middle(x), i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case middles[a] < middles[b] == fewer && middles[a] != middles[b]:
			return -1
		case middles[a] == middles[b]:
			return 0
		}
		return 1
	})
	var out []Contest
	for i := range len(order) - 1 {
		a, b := order[i], order[i+1]
		if slices.Equal(columns[a], columns[b]) {
			continue
		}
		wins := Wins(columns[a], columns[b])
		if fewer {
			wins = 1 - wins
		}
		n := float64(len(columns[a]))
		switch d := math.Abs(wins - 0.5); {
		case d < z95*0.5/math.Sqrt(n):
			out = append(out, Contest{Better: a, Worse: b, Wins: wins, Needed: needed(d)})
		case wins < 0.5:
			out = append(out, Contest{Better: a, Worse: b, Wins: wins, Against: true})
		}
	}
	return out
}

// needed is how many replicates make the half-width of the interval of a share
// as small as its distance from ½, rounded up to thousands.
func needed(d float64) int {
	n := math.Ceil(math.Pow(z95*0.5/d, 2)/1000) * 1000
	if !(n <= MostNeeded) {
		return 0
	}
	return int(n)
}

// Median is the sample median of the values there are; NaN of none.
func Median(x []float64) float64 { return bands.Summarise(x).P50 }
