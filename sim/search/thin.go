package search

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"rundown/sim"
)

// A beginning has no margin of the whole, so that the bounds of the race do not hold for it. But
// of two that meet in a node, have the same crop last in every run and the same freedom left, the
// one that has earned less and holds more seed in every layer is beaten, whatever follows:
// more seed never helps later. Where that is not so (resistance that evolves, decisions by what
// is seen) nothing is beaten.

// begun is what beginnings gave, by row and replicate.
type begun struct {
	list   []Rotation
	earned [][]float64   // sum of margins per ha, over the years of a rotation
	holds  [][][]float32 // ln(1 + seed per m²) by pool
	all    [][]float64   // ln(1 + seed per m²) of all pools
	keeps  [][]bool      // to the heads that are wanted, so far
	last   [][]int       // crop that was grown last
}

// room makes room for so many replicates.
func (b *begun) room(n int) {
	rows := len(b.list)
	b.earned, b.all, b.holds = make([][]float64, rows), make([][]float64, rows), make([][][]float32, rows)
	b.keeps, b.last = make([][]bool, rows), make([][]int, rows)
	for i := range rows {
		b.earned[i], b.all[i], b.keeps[i], b.last[i] = make([]float64, n), make([]float64, n), make([]bool, n), make([]int, n)
		b.holds[i] = make([][]float32, sim.Pools)
		for p := range b.holds[i] {
			b.holds[i][p] = make([]float32, n)
		}
	}
}

// read takes what is compared where a run stands.
func (b *begun) read(t *Tree, w *sim.Worker, row, k int) {
	var pools [sim.Pools]float64
	b.last[row][k] = w.Holds(&pools)
	sum := 0.0
	for p, x := range pools {
		b.holds[row][p][k] = float32(math.Log1p(x))
		sum += x
	}
	b.all[row][k] = math.Log1p(sum)
	seasons := w.Result().Seasons
	end := t.Graph.Nodes[t.end(b.list[row])].Year
	b.keeps[row][k] = true
	for i := range end {
		b.earned[row][k] += seasons[i][sim.Margin] / float64(len(seasons))
		if t.Heads > 0 && i >= t.WantFrom && seasons[i][sim.Heads] >= t.Heads {
			b.keeps[row][k] = false
		}
	}
}

// end is the node that a beginning leads to.
func (t *Tree) end(b Rotation) int {
	at := 0
	for _, s := range b {
		at = t.Graph.Nodes[at].Steps[s].To
	}
	return at
}

// Beats tells whether a row beats another, beyond t standard errors. What is wanted of single
// runs, heads or a floor of margin, must be at least as good in every run.
func (b *begun) beats(i, j int, t float64, want *Want) bool {
	if !apart(b.earned[i], b.earned[j], t, leastMargin) || !apart(b.all[j], b.all[i], t, math.Log1p(leastSeed)) || !slices.Equal(b.last[i], b.last[j]) {
		return false
	}
	for p := range b.holds[i] {
		if x, y := b.holds[j][p], b.holds[i][p]; !slices.Equal(x, y) && !apart(x, y, t, 0) {
			return false
		}
	}
	if want == nil {
		return true
	}
	for k := range b.keeps[i] {
		if b.keeps[j][k] && !b.keeps[i][k] || want.Earns > 0 && b.earned[i][k] < b.earned[j][k] {
			return false
		}
	}
	return true
}

// drop notes the rows that another beats, the error shared among all pairs that meet in a node.
func (b *begun) drop(t *Tree, o *Race) {
	meet := map[int][]int{}
	var nodes []int
	pairs := 0
	for row, r := range b.list {
		at := t.end(r)
		if meet[at] == nil {
			nodes = append(nodes, at)
		}
		pairs += 2 * len(meet[at])
		meet[at] = append(meet[at], row)
	}
	if pairs == 0 || len(b.earned[0]) < 2 {
		return
	}
	q := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(len(b.earned[0]) - 1)}.Quantile(1 - o.alpha()/float64(pairs))
	points := make([]Point, len(b.list))
	for i := range points {
		points[i] = Point{mean(b.earned[i]), mean(b.all[i])}
	}
	for _, at := range nodes {
		for _, j := range meet[at] {
			if slices.ContainsFunc(meet[at], func(i int) bool { return points[i].beats(points[j]) && b.beats(i, j, q, o.Want) }) {
				t.beat(b.list[j])
			}
		}
	}
}

// beat takes a beginning out, with all that begins so.
func (t *Tree) beat(r Rotation) {
	if t.beaten == nil {
		t.beaten = map[string]bool{}
	}
	t.beaten[string(r)] = true
}

// Beaten is how many rotations begin as one that is beaten.
func (t *Tree) Beaten() (sum float64) {
	for key := range t.beaten {
		if r := Rotation(key); !t.out(r[:len(r)-1]) {
			sum += t.Graph.Nodes[t.end(r)].Below // whole numbers: the order makes no difference
		}
	}
	return sum
}

// out tells whether a rotation begins as one does that is beaten.
func (t *Tree) out(r Rotation) bool {
	if len(t.beaten) == 0 {
		return false
	}
	for n := 1; n <= len(r); n++ {
		if t.beaten[string(r[:n])] {
			return true
		}
	}
	return false
}

// Thinned is what is left of a tree whose beginnings were compared.
type Thinned struct {
	Left    []Rotation // beginnings that stay; some may be whole
	Spent   int64      // season-runs
	Alone   int64      // without shared beginnings
	Below   float64    // rotations that stay
	Seasons float64    // season-runs that a replicate of those takes
}

const (
	mostBeginnings = 10_000 // that are compared at once: three kilobytes each
	hopeless       = 4.0    // budgets that the first replicates of all would take
)

// Thin compares beginnings, a year longer each time, and takes out those that are beaten. A
// length is run where it costs at most a quarter of all that is left, and all of them at most an
// eighth of the budget: a fiftieth where it is hopeless that the rest can then be run whole.
func (t *Tree) Thin(ctx context.Context, o Race) (*Thinned, error) {
	f := &Thinned{Left: []Rotation{{}}}
	t.rest(f)
	most := o.Budget / 8
	if f.Seasons*float64(o.First) > hopeless*float64(o.Budget) {
		most = o.Budget / 50
	}
	for year := 1; year <= t.years()-2 && t.Model.MoreSeedNeverHelps(); year++ {
		list := t.longer(f.Left, year)
		_, each := t.grow(nil, list)
		cost := each * int64(o.First)
		if len(list) > mostBeginnings || float64(each) > f.Seasons/4 || f.Spent+cost > most {
			break
		}
		var progress func(done, total int)
		if o.Progress != nil {
			progress = func(done, total int) { o.Progress(0, done, total) }
		}
		b := &begun{list: list}
		if _, err := t.run(ctx, nil, b, 0, o.First, progress); err != nil {
			return f, err
		}
		f.Spent += cost
		for _, r := range list {
			f.Alone += int64(t.Graph.Nodes[t.end(r)].Year) * int64(o.First)
		}
		b.drop(t, &o)
		f.Left = nil
		for _, r := range list {
			if !t.beaten[string(r)] {
				f.Left = append(f.Left, r)
			}
		}
		t.rest(f)
	}
	return f, nil
}

// rest counts what is left.
func (t *Tree) rest(f *Thinned) {
	_, begun := t.grow(nil, f.Left)
	f.Below, f.Seasons = 0, float64(begun)
	behind := map[int]float64{}
	for _, r := range f.Left {
		at := t.end(r)
		f.Below += t.Graph.Nodes[at].Below
		f.Seasons += t.behind(at, behind)
	}
}

// behind is how many season-runs a replicate of all that follows a node takes.
func (t *Tree) behind(at int, known map[int]float64) float64 {
	if n, ok := known[at]; ok {
		return n
	}
	sum := 0.0
	for _, s := range t.Graph.Nodes[at].Steps {
		if t.Graph.Nodes[s.To].Below > 0 {
			sum += float64(t.Graph.Nodes[s.To].Year-t.Graph.Nodes[at].Year) + t.behind(s.To, known)
		}
	}
	known[at] = sum
	return sum
}

func (t *Tree) years() (n int) {
	for i := range t.Graph.Nodes {
		n = max(n, t.Graph.Nodes[i].Year)
	}
	return n
}

// longer are the beginnings of so many years, or of the fewest above them, that go on from some.
func (t *Tree) longer(list []Rotation, year int) (out []Rotation) {
	for _, r := range list {
		n := &t.Graph.Nodes[t.end(r)]
		if n.Year >= year {
			out = append(out, r)
			continue
		}
		for s, step := range n.Steps {
			if t.Graph.Nodes[step.To].Below > 0 {
				out = append(out, append(slices.Clone(r), uint8(s)))
			}
		}
		if len(out) > mostBeginnings {
			return out // too many, however many they are
		}
	}
	return out
}
