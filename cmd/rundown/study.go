package main

import (
	"context"
	"errors"
	"fmt"

	"rundown/cmd/internal/findings"
	"rundown/sim/study"
)

// roundWords say in the progress bar what a round of runs is for.
var roundWords = map[study.Round]string{study.Main: "runs", study.Sides: "runs at other infestations", study.Between: "runs for the crossover",
	study.Screening: "runs to screen", study.Indices: "runs for the indices", study.Sweeping: "runs", study.Still: "runs with resistance held still",
	study.Choosing: "runs to choose on", study.DateAlone: "runs of the date alone"}

// answer makes the runs that a study asks for, pass by pass. Names are those of
// its plans, for errors. Of a part it writes the part and gives nothing; where parts
// are joined, the runs of the first pass are in them, and those of the second where the
// command has two rounds of parts.
func (env *environment) answer(ctx context.Context, q study.Request, names []string, past *findings.Past, o *runOptions, a *asked) ([]study.Outcomes, error) {
	var given []study.Outcomes
	for pass := 1; ; pass++ {
		rounds, err := q.Runs(given)
		if wrong := (*study.Refused)(nil); errors.As(err, &wrong) {
			return nil, notReady(err, names, past)
		}
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
		var made []study.Outcomes
		switch {
		case a.part.of > 0 && pass == max(1, a.part.round):
			return nil, env.makePart(ctx, todo, o, a)
		case a.part.of > 0 || env.joined != nil && pass <= a.part.rounds():
			made, err = env.takeParts(ctx, pass, todo, past, o, a)
		default:
			made, err = env.makeAll(ctx, todo, past, o)
		}
		if err != nil {
			return nil, err
		}
		given = append(given, made...)
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

// makeAll makes rounds of runs.
func (env *environment) makeAll(ctx context.Context, todo []*study.Ready, past *findings.Past, o *runOptions) ([]study.Outcomes, error) {
	var given []study.Outcomes
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
