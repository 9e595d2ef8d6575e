package sim

import "rundown/params/date"

// Switch gives a replicate other luck on a day: its past keeps what it
// ran with, and from Day on weather, season effects and chance are those of
// another. It is how a field that was counted keeps its past and gets an open
// future. A Switch to the same luck changes nothing, to the last bit.
//
// What was drawn before Day and lasts beyond it stays: the harvest date of the
// standing crop, a residue's shift, the curve of a shedding that has begun. An
// effect of a running season that is asked for again after Day is drawn anew.
type Switch struct {
	Day     date.Day // first day of the new luck; 0: never
	Streams Streams  // from then on; its index of Parameters is not used: those are the field's own
}

// switchStreams sets the keys of what is still to be drawn.
func (w *Worker) switchStreams() { w.setStreams(w.of.Switch.Streams) }
