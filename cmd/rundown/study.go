package main

import (
	"context"
	"fmt"
	"runtime"
	"sync"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/study"
)

// roundWords say in the progress bar what a round of runs is for.
var roundWords = map[study.Round]string{study.Main: "runs", study.Sides: "runs at other infestations", study.Between: "runs for the crossover"}

// answer makes the runs that a study asks for, round by round. Names are those of
// its plans, for errors.
func (env *environment) answer(ctx context.Context, q study.Request, names []string, past *report.Past, o *runOptions) ([]study.Outcomes, error) {
	var given []study.Outcomes
	for {
		rounds, err := q.Runs(given)
		if err != nil {
			return nil, &inputError{text: err.Error()}
		}
		if len(rounds) == 0 {
			return given, nil
		}
		for _, r := range rounds {
			outcomes, err := env.make(ctx, r, names, past, o)
			if err != nil {
				return nil, err
			}
			given = append(given, outcomes)
		}
	}
}

// make makes one round of runs.
func (env *environment) make(ctx context.Context, r study.Runs, names []string, past *report.Past, o *runOptions) (study.Outcomes, error) {
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
	outcomes, err := env.runAs(ctx, roundWords[r.Round], models, o, with)
	if err == nil && r.Past != nil {
		err = cameTrue(past, outcomes)
	}
	return outcomes, err
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
