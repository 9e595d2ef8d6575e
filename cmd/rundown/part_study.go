package main

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"

	"rundown/cmd/internal/parts"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/study"
)

// makePart makes the part's share of the runs of a study's first round and writes it.
func (env *environment) makePart(ctx context.Context, todo []*ready, o *runOptions, a *asked) error {
	if err := a.part.enough(a.f, todo[0].Replicates); err != nil {
		return err
	}
	h, err := a.header(1)
	if err != nil {
		return err
	}
	var numbers []parts.Numbers
	for _, r := range todo {
		outcomes, err := env.share(ctx, r, o, a.part)
		if err != nil {
			return err
		}
		firsts, err := firstRuns(ctx, r)
		if err != nil {
			return err
		}
		for i, out := range outcomes {
			b := r.block(i, a.part)
			b.Run0, b.Whole = firsts[i], int64(out.Unmet())
			h.Blocks, numbers = append(h.Blocks, b), append(numbers, numbersOf(out))
		}
	}
	return env.writePart(ctx, h, numbers, o, thenJoin(o.out))
}

// share makes a part's share of runs, which may be none.
func (env *environment) share(ctx context.Context, r *ready, o *runOptions, part *partOption) (study.Outcomes, error) {
	with := r.with
	with.First, with.Replicates = parts.Range(r.Replicates, part.part, part.of)
	if with.Replicates > 0 {
		return env.runAs(ctx, roundWords[r.Round], r.models, o, with)
	}
	var out study.Outcomes
	for _, m := range r.models {
		out = append(out, ensemble.Empty(m, with))
	}
	return out, nil
}

// firstRuns are sums of what the first run of all gives of each plan: parts that were
// made with other arithmetic mostly differ in it.
func firstRuns(ctx context.Context, r *ready) ([]string, error) {
	with := r.with
	with.Seed, with.First, with.Replicates = r.Seed, 0, 1
	outcomes, err := runModels(ctx, r.models, with)
	if err != nil {
		return nil, fmt.Errorf("the runs could not be finished: %w", err)
	}
	var out []string
	for _, o := range outcomes {
		out = append(out, sumOf(numbersOf(o)))
	}
	return out, nil
}

// numbersOf are the numbers of an outcome, which are its own.
func numbersOf(o *ensemble.Outcome) parts.Numbers {
	return parts.Numbers{Columns: o.Columns(), Work: o.WorkColumns()}
}

// sumOf is the sum of a block's numbers.
func sumOf(n parts.Numbers) string {
	sum := sha256.New()
	for _, column := range n.Columns {
		_ = binary.Write(sum, binary.LittleEndian, column) // a sum takes everything
	}
	for _, column := range n.Work {
		_ = binary.Write(sum, binary.LittleEndian, column)
	}
	return hex.EncodeToString(sum.Sum(nil))
}

// roundNames say in a part what its runs are for.
var roundNames = map[study.Round]string{study.Main: "main", study.Sides: "sides"}

// kept is what the runs keep of every season.
func (r *ready) kept() []sim.Metric {
	if r.Keep != nil {
		return r.Keep
	}
	all := make([]sim.Metric, sim.MetricCount)
	for k := range all {
		all[k] = sim.Metric(k)
	}
	return all
}

// block is what a part holds of a plan of these runs.
func (r *ready) block(plan int, part *partOption) parts.Block {
	b := parts.Block{For: roundNames[r.Round], Plan: plan, Replicates: r.Replicates, Seasons: r.models[plan].Seasons(), Watches: len(r.with.Watches)}
	if r.with.Work {
		b.Work = len(r.models[plan].Work())
	}
	b.First, b.Count = parts.Range(r.Replicates, part.part, part.of)
	for _, k := range r.kept() {
		b.Columns = append(b.Columns, sim.Metrics[k].Name)
	}
	return b
}
