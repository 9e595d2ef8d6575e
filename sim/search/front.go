package search

import (
	"cmp"
	"math"
	"slices"
)

// Front takes the front again from fresh runs, at most so many rows by falling margin. The rows
// stand in the order in which the search's own luck put them. A row is stood for by one before
// it where the runs do not show it to earn more or to leave less seed, beyond the paired error
// shared among all pairs and both counts; and one before it goes out where it is not shown to be
// better in anything. So of rotations that are alike the first is told, which was not chosen by
// these runs, and its value is not the luckiest.
func (r *Results) Front(most int, unshared bool) []int {
	t := Race{Unshared: unshared}.quantile(r.rows(), r.N, 2)
	better := func(a, b int) bool {
		return apart(r.Margin[a], r.Margin[b], t, leastMargin) || apart(r.Seed[b], r.Seed[a], t, math.Log1p(leastSeed))
	}
	var kept []int
	for i := range r.Margin {
		if slices.ContainsFunc(kept, func(k int) bool { return !better(i, k) }) {
			continue
		}
		kept = append(slices.DeleteFunc(kept, func(k int) bool { return !better(k, i) }), i)
	}
	points := r.Means()
	slices.SortStableFunc(kept, func(a, b int) int { return cmp.Compare(points[b].Margin, points[a].Margin) })
	return thin(points, kept, most)
}

func (r *Results) rows() int { return max(2, len(r.Margin)) }

// Candidates are the rows worth running again on fresh luck, at most so many: the front of
// the means, thinned where it is dense; then the front of the rest, and so on.
func (r *Results) Candidates(most int) []int {
	points := r.Means()
	var out []int
	left := make([]int, len(points))
	for i := range left {
		left[i] = i
	}
	for len(out) < most && len(left) > 0 {
		var of []Point
		for _, i := range left {
			of = append(of, points[i])
		}
		var front []int
		for _, k := range frontOf(of) {
			front = append(front, left[k])
		}
		out = append(out, thin(points, front, most-len(out))...)
		left = slices.DeleteFunc(left, func(i int) bool { return slices.Contains(front, i) })
	}
	return out
}

// thin leaves so many of the points of a front, which goes by falling margin: again and again
// the one goes out whose area, to its neighbours, is least. The ends stay.
func thin(points []Point, front []int, most int) []int {
	front = slices.Clone(front)
	for len(front) > max(most, 2) {
		at, least := 1, math.Inf(1)
		for k := 1; k < len(front)-1; k++ {
			a, p, b := points[front[k-1]], points[front[k]], points[front[k+1]]
			if area := (p.Margin - b.Margin) * (a.Seed - p.Seed); area < least {
				at, least = k, area
			}
		}
		front = slices.Delete(front, at, at+1)
	}
	return front[:min(len(front), most)]
}

// Area is the area under a front of points: of the rectangle between a worst margin and a worst
// seed, what at least one of them is better than on both counts.
func Area(points []Point, worst Point) float64 {
	area, seed := 0.0, worst.Seed
	for _, i := range frontOf(points) {
		p := points[i]
		if p.Margin <= worst.Margin {
			break
		}
		if p.Seed < seed {
			area += (p.Margin - worst.Margin) * (seed - p.Seed)
			seed = p.Seed
		}
	}
	return area
}
