package search

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"rundown/sim"
	"rundown/sim/random"
)

// Graph is what may be grown: beginnings that meet in a node have the same freedom left. The
// first node is the start; a rotation ends in one without steps.
type Graph struct{ Nodes []Node }

// Node is how far a beginning has come.
type Node struct {
	Year  int // seasons that are over
	Steps []Step
	Below float64 // rotations that go on from here
}

// Step is an entry of the menu that may come next, and the node that it leads to.
type Step struct{ Entry, To int }

// Rotation is a row of steps from the start, by their number in the node.
type Rotation []uint8

// Entries are the entries of a rotation.
func (g *Graph) Entries(r Rotation) []int {
	var out []int
	at := 0
	for _, s := range r {
		step := g.Nodes[at].Steps[s]
		out, at = append(out, step.Entry), step.To
	}
	return out
}

// Tree runs rotations of a menu. Those that begin alike are one run up to where they part.
// Every rotation meets the same luck: the replicate of an index is the same for all.
type Tree struct {
	Model *sim.Model // of the menu
	Graph Graph
	Seed  uint64
	Jobs  int
	From  int // index of the replicate that is numbered 0
	// What a want asks of a run; a rotation is told which share of runs keeps it.
	Heads    float64 // that every season from WantFrom on keeps under; 0: none asked for
	WantFrom int     // season, 0 the first
	Margin   float64 // mean a year at least; -Inf: none asked for

	list   []Rotation
	at     map[string]int
	beaten map[string]bool // beginnings that are gone on from no more
}

// Add puts a rotation on the tree's list and tells its number there.
func (t *Tree) Add(r Rotation) (number int, fresh bool) {
	if t.at == nil {
		t.at = map[string]int{}
	}
	key := string(r)
	if i, ok := t.at[key]; ok {
		return i, false
	}
	t.at[key] = len(t.list)
	t.list = append(t.list, append(Rotation{}, r...))
	return len(t.list) - 1, true
}

// Rotation is the rotation of a number.
func (t *Tree) Rotation(number int) Rotation { return t.list[number] }

// Len is how many rotations are on the list.
func (t *Tree) Len() int { return len(t.list) }

// branch is a beginning in the tree of the rotations that are run.
type branch struct {
	entry, years int
	children     []*branch
	leaf         int // row of the results; −1: it goes on
	begun        int // row of what beginnings gave; −1: it is not asked for
}

// grow makes the tree of some rotations and beginnings.
func (t *Tree) grow(numbers []int, beginnings []Rotation) (root *branch, seasons int64) {
	root = &branch{leaf: -1, begun: -1}
	to := func(r Rotation) *branch {
		b, at := root, 0
		for _, s := range r {
			step := t.Graph.Nodes[at].Steps[s]
			b, seasons = b.child(step.Entry, t.Graph.Nodes[step.To].Year-t.Graph.Nodes[at].Year, seasons)
			at = step.To
		}
		return b
	}
	for row, number := range numbers {
		to(t.list[number]).leaf = row
	}
	for row, r := range beginnings {
		to(r).begun = row
	}
	return root, seasons
}

// child is the beginning that goes on with an entry. Two steps of a node never are of one entry.
func (b *branch) child(entry, years int, seasons int64) (*branch, int64) {
	for _, c := range b.children {
		if c.entry == entry {
			return c, seasons
		}
	}
	c := &branch{entry: entry, years: years, leaf: -1, begun: -1}
	b.children = append(b.children, c)
	return c, seasons + int64(years)
}

// Seasons is how many season-runs a replicate of some rotations takes, with beginnings shared.
func (t *Tree) Seasons(numbers []int) int64 {
	_, n := t.grow(numbers, nil)
	return n
}

// Unshared is how many it would take one by one.
func (t *Tree) Unshared(numbers []int) int64 {
	return int64(len(numbers)) * int64(t.years())
}

// Run runs n replicates of some rotations from the one numbered first on. The results are by
// row of numbers and replicate. Interrupted, it gives those replicates that are done.
func (t *Tree) Run(ctx context.Context, numbers []int, first, n int, progress func(done, total int)) (*Results, error) {
	return t.run(ctx, numbers, &begun{}, first, n, progress)
}

// run fills in what beginnings gave, too.
func (t *Tree) run(ctx context.Context, numbers []int, of *begun, first, n int, progress func(done, total int)) (*Results, error) {
	root, _ := t.grow(numbers, of.list)
	out := newResults(len(numbers), n)
	of.room(n)
	jobs := t.Jobs
	if jobs < 1 {
		jobs = runtime.GOMAXPROCS(0)
	}
	jobs = min(jobs, n)
	var next, done atomic.Int64
	var wait sync.WaitGroup
	errs, faults := make([]error, jobs), make([]any, jobs)
	finished := make([]bool, n)
	for j := range jobs {
		wait.Go(func() {
			defer func() {
				if f := recover(); f != nil {
					faults[j] = f
				}
			}()
			h, err := t.newWalker(root, of)
			for err == nil && ctx.Err() == nil {
				k := int(next.Add(1)) - 1
				if k >= n {
					return
				}
				if err = h.replicate(ctx, t.From+first+k, k, out); err == nil && ctx.Err() == nil {
					finished[k] = true
					if progress != nil {
						progress(int(done.Add(1)), n)
					}
				}
			}
			errs[j] = err
		})
	}
	wait.Wait()
	for j := range jobs {
		if faults[j] != nil {
			panic(faults[j]) // where the caller can catch it
		}
	}
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	if ctx.Err() != nil {
		return out.only(finished), ctx.Err()
	}
	return out, nil
}

// walker walks a tree, one replicate after the other.
type walker struct {
	t     *Tree
	root  *branch
	of    *begun
	stack []*sim.Worker
	recs  []*sim.Record
	sky   *sim.Sky
	theta []float64
}

func (t *Tree) newWalker(root *branch, of *begun) (*walker, error) {
	h := &walker{t: t, root: root, of: of, sky: t.Model.NewSky(), theta: t.Model.Calendar().Space.Central()}
	for range root.depth() {
		w, err := t.Model.NewWorker()
		if err != nil {
			return nil, err
		}
		h.stack, h.recs = append(h.stack, w), append(h.recs, t.Model.NewRecord(0))
	}
	return h, nil
}

func (b *branch) depth() int {
	n := 0
	for _, c := range b.children {
		n = max(n, c.depth())
	}
	return n + 1
}

// replicate runs the replicate of an index through the whole tree: one sky, one draw of values.
func (h *walker) replicate(ctx context.Context, index, row int, out *Results) error {
	r := sim.Replicate{Seed: h.t.Seed, Streams: sim.StreamsOf(uint32(index)), Theta: h.theta}
	h.stack[0].DrawTheta(r.Seed, r.Streams[random.Parameters], r.Theta)
	h.sky.FillFor(h.t.Model, &r)
	if err := h.stack[0].Begin(r, h.sky, h.recs[0]); err != nil {
		return err
	}
	for i, w := range h.stack[1:] {
		w.Ready(r, h.sky, h.recs[i+1])
	}
	return h.down(ctx, h.root, 0, row, out)
}

// down goes through all that follows a beginning, depth first, so that memory is depth × state.
func (h *walker) down(ctx context.Context, b *branch, depth, row int, out *Results) error {
	for _, c := range b.children {
		if ctx.Err() != nil {
			return nil
		}
		w := h.stack[depth+1]
		w.Resume(h.stack[depth])
		if err := w.Choose(c.entry, c.years); err != nil {
			return fmt.Errorf("entry %d behind %d seasons: %w", c.entry, depth, err)
		}
		if c.begun >= 0 {
			h.of.read(h.t, w, c.begun, row)
		}
		if c.leaf >= 0 {
			if err := w.Close(); err != nil {
				return err
			}
			h.t.read(h.recs[depth+1], c.leaf, row, out)
			continue
		}
		if err := h.down(ctx, c, depth+1, row, out); err != nil {
			return err
		}
	}
	return nil
}

// read takes what is compared out of the record of a run.
func (t *Tree) read(rec *sim.Record, leaf, row int, out *Results) {
	sum, keeps := 0.0, true
	for i := range rec.Seasons {
		s := &rec.Seasons[i]
		sum += s[sim.Margin]
		if t.Heads > 0 && i >= t.WantFrom && s[sim.Heads] >= t.Heads {
			keeps = false
		}
	}
	n := len(rec.Seasons)
	margin := sum / float64(n)
	out.Margin[leaf][row] = margin
	out.Seed[leaf][row] = math.Log1p(rec.Seasons[n-1][sim.SeedAfter])
	out.Under[leaf][row] = keeps
	out.Earns[leaf][row] = margin >= t.Margin
}

// Results are what rotations gave, by row and replicate.
type Results struct {
	N      int
	Margin [][]float64 // mean a year, per ha
	Seed   [][]float64 // ln(1 + seed per m² at the end)
	Under  [][]bool    // heads keep under what is wanted
	Earns  [][]bool    // the margin is at least what is wanted
}

func newResults(rows, n int) *Results {
	r := &Results{N: n}
	for range rows {
		r.Margin, r.Seed = append(r.Margin, make([]float64, n)), append(r.Seed, make([]float64, n))
		r.Under, r.Earns = append(r.Under, make([]bool, n)), append(r.Earns, make([]bool, n))
	}
	return r
}

// only are the results of some of the replicates.
func (r *Results) only(finished []bool) *Results {
	out := newResults(len(r.Margin), 0)
	for k, ok := range finished {
		if !ok {
			continue
		}
		out.N++
		for i := range r.Margin {
			out.Margin[i], out.Seed[i] = append(out.Margin[i], r.Margin[i][k]), append(out.Seed[i], r.Seed[i][k])
			out.Under[i], out.Earns[i] = append(out.Under[i], r.Under[i][k]), append(out.Earns[i], r.Earns[i][k])
		}
	}
	return out
}
