package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"rundown/cmd/internal/output"
	"rundown/cmd/internal/parts"
	"rundown/sim"
	"rundown/sim/drivers"
)

// staged is an analysis whose runs may be made in parts, stage by stage.
type staged struct {
	env   *environment
	ctx   context.Context
	o     *driversOptions
	model *sim.Model
	asked *asked
}

// errPartWritten ends an analysis of which a part was made: it has no result yet.
var errPartWritten = errors.New("a part was written")

// roundOf is the round of parts that a stage belongs to.
func roundOf(s drivers.Stage) int {
	if s == drivers.Sharing {
		return 2
	}
	return 1
}

// maker brings the runs of every stage together; nil where all are made here.
func (in *staged) maker() drivers.Maker {
	switch {
	case in.env.joined != nil:
		return func(s drivers.Stage, runs int, _ func(first, count int) ([][]float64, error)) ([][]float64, error) {
			set := in.env.joined.set
			if roundOf(s) == 2 {
				var err error
				if set, err = in.env.gather(in.ctx, in.env.joined.dir, 2); err != nil {
					return nil, in.orSecond(err)
				}
			}
			return in.take(s, runs, set)
		}
	case in.o.of > 0:
		return func(s drivers.Stage, runs int, share func(first, count int) ([][]float64, error)) ([][]float64, error) {
			if roundOf(s) == in.o.round {
				return nil, in.make(s, runs, share)
			}
			set, err := in.env.gather(in.ctx, in.o.out, roundOf(s))
			if err != nil {
				return nil, err
			}
			return in.take(s, runs, set)
		}
	}
	return nil
}

// block is what a part holds of a stage.
func (in *staged) block(s drivers.Stage, runs int, part *partOption) parts.Block {
	b := parts.Block{For: string(s), Replicates: runs, Seasons: in.model.Seasons(), Columns: []string{sim.Metrics[in.o.metric].Name}}
	b.First, b.Count = parts.Range(runs, part.part, part.of)
	return b
}

// make makes the part's share of a stage and writes it: the error is then errPartWritten.
func (in *staged) make(s drivers.Stage, runs int, share func(first, count int) ([][]float64, error)) error {
	if err := in.asked.part.enough(in.asked.f, runs); err != nil {
		return err
	}
	h, err := in.asked.header(in.o.round)
	if err != nil {
		return err
	}
	b := in.block(s, runs, in.asked.part)
	columns, err := share(b.First, b.Count)
	if err != nil {
		return err
	}
	first, err := share(0, 1)
	if err != nil {
		return err
	}
	b.Run0 = sumOf(parts.Numbers{Columns: first})
	h.Blocks = []parts.Block{b}
	next := thenJoin(in.o.out)
	if s == drivers.Screening {
		next = in.secondRound(in.o.out) + ", for every K"
	}
	if err := in.env.writePart(in.ctx, h, []parts.Numbers{{Columns: columns}}, &in.o.runOptions, next); err != nil {
		return err
	}
	return errPartWritten
}

// secondRound is the command that makes the parts of the second round.
func (in *staged) secondRound(dir string) string {
	call := slices.DeleteFunc(in.asked.call(), func(word string) bool { return word == "--" })
	return fmt.Sprintf("rundown %s --round 2 --part K/N --out %s", strings.Join(call, " "), dir)
}

// orSecond says with what is wrong with the parts of the second round how they are made.
func (in *staged) orSecond(err error) error {
	if wrong := (*partsError)(nil); errors.As(err, &wrong) {
		return notJoined(wrong.text, "nothing was written; the parts of round 2 are made by '"+in.secondRound(in.env.joined.dir)+"'")
	}
	return err
}

// take takes the runs of a stage from its parts.
func (in *staged) take(s drivers.Stage, runs int, set *parts.Set) ([][]float64, error) {
	if err := in.asked.made(set); err != nil {
		return nil, err
	}
	want := in.block(s, runs, &partOption{part: set.Header.Part, of: set.Header.Of})
	if len(set.Header.Blocks) != 1 || !sameBlock(&want, &set.Header.Blocks[0]) {
		return nil, otherRuns
	}
	columns := make(parts.Columns, in.model.Seasons())
	for i := range columns {
		columns[i] = make([]float64, runs)
	}
	return columns, eachPart(in.ctx, set, []parts.Numbers{{Columns: columns}}, func(*parts.Header) {})
}

// announce says what long runs cost before they begin: of a part its share of a
// stage's runs, and nothing where parts are joined.
func (in *staged) announce(stage, all int, what string, pilot func() (int, error)) error {
	switch {
	case in.env.joined != nil:
		return nil
	case in.o.of > 0:
		_, count := parts.Range(stage, in.o.part, in.o.of)
		return in.env.announce(count, fmt.Sprintf("part %d of %d", in.o.part, in.o.of), in.o, pilot)
	}
	return in.env.announce(all, what, in.o, pilot)
}

// progress shows how many of the runs that are made here are: of a part those of one
// stage, before which others stand.
func (in *staged) progress(show *output.Progress, before, stage int) func(done, total int) {
	switch {
	case in.o.quiet:
		return nil
	case in.o.of == 0:
		return show.Update
	}
	_, count := parts.Range(stage, in.o.part, in.o.of)
	return func(done, _ int) { show.Update(min(done-before, count), count) } // the first run of all comes on top
}
