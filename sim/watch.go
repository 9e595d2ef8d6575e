package sim

import (
	"rundown/params/date"
	"rundown/sim/fieldwork"
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
	WatchTop        // the same in the top DepthCM of the soil, surface and all
	WatchEmerged    // plants emerged since the season opened
	WatchFreshShare // share of standing plants that came from fresh seed
	WatchFresh      // fresh viable seed, all layers
	WatchTopWater   // water of the top store over field capacity
	WatchLowerWater
	WatchWorkable   // 1 where the ground carries a drill
	WatchCultivable // 1 where it carries a cultivation
	WatchSprayable  // 1 where it carries a sprayer
	WatchStrayed    // 1 where a planned crop of this season or an earlier one was not drilled in time
)

// Watch asks for a quantity at the end of a day.
type Watch struct {
	Day     date.Day
	What    Quantity
	DepthCM float64 // of WatchTop, 0 to 20; seed is taken as even within a layer
}

// watch records what is watched today.
func (w *Worker) watch() {
	for w.nextWatch < len(w.watches) && w.watches[w.nextWatch].Day <= w.today {
		x := w.watches[w.nextWatch]
		if x.Day == w.today {
			w.out.Watched[w.nextWatch] = w.look(x)
		}
		w.nextWatch++
	}
}

// look reads a quantity. For seed and plants the steps are closed first, so that
// what is seen is of that day, and what that draws is taken back after: whoever
// looks changes nothing, and the run closes the steps on its own days.
func (w *Worker) look(x Watch) float64 {
	if x.What >= WatchTopWater {
		return w.lookAtGround(x.What)
	}
	w.aside.copyFrom(&w.runState, &w.u)
	w.fates = nil // what is only seen is not done
	for _, s := range w.spots {
		s.closeSlow()
		s.stand.Count(&s.plants, &s.tally)
	}
	seen := w.lookAtWeed(x)
	w.runState.copyFrom(&w.aside, &w.u)
	return seen
}

func (w *Worker) lookAtGround(q Quantity) float64 {
	switch q {
	case WatchTopWater:
		return w.overPatches(func(p *patch) float64 { return p.water.TopRel })
	case WatchLowerWater:
		return w.overPatches(func(p *patch) float64 { return p.water.LowerRel })
	case WatchStrayed:
		if w.strayed {
			return 1
		}
		return 0
	}
	g := w.ground()
	needs := fieldwork.Drilling
	switch q {
	case WatchCultivable:
		needs = fieldwork.Cultivation
	case WatchSprayable:
		needs = fieldwork.Spraying
	}
	if g.Fit[needs] {
		return 1
	}
	return 0
}

// overPatches is a mean over the field.
func (w *Worker) overPatches(of func(p *patch) float64) (mean float64) {
	for i := range w.patches {
		mean += w.patches[i].share * of(&w.patches[i])
	}
	return mean
}

// over is a sum over the populations of the field.
func (w *Worker) over(of func(s spot) float64) (sum float64) {
	for _, s := range w.spots {
		sum += of(s)
	}
	return sum
}

func (w *Worker) lookAtWeed(x Watch) float64 {
	switch x.What {
	case WatchPlants:
		return w.over(func(s spot) float64 { return float64(s.stand.Plants()) }) / w.m.areaM2
	case WatchHeads:
		return w.over(spot.headsOut)
	case WatchEmerged:
		return w.over(func(s spot) float64 { return float64(s.tally.Emerged) }) / w.m.areaM2
	case WatchFreshShare:
		return w.over(func(s spot) float64 { return s.stand.Fresh() }) / w.over(func(s spot) float64 { return float64(s.stand.Plants()) })
	case WatchFresh:
		return w.perM2(w.seeds(seedbank.Fresh, every))
	case WatchSeeds:
		return w.perM2(w.seeds(every, every))
	case WatchTop:
		seeds := float64(w.seeds(every, seedbank.Surface))
		for l := seedbank.Depth0to5; l < seedbank.Layers; l++ {
			within := x.DepthCM/layerCM - float64(l-seedbank.Depth0to5)
			seeds += min(max(within, 0), 1) * float64(w.seeds(every, l))
		}
		return seeds / w.m.areaM2
	}
	return w.perM2(w.seeds(every, int(x.What-WatchSurface)))
}

// layerCM is the depth of a layer below the surface.
const layerCM = 5
