package report

import (
	"fmt"

	"rundown/sim"
	"rundown/sim/ensemble"
	particles "rundown/sim/update"
)

// Past is the past that a run has from counts: nil for a run that has none.
type Past struct {
	File      string // of the posterior, as named by the user
	SHA256    string
	Posterior *particles.Posterior
}

// words say it behind what was run.
func (p *Past) words() string {
	if p == nil {
		return ""
	}
	return fmt.Sprintf(" Goes on from what %s left, counted to %s.", p.Posterior.Counts, p.Posterior.Last.Short())
}

// with appends the past to a command's JSON object, with what its runs had on the
// days of the counts, per m²: seed of cores, not seedlings.
func (p *Past) with(o Object, outcome *ensemble.Outcome) Object {
	if p == nil {
		return o
	}
	var counted []Object
	for i, w := range p.Posterior.Watches {
		var depth any
		if w.DepthCM > 0 {
			depth = w.DepthCM
		}
		kind := map[sim.Quantity]string{sim.WatchPlants: "plants", sim.WatchHeads: "heads", sim.WatchTop: "seed"}[w.What]
		counted = append(counted, Object{{"date", w.Day.String()}, {"kind", kind}, {"depth_cm", depth}, {"per_m2", Band(ensemble.Summarise(outcome.Watched(i)))}})
	}
	return append(o, Member{"posterior", Object{{"counts", p.Posterior.Counts}, {"last_count", p.Posterior.Last.String()}, {"sha256", p.SHA256},
		{"histories", len(p.Posterior.Particles)}, {"counted", counted}}})
}

// enoughHistories is how many histories of equal weight bands should rest on.
const enoughHistories = 100

// fewHistories warns of runs that go on from few histories: their pasts repeat,
// however many runs there are.
func (r Run) fewHistories() *Warning {
	if r.Past == nil {
		return nil
	}
	squares := 0.0
	for _, x := range r.Past.Posterior.Particles {
		squares += x.Weight * x.Weight
	}
	if worth := 1 / squares; worth < enoughHistories {
		return &Warning{Code: "few-histories", Text: fmt.Sprintf("All runs go on from %s, worth %.0f of equal weight: however many runs are asked for, their pasts repeat, and the bands are narrower than what is known. 'rundown update' with more --replicates keeps more.",
			histories(len(r.Past.Posterior.Particles)), worth)}
	}
	return nil
}

func histories(n int) string {
	if n == 1 {
		return "one history"
	}
	return counted(n) + " histories"
}

// lastCounted is the season in which the field was last counted, of a run that goes on
// from counts; -1 for none, and for the last season.
func (r Run) lastCounted(seasons []season) int {
	if r.Past == nil {
		return -1
	}
	for i := range seasons[:len(seasons)-1] {
		if r.Past.Posterior.Last <= r.Calendar.Seasons[i].End {
			return i
		}
	}
	return -1
}
