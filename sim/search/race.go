// Package search looks for the rotations of a menu that no other beats on both counts, margin
// and seed at the end, without being fooled by luck. What it chooses is chosen on the luck of
// some replicates; whoever tells of it runs it again on others.
package search

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Runner makes replicates of rotations, by number. The same replicate is the same luck for all.
type Runner interface {
	Run(ctx context.Context, numbers []int, first, n int, progress func(done, total int)) (*Results, error)
	Seasons(numbers []int) int64  // season-runs that a replicate of them takes
	Unshared(numbers []int) int64 // and would take one by one
}

// Race says how rotations are compared.
type Race struct {
	First, Most int     // replicates of all, and at most
	Budget      int64   // season-runs
	Want        *Want   // nil: nothing is wanted
	Error       float64 // that any of the pairs compared is told apart by luck alone; 0.05
	Unshared    bool    // the error is that of each pair (which fools; for tests)
	Progress    func(round, done, total int)
}

// Want is what a share of runs should keep to.
type Want struct{ Under, Earns float64 } // shares, 0: not asked for

// What a difference must be at least to count.
const (
	leastMargin = 2.0 // per ha and year
	leastSeed   = 0.05
)

// Field are the rotations that are still compared, with what they gave so far.
type Field struct {
	Numbers []int
	*Results
	Spent int64   // season-runs
	Alone int64   // what they would have been without shared beginnings
	Cut   bool    // the clock or a key stopped it
	Cloud []Point // the rotations that are out, by the means of the runs they had; at the end all
}

// Run races rotations: some replicates for all, then twice as many for those that may still be
// on the front, and so on (successive halving: Karnin, Koren & Somekh 2013, ICML, from memory;
// with a front in place of the best arm). No bound is read while runs are under way.
func (o Race) Run(ctx context.Context, r Runner, numbers []int) (*Field, error) {
	f, err := o.race(ctx, r, numbers)
	if f != nil {
		f.Cloud = append(f.Cloud, f.Means()...)
	}
	return f, err
}

func (o Race) race(ctx context.Context, r Runner, numbers []int) (*Field, error) {
	f := &Field{Numbers: slices.Clone(numbers), Results: newResults(len(numbers), 0)}
	n := o.First
	for round := 1; ; round++ {
		cost := r.Seasons(f.Numbers)
		more := n - f.N
		if left := o.Budget - f.Spent; cost*int64(more) > left {
			if more = int(left / cost); more < max(1, f.N/4) && f.N > 0 {
				return f, nil
			}
			more = max(more, 1)
		}
		var progress func(done, total int)
		if o.Progress != nil {
			progress = func(done, total int) { o.Progress(round, done, total) }
		}
		got, err := r.Run(ctx, f.Numbers, f.N, more, progress)
		if got == nil {
			return nil, err
		}
		if err != nil { // interrupted: of a first round what is done counts
			if f.Cut = true; f.N > 0 || got.N < 2 {
				return f, err
			}
			f.add(got)
			return f, err
		}
		f.Spent += cost * int64(more)
		f.Alone += r.Unshared(f.Numbers) * int64(more)
		f.add(got)
		o.drop(f)
		if len(f.Numbers) == 1 || f.N >= o.Most || more < n-(f.N-more) {
			return f, nil
		}
		n = min(2*f.N, o.Most)
	}
}

// add puts more replicates behind those there are.
func (f *Field) add(more *Results) {
	f.N += more.N
	for i := range f.Margin {
		f.Margin[i], f.Seed[i] = append(f.Margin[i], more.Margin[i]...), append(f.Seed[i], more.Seed[i]...)
		f.Under[i], f.Earns[i] = append(f.Under[i], more.Under[i]...), append(f.Earns[i], more.Earns[i]...)
	}
}

// keep leaves some rows alone, which go up.
func (f *Field) keep(rows []int) {
	old, numbers := *f.Results, f.Numbers
	for i, p := range f.Means() {
		if _, stays := slices.BinarySearch(rows, i); !stays {
			f.Cloud = append(f.Cloud, p)
		}
	}
	f.Results, f.Numbers = &Results{N: old.N}, nil
	for _, i := range rows {
		f.Numbers = append(f.Numbers, numbers[i])
		f.Margin, f.Seed = append(f.Margin, old.Margin[i]), append(f.Seed, old.Seed[i])
		f.Under, f.Earns = append(f.Under, old.Under[i]), append(f.Earns, old.Earns[i])
	}
}

// Means are the mean margin and the mean ln(1 + seed) of every row.
func (r *Results) Means() []Point {
	out := make([]Point, len(r.Margin))
	for i := range out {
		out[i] = Point{mean(r.Margin[i]), mean(r.Seed[i])}
	}
	return out
}

// Point is a rotation on both counts: more margin and less seed are better.
type Point struct{ Margin, Seed float64 }

// beats tells whether p is at least as good as q on both counts, and better on one.
func (p Point) beats(q Point) bool {
	return p.Margin >= q.Margin && p.Seed <= q.Seed && (p.Margin > q.Margin || p.Seed < q.Seed)
}

// drop takes out what one other beats on both counts beyond the error, shared among all pairs
// that are compared (Bonferroni). What may keep to the want is beaten only by what surely does.
func (o Race) drop(f *Field) {
	if f.N < 2 || len(f.Numbers) < 2 {
		return
	}
	points := f.Means()
	front := frontOf(points)
	t := o.quantile(len(f.Numbers), f.N, 1)
	var rows []int
	for i := range f.Numbers {
		hopes := o.Want != nil && o.Want.May(f.Results, i)
		beaten := slices.ContainsFunc(front, func(k int) bool {
			return k != i && points[k].beats(points[i]) && f.beyond(k, i, t) && (!hopes || o.Want.surely(f.Results, k))
		})
		if !beaten {
			rows = append(rows, i)
		}
	}
	f.keep(rows)
}

// quantile is Student's t beyond which a difference counts, of all ordered pairs and so many
// counts on which each is taken.
func (o Race) quantile(rows, n, counts int) float64 {
	alpha := o.alpha()
	if !o.Unshared {
		alpha /= float64(rows) * float64(rows-1) * float64(counts)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 1)}.Quantile(1 - alpha)
}

func (o Race) alpha() float64 { return cmp.Or(o.Error, 0.05) }

// beyond tells whether a row beats another on both counts beyond the paired error.
func (r *Results) beyond(a, b int, t float64) bool {
	return apart(r.Margin[a], r.Margin[b], t, leastMargin) && apart(r.Seed[b], r.Seed[a], t, math.Log1p(leastSeed))
}

// apart tells whether x is above y, run by run, by more than t standard errors and at least by
// so much.
func apart[T float32 | float64](x, y []T, t, least float64) bool {
	n, m, s := 0.0, 0.0, 0.0
	for k := range x {
		d := float64(x[k]) - float64(y[k])
		n++
		step := d - m
		m += step / n
		s += step * (d - m)
	}
	return m >= least && m > t*math.Sqrt(s/(n-1)/n)
}

// May tells whether a row may keep to the want: its 95 % interval reaches it.
func (w *Want) May(r *Results, row int) bool {
	_, under := Wilson(ShareOf(r.Under[row]), r.N)
	_, earns := Wilson(ShareOf(r.Earns[row]), r.N)
	return under >= w.Under && earns >= w.Earns
}

// surely tells whether a row keeps to it, by the whole of its interval.
func (w *Want) surely(r *Results, row int) bool {
	under, _ := Wilson(ShareOf(r.Under[row]), r.N)
	earns, _ := Wilson(ShareOf(r.Earns[row]), r.N)
	return (w.Under == 0 || under >= w.Under) && (w.Earns == 0 || earns >= w.Earns)
}

// ShareOf is the share that is true.
func ShareOf(x []bool) float64 {
	n := 0.0
	for _, yes := range x {
		if yes {
			n++
		}
	}
	return n / float64(len(x))
}

// Wilson is the 95 % interval of a share of n (Wilson 1927, J. Am. Stat. Assoc. 22:209, from memory).
func Wilson(share float64, n int) (low, high float64) {
	const z2 = 1.96 * 1.96
	m := float64(n)
	middle := (share + z2/(2*m)) / (1 + z2/m)
	half := math.Sqrt(z2*(share*(1-share)/m+z2/(4*m*m))) / (1 + z2/m)
	return middle - half, middle + half
}

// frontOf are the points that no other beats, by falling margin.
func frontOf(points []Point) []int {
	order := byMargin(points)
	var out []int
	least := math.Inf(1)
	for _, i := range order {
		if points[i].Seed < least {
			out, least = append(out, i), points[i].Seed
		}
	}
	return out
}

// byMargin is the order of points by falling margin, then rising seed.
func byMargin(points []Point) []int {
	order := make([]int, len(points))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(points[b].Margin, points[a].Margin), cmp.Compare(points[a].Seed, points[b].Seed), cmp.Compare(a, b))
	})
	return order
}

// depths are how many fronts have to be taken away before a point is on one: 0 on the first
// (non-dominated sorting).
func depths(points []Point) []int {
	out := make([]int, len(points))
	var least []float64 // of each front so far, the least seed
	for _, i := range byMargin(points) {
		d, _ := slices.BinarySearchFunc(least, points[i].Seed, func(front, seed float64) int {
			if front > seed {
				return 1 // this front, or one before it
			}
			return -1
		})
		if out[i] = d; d == len(least) {
			least = append(least, points[i].Seed)
		} else {
			least[d] = points[i].Seed
		}
	}
	return out
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
