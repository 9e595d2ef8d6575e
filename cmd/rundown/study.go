package main

import (
	"context"
	"errors"
	"fmt"

	"rundown/cmd/internal/findings"
	"rundown/sim/study"
)

// roundWords say in the progress bar what a round of runs is for.
var roundWords = map[study.Round]string{study.Main: "runs", study.Sides: "runs at other infestations", study.Between: "runs for the crossover"}

// answer makes the runs that a study asks for, round by round. Names are those of
// its plans, for errors. Of a part it writes the part and gives nothing; where parts
// are joined, the runs of the first round are in them.
func (env *environment) answer(ctx context.Context, q study.Request, names []string, past *findings.Past, o *runOptions, a *asked) ([]study.Outcomes, error) {
	var given []study.Outcomes
	for {
		rounds, err := q.Runs(given)
		if err != nil {
			return nil, &inputError{text: err.Error()}
		}
		if len(rounds) == 0 {
			return given, nil
		}
		var todo []*study.Ready
		for _, r := range rounds {
			made, err := r.Ready()
			if err != nil {
				return nil, notReady(err, names, past)
			}
			todo = append(todo, made)
		}
		first := len(given) == 0
		switch {
		case first && a.part.of > 0:
			return nil, env.makePart(ctx, todo, o, a)
		case first && env.joined != nil:
			given, err = env.takeParts(ctx, todo, past, a)
		default:
			given, err = env.makeAll(ctx, given, todo, past, o)
		}
		if err != nil {
			return nil, err
		}
	}
}

// notReady says why the runs of plans cannot be made.
func notReady(err error, names []string, past *findings.Past) error {
	var r *study.Refused
	switch {
	case !errors.As(err, &r):
		return err
	case r.Past != "":
		return &inputError{text: fmt.Sprintf("%s does not go on from %s: %s", names[min(r.Plan, len(names)-1)], past.File, r.Past)}
	case len(names) > 1 && r.Plan < len(names):
		return &unfinished{what: fmt.Sprintf("%s cannot be run", names[r.Plan]), cause: r.Err}
	}
	return &unfinished{what: "the plan cannot be run", cause: r.Err}
}

// makeAll makes rounds of runs and adds what they gave.
func (env *environment) makeAll(ctx context.Context, given []study.Outcomes, todo []*study.Ready, past *findings.Past, o *runOptions) ([]study.Outcomes, error) {
	for _, r := range todo {
		outcomes, err := env.run(ctx, roundWords[r.Round], r, r.All(), o)
		if err == nil {
			err = cameTrue(past, r, outcomes)
		}
		if err != nil {
			return nil, err
		}
		given = append(given, outcomes)
	}
	return given, nil
}
