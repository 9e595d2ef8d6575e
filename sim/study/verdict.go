package study

import (
	"math"

	"rundown/sim/decide"
)

// Verdict says which way the seed goes.
type Verdict string

// Verdicts, by the share of runs that end with less seed than they began with.
const (
	Down       Verdict = "down"        // more than 90 of 100
	LikelyDown Verdict = "likely-down" // more than 66
	EitherWay  Verdict = "either-way"  // 33 to 66
	LikelyUp   Verdict = "likely-up"   // fewer than 33
	Up         Verdict = "up"          // fewer than 10
)

// verdictOf is the verdict on a share of so many runs; the milder word while the 95 %
// interval of the share holds the bound.
func verdictOf(share float64, runs int) Verdict {
	low, high := wilson(share, runs)
	switch {
	case low > 0.90:
		return Down
	case low > 0.66:
		return LikelyDown
	case high < 0.10:
		return Up
	case high < 0.33:
		return LikelyUp
	}
	return EitherWay
}

// wilson is the 95 % interval of a share of n (Wilson 1927, J. Am. Stat. Assoc. 22:209,
// from memory).
func wilson(share float64, n int) (low, high float64) {
	const z2 = 1.96 * 1.96
	m := float64(n)
	middle := (share + z2/(2*m)) / (1 + z2/m)
	half := math.Sqrt(z2*(share*(1-share)/m+z2/(4*m*m))) / (1 + z2/m)
	return middle - half, middle + half
}

// SeedChange is seed at two ends, by replicate, and what becomes of it.
type SeedChange struct {
	Before, After []float64
	Start, End    float64 // means over the runs
	Ratio         Band    // end over start, run by run, of the runs that begin with any
	Lower         float64 // share of runs that end with less than they began with, ties half
	Verdict       Verdict
}

func seedChange(before, after []float64) *SeedChange {
	ratio := make([]float64, len(before))
	for k := range before {
		ratio[k] = math.NaN()
		if before[k] > 0 {
			ratio[k] = after[k] / before[k]
		}
	}
	c := &SeedChange{Before: before, After: after, Start: mean(before), End: mean(after), Ratio: band(ratio), Lower: decide.Wins(before, after)}
	c.Verdict = verdictOf(c.Lower, len(before))
	return c
}
