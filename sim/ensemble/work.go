package ensemble

import (
	"math"

	"rundown/params/date"
	"rundown/sim"
)

// Done is what became of a piece of work in one run.
type Done struct {
	Day    date.Day // when it was done, the last time; 0: it was not
	Why    sim.Reason
	Times  int     // how often the pass was made, at most 4
	Killed float64 // share of what it met, to 1/10,000; NaN: it met nothing, or kills nothing
}

// WorkBytes is the memory that what became of a piece of work takes in one replicate.
const WorkBytes = 4

// Fates are packed: in the high half the day of the model's timeline, the first being 1, and
// whether the pass found its object, or else the reason; in the low half how often it was made
// again and the share killed.
const (
	idle   = 1 << 15
	again  = 14 // first bit of the times beyond one, of which there are two bits
	noKill = 1<<again - 1
	whole  = 10_000 // a share of 1
)

// pack packs the fate of a piece of work.
func pack(f *sim.Fate, first date.Day) uint32 {
	head := uint32(f.Why)
	if f.Day != 0 {
		head = uint32(int(sim.Reasons) + int(f.Day-first))
		if f.Why == sim.NoObject {
			head |= idle
		}
	}
	killed := uint32(noKill)
	if f.Met >= 1 {
		killed = uint32(math.Round(min(max(f.Killed/f.Met, 0), 1) * whole))
	}
	more := uint32(min(max(f.Times-1, 0), mostAgain))
	return head<<16 | more<<again | killed
}

// mostAgain is how often more than once two bits hold.
const mostAgain = 3

func unpack(x uint32, first date.Day) Done {
	head, killed := x>>16, x&noKill
	d := Done{Why: sim.Made, Killed: math.NaN()}
	switch {
	case head < uint32(sim.Reasons):
		d.Why = sim.Reason(head)
	case head&idle != 0:
		d.Why = sim.NoObject
	}
	if head >= uint32(sim.Reasons) {
		d.Day = first + date.Day(head&^idle) - date.Day(sim.Reasons)
		d.Times = 1 + int(x>>again&mostAgain)
	}
	if killed != noKill {
		d.Killed = float64(killed) / whole
	}
	return d
}

// KeepsWork tells whether what became of the work was kept.
func (o *Outcome) KeepsWork() bool { return o.work != nil }

// Done is what became of a piece of work, by its place in the model's Work, in the k-th
// replicate. Not to have asked for it (Options.Work) is a fault of the caller.
func (o *Outcome) Done(work, k int) Done {
	return unpack(o.work[work*o.Replicates+k], o.Model.First())
}
