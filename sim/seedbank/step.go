package seedbank

import "rundown/sim/decay"

// Step is a step of time that is to be closed: what seed met in it, and what
// steers its fates.
type Step struct {
	*Rates
	Since *Exposure // exposure since the last close
	Keep  float64   // share of what would sprout that a cover keeps dormant
	Quick Quick     // which classes of ready seed are on the quick clock
	// Shelter is the share of the ground under straw or stubble, which shelters seed on the surface.
	Shelter float64
	// Fecundity is the factor of a cover on the fecundity of what comes up, 1 in the open.
	Fecundity float64
}

// Quick tells which classes of ready seed are on the quick clock.
type Quick struct{ Autumn, Spring bool }

// Any tells whether anything is; sprouted seed of the upper layers then is too.
func (q Quick) Any() bool { return q.Autumn || q.Spring }

// QuickOn is what is on the quick clock on a day of the seedbank year. A class
// may change clocks only when both have just been closed.
func (r *Rates) QuickOn(day int) Quick {
	return Quick{r.OldRipe[day] > hardlyRipe, r.Spring[day] > hardlyRipe}
}

// Two clocks close the pools. Ready and sprouted seed of the upper layers, from
// which much of it comes up, closes with every step of the grid. Deeper seed,
// dormant seed and ready seed that has hardly begun to ripen closes every four
// weeks and before a cultivation; on the surface, onto which seed falls, also with
// every step while it falls. The integrals are exact over any step, so nothing but
// the day of a few first seedlings hangs on it.
const (
	hardlyRipe   = 0.05
	hardlyComeUp = 0.1 // layers from which less of the sprouted seed comes up are slow
)

// CloseQuick ends a step of the quick clock. What comes up in it waits for ComeUp.
func (b *Bank) CloseQuick(s *Step) {
	if !s.Quick.Any() {
		return
	}
	p, n := &b.passage, s.upper
	b.passages(s, p[:n], Surface, s.Quick, true)
	b.pass(s, p[:n], Surface)
}

// CloseSurface ends a step of the slow clock on the surface. The quick clock must
// have been closed on the same day, so that what sprouts now starts with the next step.
func (b *Bank) CloseSurface(s *Step) { b.closeSlow(s, Surface, Depth0to5) }

// CloseDeeper ends a step of the slow clock below the surface, likewise.
func (b *Bank) CloseDeeper(s *Step) { b.closeSlow(s, Depth0to5, Layers) }

// closeSlow ends a step of the slow clock in some layers.
func (b *Bank) closeSlow(s *Step, from, to int) {
	p := &b.passage
	upper := min(max(s.upper, from), to)
	if upper > from {
		b.passages(s, p[from:upper], from, Quick{!s.Quick.Autumn, !s.Quick.Spring}, !s.Quick.Any())
	}
	if upper < to {
		b.passages(s, p[upper:to], upper, Quick{true, true}, true)
	}
	for l := from; l < to; l++ {
		if p[l].slow = true; l > from && l > Depth0to5 { // buried seed dies alike
			p[l].dormant = p[l-1].dormant
		} else {
			p[l].dormant = decay.Gone(s.hazard(l))
		}
	}
	b.pass(s, p[from:to], from)
}
