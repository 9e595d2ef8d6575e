package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"

	"rundown/cmd/internal/findings"
	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

// pastOption is the flag of commands that can go on from counts.
type pastOption struct{ posterior string }

func (o *pastOption) add(f *flagSet) {
	f.Var(place{&o.posterior}, "posterior", "go on from the histories in this file, which 'rundown update' wrote")
}

// past reads the posterior asked for and sets what of the run follows from it:
// the seed, which made every history, and as many runs as there are histories,
// unless told otherwise. nil: none was asked for.
func (o *pastOption) past(ctx context.Context, env *environment, f *flagSet, run *runOptions) (*findings.Past, error) {
	if o.posterior == "" {
		return nil, nil
	}
	if f.Changed("seed") {
		return nil, f.wrong("--seed and --posterior do not go together: the histories have the seed that made them", "leave --seed out")
	}
	past, err := withCancel(ctx, func() (*findings.Past, error) { return readPast(o.posterior) })
	if err != nil {
		return nil, err
	}
	env.inputs = append(env.inputs, o.posterior)
	p := past.Posterior
	env.results += int64(len(p.Particles)) * 8 * int64(len(p.Paths)+len(p.Watches)+historyWords)
	run.seed = past.Posterior.Seed
	if !f.Changed("replicates") {
		run.replicates = len(past.Posterior.Particles)
	}
	return past, nil
}

// historyWords is what a history takes besides its values and counts, in numbers.
const historyWords = 16

func readPast(path string) (*findings.Past, error) {
	data, err := readFile(path, study.PosteriorBytes)
	switch {
	case err != nil:
		return nil, unreadable(path, err, "'rundown update PLAN COUNTS --posterior "+path+"' writes it")
	case len(data) > study.PosteriorBytes:
		return nil, tooLarge(path, study.PosteriorBytes, "is it the file that 'rundown update' wrote?")
	}
	p, err := study.ReadPosterior(data)
	if wrong := (*study.Misread)(nil); errors.As(err, &wrong) {
		return nil, &inputError{text: fmt.Sprintf("%s:%d:%d: %s", path, wrong.Line, wrong.Column, wrong.What)}
	}
	if err != nil {
		return nil, &inputError{text: fmt.Sprintf("%s: %v", path, err)}
	}
	return &findings.Past{File: path, SHA256: sha256Of(data), Posterior: p}, nil
}

// from adds the posterior, where there is one, to what a result is made from.
func from(past *findings.Past, p report.Provenance) report.Provenance {
	if past != nil {
		p.Inputs = append(p.Inputs, report.Input{Name: filepath.Base(past.File), SHA256: past.SHA256})
	}
	return p
}

// cameTrue checks that every run had the past of its history.
func cameTrue(past *findings.Past, r *study.Ready, given study.Outcomes) error {
	share := r.Departed(given)
	if share == 0 {
		return nil
	}
	return &inputError{fmt.Sprintf("%s of 100 histories of %s do not come out as they were kept: another version of the program wrote them (%s), or "+
		"the file was changed",
		report.Of100(share), past.File, past.Posterior.Version), "make it anew with 'rundown update'"}
}
