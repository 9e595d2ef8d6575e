package sim

import (
	"sync"

	"rundown/params"
	"rundown/sim/crop"
	"rundown/sim/soil"
	"rundown/sim/weather"
)

// kept holds what was made of a content, so that it is made once for all models: what
// belongs to the place and the library, not to the seasons. The content is the key, so
// nothing in it can go stale; what was not asked for the longest makes room.
type kept[K comparable, V any] struct {
	most int
	mu   sync.Mutex
	held map[K]*held[V]
	asks uint64
}

type held[V any] struct {
	make  func() (V, error) // makes it once, whoever asks first
	asked uint64
}

// get is what is held under a key, made now if nobody has asked for it before.
// Others who ask meanwhile wait. What could not be made is not held.
func (k *kept[K, V]) get(key K, do func() (V, error)) (V, error) {
	k.mu.Lock()
	if k.held == nil {
		k.held = map[K]*held[V]{}
	}
	x := k.held[key]
	if x == nil {
		k.makeRoom()
		x = &held[V]{make: sync.OnceValues(do)}
		k.held[key] = x
	}
	k.asks++
	x.asked = k.asks
	k.mu.Unlock()
	v, err := x.make()
	if err != nil {
		k.mu.Lock()
		if k.held[key] == x {
			delete(k.held, key)
		}
		k.mu.Unlock()
	}
	return v, err
}

func (k *kept[K, V]) makeRoom() {
	for len(k.held) >= k.most {
		var oldest K
		least := k.asks + 1
		for key, x := range k.held {
			if x.asked < least {
				oldest, least = key, x.asked
			}
		}
		delete(k.held, oldest)
	}
}

// What is kept: of a source of weather some 90 kB and its record, of a reference
// year some 40 kB, of a quantile function 2 kB; 10 MB when all are full.
var (
	keptFits       = kept[fitOf, weather.Climate]{most: 16}
	keptSources    = kept[madeOf, *weather.Source]{most: 32}
	keptReferences = kept[refOf, *refMade]{most: 96}
	keptQuantiles  = kept[quantileOf, *quantiles]{most: 1024}
)

// fitOf is what a fitted climate is made of.
type fitOf struct {
	days     string
	latitude float64
}

// refOf is what the mean year of a reference is made of.
type refOf struct {
	weather   madeOf
	soil      soil.Params
	wheat     crop.Params
	strawLeft float64
	weed      weedUnit
}

// refMade is a mean year. Nobody may change it.
type refMade struct {
	steps []refStep
	table *refTable
}

// quantileOf is what a tabulated quantile function is made of.
type quantileOf struct {
	spread             params.Spread
	central, low, high float64
}
