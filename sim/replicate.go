package sim

import (
	"fmt"

	"rundown/params/date"
	"rundown/sim/random"
)

// Replicate is all that makes one run of a model another than the next.
type Replicate struct {
	Seed    uint64    // of the random numbers
	Streams Streams   // where in them its weather, seasons, chance and parameters stand
	Theta   []float64 // its uncertain values, in the order of the calendar's Space
	Switch  Switch    // a switch of luck on the way; the zero Switch is none
	Counted []Counted // what was really seen of the field; nil: nothing
	Until   date.Day  // its last day, beyond which seasons have no values; 0: the end of the plan
}

// FillFor draws the weather of a replicate.
func (s *Sky) FillFor(m *Model, r *Replicate) {
	s.FillSwitched(m, r.Seed, r.Streams[random.Weather], r.Switch)
}

// wrong is an error when the sky is not that of a replicate.
func (s *Sky) wrong(r *Replicate) error {
	luck := r.Streams[random.Weather]
	turn, next := switched(luck, r.Switch)
	if s.set && s.seed == r.Seed && s.luck == luck && s.turn == turn && s.next == next {
		return nil
	}
	return fmt.Errorf("the weather given is not that of the replicate with seed %d and luck %v: "+
		"this is a bug, please report the plan with these numbers", r.Seed, r.Streams)
}

// switched is the day on which a luck of weather gives way to another, and that; 0
// and the luck itself where it does not.
func switched(luck uint32, t Switch) (day date.Day, next uint32) {
	if next = t.Streams[random.Weather]; t.Day == 0 || next == luck {
		return 0, luck
	}
	return t.Day, next
}
