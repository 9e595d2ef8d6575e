package main

import (
	"context"

	"rundown/cmd/internal/findings"
	"rundown/cmd/internal/parts"
	"rundown/sim/study"
)

// partsOf are the parts of a pass: of what is joined, or, where a part of the second
// round is made, of the first.
func (env *environment) partsOf(ctx context.Context, pass int, o *runOptions, a *asked) (*parts.Set, error) {
	switch {
	case env.joined == nil:
		return env.gather(ctx, o.out, pass)
	case pass == 1:
		return env.joined.set, nil
	}
	set, err := env.gather(ctx, env.joined.dir, pass)
	return set, a.orSecond(err, env.joined.dir)
}

// takeParts takes the runs of a study's pass from the parts.
func (env *environment) takeParts(ctx context.Context, pass int, todo []*study.Ready, past *findings.Past, o *runOptions, a *asked) ([]study.Outcomes, error) {
	set, err := env.partsOf(ctx, pass, o, a)
	if err != nil {
		return nil, err
	}
	if err := a.made(set); err != nil {
		return nil, err
	}
	var given []study.Outcomes
	var all []*study.Outcome // one for each block
	for _, r := range todo {
		if err := env.reserveMemory(r, r.Replicates); err != nil {
			return nil, err
		}
		outcomes := r.Empty(r.All())
		for i := range r.Models {
			want := block(r, i, &partOption{part: set.Header.Part, of: set.Header.Of})
			if at := len(all); at >= len(set.Header.Blocks) || !sameBlock(&want, &set.Header.Blocks[at]) {
				return nil, otherRuns
			}
			all = append(all, outcomes[i])
		}
		given = append(given, outcomes)
	}
	numbers := make([]parts.Numbers, len(all))
	for i, out := range all {
		numbers[i] = numbersOf(out)
	}
	err = eachPart(ctx, set, numbers, func(h *parts.Header) {
		for i, out := range all {
			out.AddUnmet(int(h.Blocks[i].Whole))
		}
	})
	if err != nil {
		return nil, err
	}
	for i, r := range todo {
		if err := cameTrue(past, r, given[i]); err != nil {
			return nil, err
		}
	}
	return given, nil
}
