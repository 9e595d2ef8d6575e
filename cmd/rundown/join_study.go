package main

import (
	"context"

	"rundown/cmd/internal/findings"
	"rundown/cmd/internal/parts"
	"rundown/sim/ensemble"
	"rundown/sim/study"
)

// takeParts takes the runs of a study's first round from the parts.
func (env *environment) takeParts(ctx context.Context, todo []*ready, past *findings.Past, a *asked) ([]study.Outcomes, error) {
	set := env.joined.set
	if err := a.made(set); err != nil {
		return nil, err
	}
	var given []study.Outcomes
	var all []*ensemble.Outcome // one for each block
	for _, r := range todo {
		if err := env.reserveMemory(r.models, r.Replicates, r.with.Work); err != nil {
			return nil, err
		}
		var outcomes study.Outcomes
		for i, m := range r.models {
			want := r.block(i, &partOption{part: set.Header.Part, of: set.Header.Of})
			if at := len(all); at >= len(set.Header.Blocks) || !sameBlock(&want, &set.Header.Blocks[at]) {
				return nil, otherRuns
			}
			outcomes = append(outcomes, ensemble.Empty(m, r.with))
			all = append(all, outcomes[i])
		}
		given = append(given, outcomes)
	}
	numbers := make([]parts.Numbers, len(all))
	for i, out := range all {
		numbers[i] = numbersOf(out)
	}
	err := eachPart(ctx, set, numbers, func(h *parts.Header) {
		for i, out := range all {
			out.AddUnmet(int(h.Blocks[i].Whole))
		}
	})
	if err != nil {
		return nil, err
	}
	for i, r := range todo {
		if r.Past != nil {
			if err := cameTrue(past, given[i]); err != nil {
				return nil, err
			}
		}
	}
	return given, nil
}
