package study

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"

	"rundown/params/sheet"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/search"
)

// Of a search.
const (
	SearchFrom       = 1_000_000 // index of the first replicate that it looks at: luck that is never told of
	SearchBudget     = 3_000_000 // season-runs, unless said otherwise
	searchFirst      = 32        // replicates of all rotations
	searchMost       = 256       // of those that stay longest
	searchCandidates = 16        // that are run on fresh luck
	searchFront      = 12        // members of a front, at most
	furtherRuns      = 500       // replicates for other lengths afterwards
	CutReplicates    = 200       // of the final runs of a search that was cut short
)

// SearchRequest asks which rotations of a menu no other beats on both counts, margin and seed.
type SearchRequest struct {
	Choices    *rotations.Choices
	Today      *rotations.Calendar // what is done now, of as many seasons; nil: not given
	Budget     int64               // season-runs of looking
	Replicates int                 // of the rotations that are told of
	Seed       uint64
}

// Looked is what a search looked at and chose, on luck of its own.
type Looked struct {
	Tried      int
	Exhaustive bool
	Compared   bool    // beginnings were: more seed never helps later
	Beaten     float64 // rotations that were gone on from no more, since another beginning beats theirs
	SeasonRuns int64
	Unshared   int64                // what they would have been without shared beginnings
	Longest    int                  // replicates of those that stayed longest
	Cut        bool                 // the clock or a key stopped it
	Cloud      []search.Point       // every rotation tried, by the means of the runs it had
	Chosen     []rotations.Rotation // to be run on fresh luck, in the order of the search's own
}

// ErrNothingFound is a search that was stopped before it had anything.
var ErrNothingFound = errors.New("the search was stopped before its first runs were done; give it more time")

// Look races the rotations. Where the context ends it gives what it has.
func (q *SearchRequest) Look(ctx context.Context, jobs int, progress func(done, total int)) (*Looked, error) {
	m, err := sim.New(q.Choices.Calendar)
	if err != nil {
		return nil, err
	}
	t := &search.Tree{Model: m, Graph: graphOf(q.Choices), Seed: q.Seed, Jobs: jobs, From: SearchFrom, Margin: math.Inf(-1)}
	race := search.Race{First: searchFirst, Most: searchMost, Budget: q.Budget}
	if w := q.Choices.Menu.Want; w != nil {
		race.Want = &search.Want{Under: w.HeadsIn, Earns: w.MarginIn}
		t.Heads, t.WantFrom = w.Heads, w.From-1
		if w.HasMargin {
			t.Margin = w.Margin
		}
	}
	if progress != nil {
		race.Progress = func(_, done, total int) { progress(done, total) }
	}
	thin, err := t.Thin(ctx, race)
	if err != nil && ctx.Err() != nil {
		return nil, ErrNothingFound
	}
	if err != nil {
		return nil, err
	}
	race.Budget -= thin.Spent
	out := &Looked{Exhaustive: q.exhaustive(thin), Compared: m.MoreSeedNeverHelps()}
	var f *search.Field
	if out.Exhaustive {
		numbers := t.Every()
		out.Tried = len(numbers)
		f, err = race.Run(ctx, t, numbers)
	} else {
		f, out.Tried, err = search.UsualBeam(race, q.Seed).Run(ctx, t)
	}
	switch {
	case f == nil && ctx.Err() != nil:
		return nil, ErrNothingFound
	case f == nil || err != nil && ctx.Err() == nil:
		return nil, err
	}
	out.Cut = ctx.Err() != nil && f.Cut
	out.Beaten = t.Beaten()
	out.SeasonRuns, out.Unshared, out.Longest, out.Cloud = thin.Spent+f.Spent, thin.Alone+f.Alone, f.N, f.Cloud
	for _, row := range q.chosen(f, race.Want) {
		out.Chosen = append(out.Chosen, t.Graph.Entries(t.Rotation(f.Numbers[row])))
	}
	return out, nil
}

// exhaustive tells whether every rotation that is left can be run: on half of the budget.
func (q *SearchRequest) exhaustive(left *search.Thinned) bool {
	const most = 200_000
	return left.Below <= most && float64(q.Budget)/2 >= left.Seasons*searchFirst+float64(left.Spent)
}

// chosen are the rows to be run on fresh luck: the best on both counts, and those that earn
// most of what may keep to the want.
func (q *SearchRequest) chosen(f *search.Field, want *search.Want) []int {
	rows := f.Candidates(searchCandidates)
	if want == nil {
		return rows
	}
	const most = 4
	points := f.Means()
	var hopes []int
	for i := range points {
		if want.May(f.Results, i) {
			hopes = append(hopes, i)
		}
	}
	slices.SortStableFunc(hopes, func(a, b int) int { return int(math.Copysign(1, points[b].Margin-points[a].Margin)) })
	for _, i := range hopes[:min(most, len(hopes))] {
		if !slices.Contains(rows, i) {
			rows = append(rows, i)
		}
	}
	return rows
}

// graphOf is the graph of a menu as the search takes it.
func graphOf(c *rotations.Choices) search.Graph {
	var g search.Graph
	for _, n := range c.Nodes {
		below, _ := n.Below.Float64()
		node := search.Node{Year: n.Year, Below: below}
		for _, s := range n.Steps {
			node.Steps = append(node.Steps, search.Step(s))
		}
		g.Nodes = append(g.Nodes, node)
	}
	return g
}

// SearchFinal are the runs on fresh luck, that of a forecast: of what was chosen and of today's
// plan with what the seed left behind costs; then of the front for other lengths of what is
// grown afterwards.
type SearchFinal struct {
	SearchRequest
	*Looked
	Calendars []*rotations.Calendar // of what was chosen
}

// Final makes ready what is run of what was looked at.
func (q SearchRequest) Final(l *Looked) (*SearchFinal, error) {
	out := &SearchFinal{SearchRequest: q, Looked: l}
	for _, r := range l.Chosen {
		var m sheet.Mistakes
		p, err := q.Choices.Menu.PlanOf(r, &m)
		if err == nil && m.Len() == 0 {
			out.Calendars = append(out.Calendars, p.Resolve(q.Choices.Calendar.Library, &m))
		}
		if m.Len() > 0 {
			err = &m
		}
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// told are the metrics that are needed of every season.
var told = []sim.Metric{sim.Heads, sim.Margin, sim.SeedAfter, sim.TakenByWeeds, sim.Course}

// Runs are two rounds.
func (q *SearchFinal) Runs(given []Outcomes) ([]Runs, error) {
	round := func(r Round, plans []*rotations.Calendar, b rotations.Behind, n int) (Runs, error) {
		list, err := continued(plans, b)
		return Runs{Round: r, Calendars: list, Replicates: n, Seed: q.Seed, Keep: told}, err
	}
	switch len(given) {
	case 0:
		plans := q.Calendars
		if q.Today != nil {
			plans = append(slices.Clip(plans), q.Today)
		}
		r, err := round(Main, plans, rotations.Behind{}, q.Replicates)
		return []Runs{r}, err
	case 1:
		var plans []*rotations.Calendar
		for _, i := range q.front(given[0]) {
			plans = append(plans, q.Calendars[i])
		}
		n := min(furtherRuns, q.Replicates)
		long, err := round(Afterwards, plans, rotations.Behind{Seasons: 8}, n)
		if err != nil {
			return nil, err
		}
		own, err := round(Afterwards, plans, rotations.Behind{Own: true}, n)
		return []Runs{long, own}, err
	}
	return nil, nil
}

// results are the outcomes as the front is taken of them.
func (q *SearchFinal) results(given Outcomes) *search.Results {
	r := &search.Results{N: q.Replicates}
	for i, c := range q.Calendars {
		last := len(c.Seasons) - 1
		r.Margin = append(r.Margin, decide.MeanMargin(given[i].FirstSeasons(last+1), 0))
		r.Seed = append(r.Seed, decide.Logs(given[i].Column(sim.SeedAfter, last)))
	}
	return r
}

// front is the front by fresh luck.
func (q *SearchFinal) front(given Outcomes) []int {
	return q.results(given).Front(searchFront, false)
}

// drawn are rotations of those allowed, drawn at random: all are equally likely.
func drawn(c *rotations.Choices, n int, seed uint64) []rotations.Rotation {
	rng := rand.New(rand.NewPCG(seed, 0x5ea2c4))
	g := graphOf(c)
	var out []rotations.Rotation
	for range n {
		at := 0
		var r rotations.Rotation
		for len(g.Nodes[at].Steps) > 0 {
			x, s := rng.Float64()*g.Nodes[at].Below, 0
			for ; s < len(g.Nodes[at].Steps)-1; s++ {
				if x -= g.Nodes[g.Nodes[at].Steps[s].To].Below; x < 0 {
					break
				}
			}
			r, at = append(r, g.Nodes[at].Steps[s].Entry), g.Nodes[at].Steps[s].To
		}
		out = append(out, r)
	}
	return out
}
