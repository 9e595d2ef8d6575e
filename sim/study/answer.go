package study

import (
	"math"

	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/ensemble"
)

// ForecastAnswer is what a forecast owes first.
type ForecastAnswer struct {
	Ends
	Seed       *SeedChange
	LastCourse *SeedChange // over the last course of crops, up to To; nil: the plan repeats none, or only one crop
	Threshold  Action      // of the heads that Under is about
	Under      float64     // share of runs in which heads stay under it at every harvest from From on, in whatever was grown; NaN: there is none
	Margin     float64     // mean a year, per ha
	Field      float64     // and for the field
	Changed    []Changed   // planned crops that go in seldom
	Undone     *Undone     // work of the plan that mostly was not done; nil: none, or not known
	Resistance bool        // some is stated in the plan
}

// Changed is a season whose planned crop is grown in fewer than 80 of 100 runs.
type Changed struct {
	Season  int
	Crop    string  // planned; of a branch that was chosen shares are of its runs
	Planned float64 // share of runs that grow it
	Instead Grown   // what is grown most besides
}

// mostlyGrown is the share of runs below which a planned crop is not what the answer
// is about.
const mostlyGrown = 0.80

// answer makes the answer of a forecast.
func (f *Forecast) answer() *ForecastAnswer {
	a := &ForecastAnswer{Ends: endsOf(f.Calendar, f.Posterior, f.Last), Threshold: f.Acts, Resistance: len(f.Calendar.Resistance) > 0}
	a.Seed = seedBetween(f.Outcome, a.From, a.To)
	if start := a.To + 1 - a.Course; a.Course > 1 && start > a.From {
		a.LastCourse = seedBetween(f.Outcome, start, a.To)
	}
	a.Under = math.NaN()
	if a.Threshold.Heads > 0 {
		a.Under = staysUnder(f.Outcome, a.From, f.Last, a.Threshold.Heads)
	}
	a.Margin = band(f.MeanMargin()).Mean // as a search tells it of a rotation, to the last bit
	a.Field = a.Margin * f.Calendar.AreaHa
	a.Changed = changed(f.Seasons)
	a.Undone = f.oftenUndone()
	return a
}

// seedBetween is the seed before a season against that after another.
func seedBetween(o *ensemble.Outcome, from, to int) *SeedChange {
	return seedChange(o.Column(sim.SeedBefore, from), o.Column(sim.SeedAfter, to))
}

// staysUnder is the share of runs in which heads stay under a limit at every harvest of
// some seasons. Where no heads are formed there are none.
func staysUnder(o *ensemble.Outcome, from, last int, limit float64) float64 {
	return share(o.Replicates, func(k int) bool {
		for i := from; i <= last; i++ {
			if o.Column(sim.Heads, i)[k] >= limit {
				return false
			}
		}
		return true
	})
}

// changed finds the seasons that mostly are of another crop than was planned, or
// nearly so.
func changed(seasons []Season) []Changed {
	var out []Changed
	for i := range seasons {
		for _, s := range seasons[i].Units() {
			if s.Grown[0].Share >= mostlyGrown {
				continue
			}
			c := Changed{Season: i, Crop: s.Crop, Planned: s.Grown[0].Share}
			for _, g := range s.Grown[1:] {
				if g.Share > c.Instead.Share {
					c.Instead = g
				}
			}
			out = append(out, c)
		}
	}
	return out
}

// Against is one way of farming a field set against another, run by run, up to a season:
// compare takes it of plans, drilling of dates.
type Against struct {
	Heads       float64 // median of the differences at the last harvest, per m²; fewer is negative
	Seed        float64 // median of the differences at the end, per m²
	MarginYear  float64 // mean difference a year, per ha
	MarginField float64 // and for the field
	Cleaner     float64 // share of runs that end with less seed, ties half
	EarnsMore   float64 // share of runs that earn more, ties half
	MarginError float64 // half-width of the 95 % interval of the mean difference
}

// way is one way of farming, as Against takes it.
type way struct {
	heads, seed, yearly []float64
}

func wayOf(o *ensemble.Outcome, end int) way {
	return way{o.Column(sim.Heads, end), o.Column(sim.SeedAfter, end), scaled(decide.MarginSoFar(o)[end], 1/float64(end+1))}
}

func (w way) against(other way, areaHa float64) Against {
	money := decide.Differences(w.yearly, other.yearly)
	a := Against{Heads: difference(w.heads, other.heads).P50, Seed: difference(w.seed, other.seed).P50, MarginYear: mean(money),
		Cleaner: decide.Wins(other.seed, w.seed), EarnsMore: decide.Wins(w.yearly, other.yearly), MarginError: decide.MeanError(money)}
	a.MarginField = a.MarginYear * areaHa
	return a
}
