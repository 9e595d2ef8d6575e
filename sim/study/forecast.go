package study

import (
	"slices"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/ensemble"
	particles "rundown/sim/update"
)

// ForecastRequest asks where one plan leads.
type ForecastRequest struct {
	Calendar   *rotations.Calendar
	Replicates int
	Seed       uint64
	Posterior  *particles.Posterior // to go on from; nil: from the start
}

// Runs are one round of one plan.
func (q *ForecastRequest) Runs(given []Outcomes) ([]Runs, error) {
	if len(given) > 0 {
		return nil, nil
	}
	return []Runs{{Calendars: []*rotations.Calendar{q.Calendar}, Replicates: q.Replicates, Seed: q.Seed, Past: q.Posterior}}, nil
}

// Forecast is where a plan leads.
type Forecast struct {
	ForecastRequest
	Outcome    *ensemble.Outcome
	Seasons    []Season
	Trend      Trend
	Acts       Action
	Margin     Band    // mean of the seasons, by replicate
	Loss       float64 // share of runs in which it is below 0
	Worst      int     // season with the most heads by the median, of those that shed seed, else the last
	Last       int     // index of the last season
	LastCount  int     // season in which the field was last counted; −1: none, or the last
	OneSeason  *Change // of a plan of one season: from before it to after; nil for more
	Unmet      float64 // share of runs with values that do not fit the weed's cycle
	Warnings   []Warning
	FewerHeads float64 // share of runs with fewer heads at the end than at LastCount, or at the start where heads were counted there
}

// Find makes the forecast of its runs.
func (q *ForecastRequest) Find(given []Outcomes) *Forecast { return q.find(given[0][0]) }

func (q *ForecastRequest) find(o *ensemble.Outcome) *Forecast {
	f := &Forecast{ForecastRequest: *q, Outcome: o, Seasons: Seasons(q.Calendar, o), Last: len(q.Calendar.Seasons) - 1}
	f.Trend = f.trend()
	f.Acts = f.acts()
	f.Worst = f.Last
	for i := range f.Seasons {
		if f.Seasons[i].Bands[sim.Heads].P50 > f.Seasons[f.Worst].Bands[sim.Heads].P50 && f.Seasons[i].ShedsSeed() {
			f.Worst = i
		}
	}
	f.margin()
	f.LastCount = f.lastCounted()
	f.Unmet = float64(o.Unmet()) / float64(q.Replicates)
	f.fewerHeads()
	if f.Last == 0 {
		f.OneSeason = changeOf(o.Column(sim.LedgerStart, 0), o.Column(sim.LedgerEnd, 0))
	}
	f.Warnings = f.warnings()
	return f
}

// margin is the mean margin of the seasons. Every season's part is added on its own,
// so that a season more moves no digit of the others.
func (f *Forecast) margin() {
	yearly := make([]float64, f.Outcome.Replicates)
	for i := range f.Seasons {
		for k, m := range f.Outcome.Column(sim.Margin, i) {
			yearly[k] += m / float64(len(f.Seasons))
		}
	}
	f.Margin, f.Loss = band(yearly), share(len(yearly), func(k int) bool { return yearly[k] < 0 })
}

// fewerHeads sets the heads of the end against those that were counted.
func (f *Forecast) fewerHeads() {
	heads := f.Outcome.Column(sim.Heads, f.Last)
	switch counted := f.Calendar.Heads; {
	case f.LastCount >= 0:
		then := f.Outcome.Column(sim.Heads, f.LastCount)
		f.FewerHeads = share(len(heads), func(k int) bool { return heads[k] < then[k] })
	case counted != nil && f.Posterior == nil:
		now := counted.Quantile(0.5)
		f.FewerHeads = share(len(heads), func(k int) bool { return heads[k] < now })
	}
}

// Change is a quantity before and after, and in how many runs it fell and rose.
type Change struct {
	Before, After Band
	Lower, Higher float64 // shares of runs
}

func changeOf(before, after []float64) *Change {
	return &Change{band(before), band(after),
		share(len(before), func(k int) bool { return after[k] < before[k] }), share(len(before), func(k int) bool { return after[k] > before[k] })}
}

// Trend sets the seedbank of the last June against that of an earlier season.
type Trend struct {
	From int // the earlier season
	Change
}

// trend sets the seedbank of the last June against that of the first season of
// the same crop, since a June in one crop says little against a June in another; of
// the first season where the crop comes once.
func (f *Forecast) trend() Trend {
	at := slices.IndexFunc(f.Seasons, func(s Season) bool { return s.Crop == f.Seasons[f.Last].Crop })
	if at == f.Last {
		at = 0
	}
	return Trend{at, *changeOf(f.Outcome.Column(sim.SeedbankJune, at), f.Outcome.Column(sim.SeedbankJune, f.Last))}
}

// Action is the density of heads from which on one would act, at the end.
type Action struct {
	Heads float64 // per m²; 0: none
	Own   bool    // of the plan, else of the library
	Over  float64 // share of runs above it
}

// acts is the plan's threshold, or else what the library says of the last crop:
// that is by loss of yield and seed returned, so that a ley or fallow has none.
func (f *Forecast) acts() Action {
	last := &f.Seasons[f.Last]
	a := Action{Heads: f.Calendar.ThresholdPer, Own: true}
	if a.Heads == 0 && last.ShedsSeed() {
		a.Heads, a.Own = last.Courses[0].Crop.Value("heads_threshold").Central, false
	}
	heads := f.Outcome.Column(sim.Heads, f.Last)
	a.Over = share(len(heads), func(k int) bool { return heads[k] > a.Heads })
	return a
}

// MeanMargin is the mean yearly margin by replicate.
func (f *Forecast) MeanMargin() []float64 { return decide.MeanMargin(f.Outcome, 0) }

// lastCounted is the season in which the field was last counted, of a run that goes on
// from counts; -1 for none, and for the last season.
func (f *Forecast) lastCounted() int {
	if f.Posterior == nil {
		return -1
	}
	for i := range f.Last {
		if f.Posterior.Last <= f.Calendar.Seasons[i].End {
			return i
		}
	}
	return -1
}
