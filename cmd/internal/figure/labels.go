package figure

import (
	"math"
	"sort"
)

// apart moves places along a line as little as needed to lie at least gap from
// each other and within lo..hi, keeping their order. Where they cannot all fit
// they are spaced evenly.
func apart(at []float64, gap, lo, hi float64) []float64 {
	n := len(at)
	out := append([]float64(nil), at...)
	if n == 0 {
		return out
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return at[order[i]] < at[order[j]] })
	if need := gap * float64(n-1); need > hi-lo {
		for k, i := range order {
			out[i] = lo + (hi-lo)*float64(k)/float64(n-1)
		}
		return out
	}
	// Least squares under the order: pool neighbours that are too close, as in
	// isotonic regression, on the places less k·gap.
	type pool struct {
		mean float64
		n    int
	}
	var pools []pool
	for k, i := range order {
		pools = append(pools, pool{at[i] - gap*float64(k), 1})
		for m := len(pools); m > 1 && pools[m-2].mean > pools[m-1].mean; m = len(pools) {
			a, b := pools[m-2], pools[m-1]
			sum := a.mean*float64(a.n) + b.mean*float64(b.n)
			pools = append(pools[:m-2], pool{sum / float64(a.n+b.n), a.n + b.n})
		}
	}
	k := 0
	for _, q := range pools {
		v := math.Min(math.Max(q.mean, lo), hi-gap*float64(n-1))
		for range q.n {
			out[order[k]] = v + gap*float64(k)
			k++
		}
	}
	return out
}
