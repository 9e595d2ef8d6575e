package study

import (
	"slices"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/search"
)

// Meets says whether a rotation keeps to the want.
type Meets uint8

// Whether it does.
const (
	NotWanted Meets = iota // nothing is wanted
	Misses
	OnTheEdge // its share is short of the want, or reaches it, by less than the error of the runs
	Keeps
)

// Kept is a rotation as fresh luck tells it.
type Kept struct {
	Rotation rotations.Rotation
	Calendar *rotations.Calendar
	Yearly   []float64 // mean margin a year within the plan, by replicate
	Seed     []float64 // at the end, bank and rain of the last harvest year, whatever the last crop
	Heads    []float64 // at the last harvest
	Failed   float64   // share of its seasons in which the planned crop was not grown
	Value    Value
	Horizons []Horizon // for other lengths afterwards, of fewer runs; nil: not asked for
	Under    float64   // share of runs whose heads keep under the want
	Earns    float64   // share whose margin is at least the want's
	Meets    Meets
	Against  *Against // today's plan; nil: none was given
	AsGood   bool     // in its value it cannot be told from the one that is worth most
}

// Horizon is what a rotation is worth with other seasons behind it.
type Horizon struct {
	Behind rotations.Behind
	Year   []float64 // value a year, by replicate
}

// Search is what a search found.
type Search struct {
	*SearchFinal
	Front  []*Kept // from most margin to least seed
	Fallen int     // of what was chosen, not on the front by fresh luck
	Worth  int     // of the front, worth most by the mean
	Wanted *Kept   // worth most of those that keep to the want, on the front or not; nil: none does, or nothing is wanted
	Today  *Kept   // nil: not given
	Orders []Order // other lengths afterwards at which another is worth most
	Common []Trait
}

// Order is which of the front is worth most where something else is grown afterwards.
type Order struct {
	Behind rotations.Behind
	Worth  int
	More   float64 // than the one that is worth most otherwise, a year
	Sure   bool    // beyond the paired error
}

// Find makes the result of its runs.
func (q *SearchFinal) Find(given []Outcomes) *Search {
	s := &Search{SearchFinal: q}
	main, end := given[0], len(q.Calendars[0].Seasons)-1
	run, _ := continued(q.Calendars, rotations.Behind{}) // there were runs, so they can be continued
	all := make([]*Kept, len(q.Calendars))
	for i, c := range q.Calendars {
		all[i] = q.kept(c, run[i], main[i])
		all[i].Rotation = q.Chosen[i]
	}
	if q.SearchRequest.Today != nil {
		c := q.SearchRequest.Today
		more, _ := c.Continued(rotations.Behind{})
		s.Today = q.kept(c, more, main[len(main)-1])
		for _, k := range all {
			a := k.way().against(s.Today.way(), c.AreaHa)
			k.Against = &a
		}
	}
	front := q.front(main)
	for _, i := range front {
		s.Front = append(s.Front, all[i])
	}
	s.Fallen = len(all) - len(front)
	s.Worth = worthMost(s.Front)
	best := s.Front[s.Worth].Value.Year
	for _, k := range s.Front {
		less := decide.Differences(best, k.Value.Year)
		k.AsGood = mean(less) <= decide.MeanError(less)
	}
	for _, k := range all {
		if k.Meets == Keeps && (s.Wanted == nil || mean(k.Value.Year) > mean(s.Wanted.Value.Year)) {
			s.Wanted = k
		}
	}
	if len(given) > 2 {
		s.later(front, given[1], given[2], end)
	}
	s.Common = s.common()
	return s
}

// Told are the rotations that are told of: the front, and behind it what is worth most of those
// that keep to the want, where that is not on the front.
func (s *Search) Told() []*Kept {
	if s.Wanted == nil || slices.Contains(s.Front, s.Wanted) {
		return s.Front
	}
	return append(slices.Clip(s.Front), s.Wanted)
}

// worthMost is the rotation with the highest mean value a year.
func worthMost(list []*Kept) (best int) {
	for i, k := range list {
		if mean(k.Value.Year) > mean(list[best].Value.Year) {
			best = i
		}
	}
	return best
}

func (k *Kept) way() way { return way{k.Heads, k.Seed, k.Yearly} }

// kept reads what is told of a calendar out of the runs of it with more behind it.
func (q *SearchFinal) kept(c, run *rotations.Calendar, o *Outcome) *Kept {
	last := len(c.Seasons) - 1
	k := &Kept{Calendar: c, Yearly: decide.MeanMargin(o.FirstSeasons(last+1), 0), Seed: o.Column(sim.SeedAfter, last),
		Heads: o.Column(sim.Heads, last), Value: ValueOf(run, o)}
	for i := range c.Seasons {
		k.Failed += share(o.Replicates, func(r int) bool { return o.Column(sim.Course, i)[r] > 0 }) / float64(last+1)
	}
	w := q.Choices.Menu.Want
	if w == nil {
		return k
	}
	k.Under, k.Earns = 1, 1
	if w.Heads > 0 {
		k.Under = staysUnder(o, w.From-1, last, w.Heads)
	}
	if w.HasMargin {
		k.Earns = share(o.Replicates, func(r int) bool { return k.Yearly[r] >= w.Margin })
	}
	k.Meets = meets(o.Replicates, [2]float64{k.Under, w.HeadsIn}, [2]float64{k.Earns, w.MarginIn})
	return k
}

// meets tells of shares and what they should be whether they are.
func meets(n int, pairs ...[2]float64) Meets {
	out := Keeps
	for _, p := range pairs {
		if p[1] == 0 {
			continue
		}
		low, high := search.Wilson(p[0], n)
		switch {
		case low < p[1] && p[1] < high:
			out = min(out, OnTheEdge)
		case p[0] < p[1]:
			out = Misses
		}
	}
	return out
}

// later takes what the front is worth for two and eight seasons afterwards and with its own
// course going on.
func (s *Search) later(front []int, long, own Outcomes, end int) {
	for i, k := range s.Front {
		c := k.Calendar
		eight, _ := c.Continued(rotations.Behind{Seasons: 8})
		two, _ := c.Continued(rotations.Behind{Seasons: 2})
		on, _ := c.Continued(rotations.Behind{Own: true})
		k.Horizons = []Horizon{
			{rotations.Behind{Seasons: 2}, ValueOf(two, long[i].FirstSeasons(end+3)).Year},
			{rotations.Behind{Seasons: 8}, ValueOf(eight, long[i]).Year},
			{rotations.Behind{Own: true}, ValueOf(on, own[i]).Year},
		}
	}
	for n := range s.Front[0].Horizons {
		best := 0
		for i, k := range s.Front {
			if mean(k.Horizons[n].Year) > mean(s.Front[best].Horizons[n].Year) {
				best = i
			}
		}
		more := decide.Differences(s.Front[best].Horizons[n].Year, s.Front[s.Worth].Horizons[n].Year)
		if best != s.Worth {
			s.Orders = append(s.Orders, Order{s.Front[best].Horizons[n].Behind, best, mean(more), mean(more) > decide.MeanError(more)})
		}
	}
}

// TraitKind is what rotations may have in common.
type TraitKind uint8

// Traits.
const (
	Begins    TraitKind = iota // with an entry, or with so many spring crops
	EndsWith                   // an entry
	Holds                      // an entry, so often or more
	Without                    // an entry
	Springs                    // so many spring crops or more
	BeginsSpr                  // with so many spring crops
)

// Trait is what all that are as good as the best have in common, and seldom others.
type Trait struct {
	Kind    TraitKind
	Entry   string
	Times   int
	Allowed float64 // share of the rotations that the rules allow
	holds   func(r rotations.Rotation) bool
}

// common are the traits of all of the front that are as good as the best: at most two, that
// fewest of what was allowed have. One rotation alone has nothing in common.
func (s *Search) common() []Trait {
	const (
		sample = 2000
		seldom = 0.5
		most   = 2
	)
	var good []rotations.Rotation
	for _, k := range s.Front {
		if k.AsGood {
			good = append(good, k.Rotation)
		}
	}
	if len(good) < 2 {
		return nil
	}
	random := drawn(s.Choices, sample, s.Seed)
	var out []Trait
	for _, t := range s.traits() {
		if slices.ContainsFunc(good, func(r rotations.Rotation) bool { return !t.holds(r) }) {
			continue
		}
		if t.Allowed = share(sample, func(k int) bool { return t.holds(random[k]) }); t.Allowed <= seldom {
			out = append(out, t)
		}
	}
	slices.SortStableFunc(out, func(a, b Trait) int { return int(sample * (a.Allowed - b.Allowed)) })
	var kept []Trait
	for _, t := range out { // what follows from one that is told need not be
		follows := slices.ContainsFunc(kept, func(told Trait) bool {
			return !slices.ContainsFunc(random, func(r rotations.Rotation) bool { return told.holds(r) && !t.holds(r) })
		})
		if !follows && len(kept) < most {
			kept = append(kept, t)
		}
	}
	return kept
}

// traits are all that is looked for.
func (s *Search) traits() (out []Trait) {
	menu := s.Choices.Menu
	count := func(r rotations.Rotation, e int) (n int) {
		for _, x := range r {
			if x == e {
				n++
			}
		}
		return n
	}
	for e := range menu.Entries {
		name := menu.Entries[e].Name
		out = append(out,
			Trait{Kind: Begins, Entry: name, holds: func(r rotations.Rotation) bool { return r[0] == e }},
			Trait{Kind: EndsWith, Entry: name, holds: func(r rotations.Rotation) bool { return r[len(r)-1] == e }},
			Trait{Kind: Without, Entry: name, holds: func(r rotations.Rotation) bool { return count(r, e) == 0 }})
		for n := 1; n < menu.Years; n++ {
			out = append(out, Trait{Kind: Holds, Entry: name, Times: n, holds: func(r rotations.Rotation) bool { return count(r, e) >= n }})
		}
	}
	lib := s.Choices.Calendar.Library
	spring := func(e int) bool {
		return !slices.ContainsFunc(menu.Entries[e].Crops(), func(name string) bool { return kindOf(lib.Find("crops", name)) != SpringCrop })
	}
	for n := 1; n <= menu.Years; n++ {
		out = append(out,
			Trait{Kind: BeginsSpr, Times: n, holds: func(r rotations.Rotation) bool {
				return len(r) >= n && !slices.ContainsFunc(r[:n], func(e int) bool { return !spring(e) })
			}},
			Trait{Kind: Springs, Times: n, holds: func(r rotations.Rotation) bool {
				k := 0
				for _, e := range r {
					if spring(e) {
						k++
					}
				}
				return k >= n
			}})
	}
	return out
}
