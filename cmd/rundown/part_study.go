package main

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"

	"rundown/cmd/internal/parts"
	"rundown/sim"
	"rundown/sim/study"
)

// makePart makes the part's share of the runs of a study's pass and writes it.
func (env *environment) makePart(ctx context.Context, todo []*study.Ready, o *runOptions, a *asked) error {
	if err := a.part.enough(a.f, todo[0].Replicates); err != nil {
		return err
	}
	h, err := a.header(max(1, a.part.round))
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
			b := block(r, i, a.part)
			b.Run0, b.Whole = firsts[i], int64(out.Unmet())
			h.Blocks, numbers = append(h.Blocks, b), append(numbers, numbersOf(out))
		}
	}
	return env.writePart(ctx, h, numbers, o, a.next(o.out, todo[0].Round != study.Screening))
}

// share makes a part's share of runs, which may be none.
func (env *environment) share(ctx context.Context, r *study.Ready, o *runOptions, part *partOption) (study.Outcomes, error) {
	first, count := parts.Range(r.Replicates, part.part, part.of)
	return env.run(ctx, roundWords[r.Round], r, study.Part{First: first, Count: count}, o)
}

// firstRuns are sums of what the first run of all gives of each plan: parts that were
// made with other arithmetic mostly differ in it.
func firstRuns(ctx context.Context, r *study.Ready) ([]string, error) {
	outcomes, err := makeRuns(r, ctx, study.Part{Count: 1})
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
func numbersOf(o *study.Outcome) parts.Numbers {
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
var roundNames = map[study.Round]string{study.Main: "main", study.Sides: "sides", study.Screening: "screening", study.Indices: "indices",
	study.Sweeping: "sweep"}

// block is what a part holds of a plan of these runs.
func block(r *study.Ready, plan int, part *partOption) parts.Block {
	m := r.Models[plan]
	b := parts.Block{For: roundNames[r.Round], Plan: plan, Replicates: r.Replicates, Seasons: m.Seasons(), Watches: r.Watches()}
	if r.Work {
		b.Work = len(m.Work())
	}
	b.First, b.Count = parts.Range(r.Replicates, part.part, part.of)
	for _, k := range r.Kept() {
		b.Columns = append(b.Columns, sim.Metrics[k].Name)
	}
	return b
}
