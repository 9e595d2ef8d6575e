package main

import (
	"context"
	"fmt"
	"runtime"
	"sync"

	"rundown/cmd/internal/findings"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
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
		var todo []*ready
		for _, r := range rounds {
			made, err := makeReady(r, names, past)
			if err != nil {
				return nil, err
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

// ready are replicates that can be run.
type ready struct {
	study.Runs
	models []*sim.Model
	with   ensemble.Options
}

// makeReady makes the models of a round of runs.
func makeReady(r study.Runs, names []string, past *findings.Past) (*ready, error) {
	models, err := modelsOf(r.Calendars, names)
	if err != nil {
		return nil, err
	}
	with := ensemble.Options{}
	if r.Past != nil {
		if with, err = goingOn(past, r.Replicates, names, models); err != nil {
			return nil, err
		}
	}
	with.Replicates, with.Work = r.Replicates, r.Work
	return &ready{r, models, with}, nil
}

// makeAll makes rounds of runs and adds what they gave.
func (env *environment) makeAll(ctx context.Context, given []study.Outcomes, todo []*ready, past *findings.Past, o *runOptions) ([]study.Outcomes, error) {
	for _, r := range todo {
		outcomes, err := env.runAs(ctx, roundWords[r.Round], r.models, o, r.with)
		if err == nil && r.Past != nil {
			err = cameTrue(past, outcomes)
		}
		if err != nil {
			return nil, err
		}
		given = append(given, outcomes)
	}
	return given, nil
}

// modelsOf makes the model of every plan, on all processors: making one takes
// some hundredths of a second, and a sweep needs many.
func modelsOf(plans []*rotations.Calendar, names []string) ([]*sim.Model, error) {
	models := make([]*sim.Model, len(plans))
	errs := make([]error, len(plans))
	var wait sync.WaitGroup
	free := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, c := range plans {
		free <- struct{}{}
		wait.Go(func() {
			defer func() { <-free }()
			errs[i] = faultless(nil, func() (err error) { models[i], err = sim.New(c); return err })
		})
	}
	wait.Wait()
	for i, err := range errs {
		switch {
		case err == nil:
		case len(names) == len(plans) && len(plans) > 1:
			return nil, &unfinished{what: fmt.Sprintf("%s cannot be run", names[i]), cause: err}
		default:
			return nil, &unfinished{what: "the plan cannot be run", cause: err}
		}
	}
	return models, nil
}
