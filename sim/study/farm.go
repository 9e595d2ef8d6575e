package study

import (
	"math"
	"slices"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/ensemble"
)

// FieldRequest asks what each of several plans makes of one field of a farm.
type FieldRequest struct {
	Calendars  []*rotations.Calendar // of the plans, with the field laid over them and its name among others
	Replicates int
	Seed       uint64
	Afterwards bool // plans are valued with what the seed that they leave behind costs, too
}

// FarmMetrics are what a farm keeps of the runs of a field; with what is grown afterwards, if
// that is asked for.
func FarmMetrics(afterwards bool) []sim.Metric {
	keep := []sim.Metric{sim.Heads, sim.SeedBefore, sim.SeedAfter, sim.Margin, sim.Course}
	if afterwards {
		keep = append(keep, sim.TakenByWeeds)
	}
	return keep
}

// Runs are one round of all plans.
func (q *FieldRequest) Runs(given []Outcomes) ([]Runs, error) {
	if len(given) > 0 {
		return nil, nil
	}
	plans, err := q.run()
	return []Runs{{Calendars: plans, Replicates: q.Replicates, Seed: q.Seed, Keep: FarmMetrics(q.Afterwards)}}, err
}

// run are the calendars that are run.
func (q *FieldRequest) run() ([]*rotations.Calendar, error) {
	if !q.Afterwards {
		return q.Calendars, nil
	}
	return continued(q.Calendars, rotations.Behind{})
}

// Field is what plans make of a field, without the single runs. Plans are set against
// each other at the last harvest that all of them have.
type Field struct {
	Name       string
	AreaHa     float64
	Soil       string
	Resistance bool // some is stated
	Evolves    bool // and changes
	Covers     bool // some plan grows one
	End        int  // season of the end
	EndYear    int
	First      int // first harvest year
	Plans      []FieldPlan
	Best       int     // earns most, by the mean
	Next       int     // the one after it; −1: there is one plan
	Worst      int     // earns least
	Cleanest   int     // by the median of the seed
	Stake      float64 // what the choice is worth: the best over the worst, a year, for the field
	Settled    bool    // the best earns more than the next beyond the error of the runs
	Lead       Against // the best against the next
	Gap        Against // and against the worst
	Worth      int     // worth most with what the seed left behind costs, by the mean; −1: not asked for
}

// FieldPlan is a plan on a field.
type FieldPlan struct {
	Change    *SeedChange // its columns are taken away
	Ends      Ends
	FromYear  int     // harvest year before which seed is measured
	ToYear    int     // and after which
	Threshold float64 // heads per m² that Under is about; 0: none
	Under     float64 // share of runs in which heads stay under it at every harvest to the end; NaN: there is none
	Heads     Band    // at the end
	Seed      Band
	Margin    Band    // a year, per ha
	Year      float64 // mean margin a year, per ha
	Field     float64 // and for the field
	Most      float64 // share of runs in which it earns the most of all plans, ties shared
	Least     float64 // share of runs in which it leaves the least seed, ties shared
	Planned   float64 // share of runs that grow the planned crop, in the season in which fewest do
	PlannedIn int     // that season
	Medians   []float64
	ByYear    []Band // heads, by season
	SD        float64
	Unmet     float64 // share of runs with values that do not fit the weed's cycle
	Left      float64 // what the seed left behind costs, mean a year, per ha; 0 where it is not asked for
	Value     float64 // mean value a year, per ha, with that taken off
}

// Found is a field with the money of its plans a year, by plan and run, for the whole
// field: what a farm adds up.
type Found struct {
	*Field
	Money [][]float64
	Value [][]float64 // less what the seed left behind costs; nil: not asked for
}

// Find makes of runs what the farm needs of a field.
func (q *FieldRequest) Find(name string, given Outcomes) *Found {
	c := q.Calendars[0]
	f := &Field{Name: name, AreaHa: c.AreaHa, Soil: c.Soil.Name, Resistance: len(c.Resistance) > 0, Evolves: c.Genes != nil, End: len(c.Seasons) - 1, Next: -1,
		Worth: -1}
	for _, plan := range q.Calendars {
		f.End = min(f.End, len(plan.Seasons)-1)
		for i := range plan.Seasons {
			f.Covers = f.Covers || plan.Seasons[i].Cover != nil
		}
	}
	f.First, f.EndYear = c.Seasons[0].HarvestYear, c.Seasons[f.End].HarvestYear
	found := &Found{Field: f}
	var ways []way
	run, _ := q.run() // there were runs, so they can be continued
	for i, whole := range given {
		o := whole
		if q.Afterwards {
			o = whole.FirstSeasons(len(q.Calendars[i].Seasons))
		}
		ways = append(ways, wayOf(o, f.End))
		f.Plans = append(f.Plans, fieldPlan(q.Calendars[i], o, f.End, ways[i]))
		found.Money = append(found.Money, scaled(ways[i].yearly, f.AreaHa))
		if q.Afterwards {
			found.value(i, ValueOf(run[i], whole))
		}
	}
	for i := range f.Plans {
		f.Plans[i].SD = math.Sqrt(variance(found.Money[i]))
		f.Plans[i].Most = wins(len(ways), i, len(ways[0].yearly), func(plan, k int) float64 { return ways[plan].yearly[k] })
		f.Plans[i].Least = wins(len(ways), i, len(ways[0].yearly), func(plan, k int) float64 { return -ways[plan].seed[k] })
	}
	f.rank(ways)
	return found
}

// value takes what a plan is worth with what the seed that it leaves behind costs.
func (f *Found) value(plan int, v Value) {
	p := &f.Plans[plan]
	p.Left, p.Value = mean(v.LeftAYear()), mean(v.Year)
	f.Value = append(f.Value, scaled(v.Year, f.AreaHa))
	if f.Worth < 0 || p.Value > f.Plans[f.Worth].Value {
		f.Worth = plan
	}
}

func fieldPlan(c *rotations.Calendar, o *ensemble.Outcome, end int, w way) FieldPlan {
	p := FieldPlan{Ends: endsOf(c, nil, end), Under: math.NaN(), Heads: band(w.heads), Seed: band(w.seed), Margin: band(w.yearly), Year: mean(w.yearly),
		Planned: 1}
	p.Field = p.Year * c.AreaHa
	p.Change = seedBetween(o, p.Ends.From, p.Ends.To)
	p.Change.Before, p.Change.After = nil, nil
	p.FromYear, p.ToYear = c.Seasons[p.Ends.From].HarvestYear, c.Seasons[p.Ends.To].HarvestYear
	if p.Threshold = threshold(c); p.Threshold > 0 {
		p.Under = staysUnder(o, 0, end, p.Threshold)
	}
	for i := range c.Seasons {
		b := band(o.Column(sim.Heads, i))
		p.Medians, p.ByYear = append(p.Medians, b.P50), append(p.ByYear, b)
		course := o.Column(sim.Course, i)
		if grown := share(len(course), func(k int) bool { return course[k] == 0 }); grown < p.Planned {
			p.Planned, p.PlannedIn = grown, i
		}
	}
	p.Unmet = float64(o.Unmet()) / float64(o.Replicates)
	return p
}

// wins is the share of runs in which a plan has the most of all, ties shared.
func wins(plans, of, runs int, value func(plan, k int) float64) float64 {
	sum := 0.0
	for k := range runs {
		most, ties := true, 0.0
		for i := range plans {
			switch a, b := value(i, k), value(of, k); {
			case a > b:
				most = false
			case a == b:
				ties++
			}
		}
		if most {
			sum += 1 / ties
		}
	}
	return sum / float64(runs)
}

// rank finds the plan that earns most on a field, what the choice is worth, and how
// surely it is known.
func (f *Field) rank(ways []way) {
	order := make([]int, len(f.Plans))
	for i := range order {
		order[i] = i
		if f.Plans[i].Seed.P50 < f.Plans[f.Cleanest].Seed.P50 {
			f.Cleanest = i
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch x, y := f.Plans[a].Year, f.Plans[b].Year; {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	f.Best, f.Worst = order[0], order[len(order)-1]
	f.Stake = f.Plans[f.Best].Field - f.Plans[f.Worst].Field
	if len(order) > 1 {
		f.Next = order[1]
		f.Lead = ways[f.Best].against(ways[f.Next], f.AreaHa)
		f.Gap = ways[f.Best].against(ways[f.Worst], f.AreaHa)
		f.Settled = f.Lead.MarginYear > f.Lead.MarginError
	}
}

// Suited tells whether a plan earns the most on a field, or the runs cannot tell that it
// does not; only the next is asked.
func (f *Field) Suited(plan int) bool { return plan == f.Best || plan == f.Next && !f.Settled }

// FarmMoney is what a farm earns a year, in all.
type FarmMoney struct {
	ByRun    []float64
	Band     Band
	SD       float64
	Apart    float64 // what SD would be if fields shared nothing
	Together float64 // and if all went up and down as one
}

// Farm is what plans make of a farm. All fields meet the same years and the same values of
// weed, crops and prices, run by run; chance, the infestation at the start and what is a
// field's own are each field's. So money is added up run by run.
type Farm struct {
	Names    []string // of the plans
	Fields   []*Field // in the order in which they were added
	AreaHa   float64
	Plans    []*FarmMoney // one plan on every field
	Chosen   *FarmMoney   // on each field the plan that earns most there
	Best     int          // of the plans on every field the one that earns most
	Lead     Band         // Chosen less that plan on every field, run by run
	MoreOver float64      // share of runs in which Chosen earns more than that; ties half
	Worth    []*FarmMoney // as Plans, less what the seed left behind costs; nil: not asked for
	MostLeft int          // of those the one that is worth most
}

// NewFarm is a farm without fields.
func NewFarm(names []string, replicates int) *Farm {
	f := &Farm{Names: names, Chosen: &FarmMoney{ByRun: make([]float64, replicates)}}
	for range names {
		f.Plans = append(f.Plans, &FarmMoney{ByRun: make([]float64, replicates)})
	}
	return f
}

// Add adds a field. Sums hang on the order of fields by their last digits: by name, they
// do not hang on a table's.
func (f *Farm) Add(x *Found) {
	f.Fields = append(f.Fields, x.Field)
	f.AreaHa += x.AreaHa
	for i, money := range x.Money {
		f.Plans[i].add(money, x.Plans[i].SD)
	}
	for i, value := range x.Value {
		if len(f.Worth) == i {
			f.Worth = append(f.Worth, &FarmMoney{ByRun: make([]float64, len(value))})
		}
		f.Worth[i].add(value, math.Sqrt(variance(value)))
	}
	f.Chosen.add(x.Money[x.Best], x.Plans[x.Best].SD)
}

func (m *FarmMoney) add(money []float64, sd float64) {
	for k, x := range money {
		m.ByRun[k] += x
	}
	m.Apart += sd * sd // its root is taken at the end
	m.Together += sd
}

func (m *FarmMoney) close() {
	m.Band, m.SD, m.Apart = band(m.ByRun), math.Sqrt(variance(m.ByRun)), math.Sqrt(m.Apart)
}

// Close finds what can be said once all fields are there.
func (f *Farm) Close() *Farm {
	f.Chosen.close()
	for i, p := range f.Plans {
		p.close()
		if p.Band.Mean > f.Plans[f.Best].Band.Mean {
			f.Best = i
		}
	}
	for i, p := range f.Worth {
		p.close()
		if p.Band.Mean > f.Worth[f.MostLeft].Band.Mean {
			f.MostLeft = i
		}
	}
	best := f.Plans[f.Best].ByRun
	f.Lead, f.MoreOver = difference(f.Chosen.ByRun, best), decide.Wins(f.Chosen.ByRun, best)
	return f
}

// ByStake are the fields by how much the choice of plan is worth on them, most first; of
// one plan by how seldom the weed goes down.
func (f *Farm) ByStake() []*Field {
	out := slices.Clone(f.Fields)
	slices.SortStableFunc(out, func(a, b *Field) int {
		x, y := a.Stake, b.Stake
		if len(f.Names) == 1 {
			x, y = -a.Plans[0].Change.Lower, -b.Plans[0].Change.Lower
		}
		switch {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	return out
}

// variance is the unbiased variance of a sample.
func variance(x []float64) float64 {
	if len(x) < 2 {
		return 0
	}
	m, v := mean(x), 0.0
	for _, a := range x {
		v += (a - m) * (a - m)
	}
	return v / float64(len(x)-1)
}
