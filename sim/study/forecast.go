package study

import (
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
	runs := []Runs{{Calendars: []*rotations.Calendar{q.Calendar}, Replicates: q.Replicates, Seed: q.Seed, Work: true, Past: q.Posterior}}
	if q.Calendar.Genes != nil && q.Posterior == nil { // what resistance costs; histories of counts know only how it was
		runs = append(runs, Runs{Round: Still, Calendars: []*rotations.Calendar{q.Calendar.HeldStill()}, Replicates: q.Replicates, Seed: q.Seed,
			Keep: []sim.Metric{sim.Margin}})
	}
	return runs, nil
}

// Forecast is where a plan leads.
type Forecast struct {
	ForecastRequest
	Outcome  *ensemble.Outcome
	Seasons  []Season
	Acts     Action
	Margin   Band    // mean of the seasons, by replicate
	Loss     float64 // share of runs in which it is below 0
	Worst    int     // season with the most heads by the median, of those that shed seed, else the last
	Last     int     // index of the last season
	Unmet    float64 // share of runs with values that do not fit the weed's cycle
	Warnings []Warning
	Answer   *ForecastAnswer
	Evolves  *Evolving // what becomes of resistance; nil: it is held still
}

// Find makes the forecast of its runs.
func (q *ForecastRequest) Find(given []Outcomes) *Forecast {
	f := q.find(given[0][0])
	if len(given) > 1 && f.Evolves != nil {
		f.Evolves.setCost(f, given[1][0])
	}
	return f
}

func (q *ForecastRequest) find(o *ensemble.Outcome) *Forecast {
	f := &Forecast{ForecastRequest: *q, Outcome: o, Seasons: Seasons(q.Calendar, o), Last: len(q.Calendar.Seasons) - 1}
	f.Acts = f.acts()
	f.Worst = f.Last
	for i := range f.Seasons {
		if f.Seasons[i].Bands[sim.Heads].P50 > f.Seasons[f.Worst].Bands[sim.Heads].P50 && f.Seasons[i].ShedsSeed() {
			f.Worst = i
		}
	}
	f.margin()
	f.Unmet = float64(o.Unmet()) / float64(q.Replicates)
	f.Evolves = evolving(q.Calendar, o)
	f.Answer = f.answer()
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
