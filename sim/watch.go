package sim

import (
	"rundown/params/date"
	"rundown/sim/seedbank"
)

// Quantity is what a watch looks at, per m².
type Quantity uint8

// Quantities that can be watched.
const (
	WatchPlants  Quantity = iota // plants standing
	WatchHeads                   // heads standing
	WatchSeeds                   // viable seed, all layers
	WatchSurface                 // the same by layer
	Watch0to5
	Watch5to10
	Watch10to15
	Watch15to20
	WatchEmerged    // plants emerged since the season opened
	WatchFreshShare // share of standing plants that came from fresh seed
	WatchFresh      // fresh viable seed, all layers
	WatchTopWater   // water of the top store over field capacity
	WatchLowerWater
	WatchWorkable // 1 where the ground carries a drill
)

// Watch asks for a quantity at the end of a day.
type Watch struct {
	Day  date.Day
	What Quantity
}

// watch records what is watched today.
func (w *Worker) watch() {
	for w.nextWatch < len(w.watches) && w.watches[w.nextWatch].Day <= w.today {
		x := w.watches[w.nextWatch]
		if x.Day == w.today {
			w.out.Watched[w.nextWatch] = w.look(x.What)
		}
		w.nextWatch++
	}
}

// look reads a quantity. For seed and plants it closes the steps first; steps
// of any length agree, so looking changes nothing but the luck of single seeds.
func (w *Worker) look(q Quantity) float64 {
	if q < WatchTopWater {
		w.closeSlow()
		w.stand.Count(&w.plants, &w.tally)
	}
	switch q {
	case WatchTopWater:
		return w.water.TopRel
	case WatchLowerWater:
		return w.water.LowerRel
	case WatchWorkable:
		if w.m.soil.Workable(&w.water, w.sky.Days.RainMM[w.i], w.u.soil.WorkableDrill+w.bears()) {
			return 1
		}
		return 0
	case WatchPlants:
		return w.perM2(w.stand.Plants())
	case WatchHeads:
		return w.perM2(w.heads.Total())
	case WatchEmerged:
		return w.perM2(w.tally.Emerged)
	case WatchFreshShare:
		return w.stand.FreshShare()
	case WatchFresh:
		return w.perM2(w.seeds(seedbank.Fresh, every))
	case WatchSeeds:
		return w.perM2(w.seeds(every, every))
	}
	return w.perM2(w.seeds(every, int(q-WatchSurface)))
}
