package findings

import (
	"fmt"

	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/study"
	particles "rundown/sim/update"
)

// Past is the past that a run has from counts: nil for a run that has none.
type Past struct {
	File      string // of the posterior, as named by the user
	SHA256    string
	Posterior *particles.Posterior
}

// Histories are those that runs go on from; nil for none.
func (p *Past) Histories() *particles.Posterior {
	if p == nil {
		return nil
	}
	return p.Posterior
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
func (p *Past) with(o report.Object, outcome *study.Outcome) report.Object {
	if p == nil {
		return o
	}
	var counted []report.Object
	for i, w := range p.Posterior.Watches {
		var depth any
		if w.DepthCM > 0 {
			depth = w.DepthCM
		}
		kind := map[sim.Quantity]string{sim.WatchPlants: "plants", sim.WatchHeads: "heads", sim.WatchTop: "seed"}[w.What]
		counted = append(counted, report.Object{{"date", w.Day.String()}, {"kind", kind}, {"depth_cm", depth},
			{"per_m2", report.Band(bands.Summarise(outcome.Watched(i)))}})
	}
	return append(o, report.Member{"posterior", report.Object{{"counts", p.Posterior.Counts}, {"last_count", p.Posterior.Last.String()}, {"sha256", p.SHA256},
		{"histories", len(p.Posterior.Particles)}, {"counted", counted}}})
}

func histories(n int) string {
	if n == 1 {
		return "one history"
	}
	return report.Counted(n) + " histories"
}
