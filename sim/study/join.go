package study

import "rundown/sim/ensemble"

// Join makes of the outcomes of ranges of runs, in any order, those of the whole, to the bit.
func Join(parts ...Outcomes) (Outcomes, error) {
	var all [][]*ensemble.Outcome
	for _, p := range parts {
		all = append(all, p)
	}
	return ensemble.JoinAll(all...)
}
