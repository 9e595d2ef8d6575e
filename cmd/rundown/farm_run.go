package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"rundown/cmd/internal/output"
	"rundown/cmd/internal/parts"
	"rundown/params/sheet"
	"rundown/sim"
	"rundown/sim/study"
)

// farmRun finds the fields of a farm one after another, and holds one at a time.
type farmRun struct {
	env     *environment
	o       *farmOptions
	asked   *asked
	table   *farmTable
	shared  *parts.Header // what parts of this farm have in common
	written int           // fields that wait in the folder beside --out
	told    bool          // what it will take has been said
}

// field is a field that can be run.
type farmField struct {
	request study.FieldRequest
	ready   *study.Ready
}

// field makes the models of a field's plans.
func (r *farmRun) field(i int) (*farmField, error) {
	row, m := r.table.rows[i], &sheet.Mistakes{}
	f := &farmField{request: study.FieldRequest{Calendars: r.table.calendars(row, m, nil), Replicates: r.o.replicates, Seed: r.o.seed,
		Afterwards: r.o.after}}
	if m.Len() > 0 {
		return nil, &planMistakes{mistakes: m, sources: map[string][]byte{}} // a file has changed since all were read
	}
	rounds, err := f.request.Runs(nil)
	if err != nil {
		return nil, err
	}
	var names []string
	for _, p := range r.table.plans {
		names = append(names, p.file+" on "+row.Name)
	}
	if f.ready, err = rounds[0].Ready(); err != nil {
		return nil, notReady(err, names, nil)
	}
	return f, nil
}

// prepare finds out before any run whether there is room, and what parts of this farm
// have in common.
func (r *farmRun) prepare(ctx context.Context) error {
	first, err := r.field(0)
	if err != nil {
		return err
	}
	seasons := 0
	for _, m := range first.ready.Models {
		seasons += m.Seasons()
	}
	each := first.ready.ReplicateBytes() + 8*int64(2*len(first.ready.Models)+2) // and the farm's sums
	if err := roomFor(r.env.results, each, seasons, r.o.replicates); err != nil {
		return err
	}
	if r.o.out == "" && r.env.joined == nil {
		return nil // no parts
	}
	h, err := r.asked.header(1)
	if err != nil {
		return err
	}
	if r.env.joined != nil {
		h.Run0 = r.env.joined.set.Header.Run0
	} else {
		sums, err := firstRuns(ctx, first.ready)
		if err != nil {
			return err
		}
		h.Run0 = sums[0]
	}
	h.Rows = len(r.table.rows)
	r.shared = h
	return nil
}

// head is the header of a part of the farm, with the blocks of its rows.
func (r *farmRun) head(part, of int) (*parts.Header, error) {
	h := *r.shared
	h.Part, h.Of, h.Blocks = part, of, nil
	first, count := parts.Range(len(r.table.rows), part, of)
	for row := first; row < first+count; row++ {
		for plan, seasons := range r.table.seasons {
			b := parts.Block{For: "field", Row: row, Plan: plan, Replicates: r.o.replicates, Count: r.o.replicates, Seasons: seasons}
			for _, k := range study.FarmMetrics(r.o.after) {
				b.Columns = append(b.Columns, sim.Metrics[k].Name)
			}
			h.Blocks = append(h.Blocks, b)
		}
	}
	if n := len(h.Blocks); n > parts.MostBlocks {
		return nil, r.asked.f.wrong(fmt.Sprintf("--part %v: %d fields under %d plans are too many for one part", partFlag{&r.o.partOption}, count,
			len(r.table.plans)), "make more parts")
	}
	return &h, nil
}

// make finds every field: taken up where it was kept, else by its runs.
func (r *farmRun) make(ctx context.Context, add func(*study.Found)) error {
	kept, err := r.kept(ctx)
	if err != nil {
		return err
	}
	progress := output.NewProgress(r.env.stderr, r.env.err, "fields")
	defer progress.Clear()
	for i := range r.table.rows {
		f, err := r.field(i)
		if err != nil {
			return err
		}
		var out study.Outcomes
		if kept[i] {
			if out, err = r.takeUp(i, f); err != nil {
				return err
			}
		} else if out, err = r.run(ctx, i, f, progress); err != nil {
			return err
		} else if err := r.keep(ctx, i, out); err != nil {
			return err
		}
		add(f.request.Find(r.table.rows[i].Name, out))
	}
	return nil
}

// run makes the runs of a field.
func (r *farmRun) run(ctx context.Context, i int, f *farmField, progress *output.Progress) (study.Outcomes, error) {
	part := f.ready.All()
	part.Jobs = r.o.jobs
	if !r.o.quiet {
		n := len(r.table.rows) * r.o.replicates
		part.Progress = func(done, _ int) { progress.Update((i*r.o.replicates+done)*len(r.table.rows)/n, len(r.table.rows)) }
	}
	began := time.Now()
	out, err := makeRuns(f.ready, ctx, part)
	if err != nil {
		if refused := (*sim.Refusal)(nil); errors.As(err, &refused) || ctx.Err() != nil {
			return nil, err
		}
		return nil, fmt.Errorf("the runs of %s could not be finished: %w", r.table.rows[i].Name, err)
	}
	r.announce(time.Since(began))
	return out, nil
}

// announce says once, by how long the first field took, what a long farm will take.
func (r *farmRun) announce(each time.Duration) {
	n := len(r.table.rows) - r.written
	if r.o.of > 0 {
		_, n = parts.Range(n, r.o.part, r.o.of)
	}
	if plans := len(r.table.plans); !r.told && !r.o.quiet && n*plans*r.o.replicates >= longRuns {
		_, _ = fmt.Fprintf(r.env.stderr, "%d fields under %d plans, %d runs of each: about %s\n", n, plans, r.o.replicates, roughly(each*time.Duration(n)))
	}
	r.told = true
}

// room is room for the runs of a field that are read.
func (f *farmField) room() study.Outcomes { return f.ready.Empty(f.ready.All()) }

// Folder of fields that are done, beside that of the results, which is there whole or not
// at all.
func (r *farmRun) beside() string {
	if r.o.out == "" || r.o.of > 0 || r.env.joined != nil {
		return ""
	}
	return filepath.Clean(r.o.out) + ".unfinished"
}

// kept tells which fields were kept by a run that was ended, and belong to this one.
func (r *farmRun) kept(ctx context.Context) (map[int]bool, error) {
	dir, out := r.beside(), map[int]bool{}
	if dir == "" {
		return out, nil
	}
	n := len(r.table.rows)
	for i := range r.table.rows {
		if err := context.Cause(ctx); err != nil {
			return nil, err
		}
		h, err := parts.ReadFile(filepath.Join(dir, parts.FileName(i+1, n, 1)), nil)
		if err != nil {
			continue // not there, or torn: it is made
		}
		if r.belongs(i+1, h) != nil {
			continue
		}
		out[i] = true
	}
	if len(out) > 0 && !r.o.resume {
		return nil, r.asked.f.wrong(fmt.Sprintf("%s holds %d of %d fields, which a run of this command left that was ended", dir, len(out), n),
			"add --resume to go on from there, or take that folder away to begin anew")
	}
	r.written = len(out)
	return out, nil
}

// belongs is why a part is none of this farm's; nil when it is.
func (r *farmRun) belongs(part int, h *parts.Header) error {
	want, err := r.head(part, h.Of)
	if err != nil {
		return err
	}
	if why := h.Differs(want); why != "" {
		return errors.New(why)
	}
	if h.Part != part || !sameRows(h, want) {
		return otherRuns
	}
	return nil
}

// sameRows tells whether a part holds the rows that it should.
func sameRows(h, want *parts.Header) bool {
	if len(h.Blocks) != len(want.Blocks) {
		return false
	}
	for i := range h.Blocks {
		if h.Blocks[i].Row != want.Blocks[i].Row || !sameBlock(&h.Blocks[i], &want.Blocks[i]) {
			return false
		}
	}
	return true
}

// keep keeps a field that is done in the folder beside that of the results.
func (r *farmRun) keep(ctx context.Context, i int, out study.Outcomes) error {
	dir := r.beside()
	if dir == "" {
		return nil
	}
	h, err := r.head(i+1, len(r.table.rows))
	if err != nil {
		return err
	}
	name := parts.FileName(h.Part, h.Of, 1)
	set, err := output.OpenSet(dir)
	if err != nil {
		return err
	}
	defer set.Discard()
	err = set.Stage(ctx, name, func(w io.Writer) error {
		return parts.WriteEach(w, h, func(b int) (*parts.Numbers, error) {
			h.Blocks[b].Whole = int64(out[b].Unmet())
			n := numbersOf(out[b])
			return &n, nil
		})
	})
	if err != nil {
		return err
	}
	if err := output.CommitAll(ctx, set); err != nil {
		return err
	}
	r.written++
	r.env.kept = fmt.Sprintf(" to %s; %d of %d fields wait in %s: the same command with --resume goes on from there", r.o.out, r.written, len(r.table.rows), dir)
	return nil
}

// takeUp reads a field that was kept.
func (r *farmRun) takeUp(i int, f *farmField) (study.Outcomes, error) {
	out := f.room()
	h, err := parts.ReadEachOf(filepath.Join(r.beside(), parts.FileName(i+1, len(r.table.rows), 1)), parts.Blocks{
		Header: func(h *parts.Header) error { return r.belongs(i+1, h) },
		Room:   func(b int) *parts.Numbers { n := numbersOf(out[b]); return &n },
	})
	if err != nil {
		return nil, fmt.Errorf("%s has changed while it was read: %w", r.beside(), err)
	}
	for b := range h.Blocks {
		out[b].AddUnmet(int(h.Blocks[b].Whole))
	}
	return out, nil
}

// sweep takes the fields that were kept away, once the results are there.
func (r *farmRun) sweep() {
	dir := r.beside()
	if dir == "" {
		return
	}
	names, _ := filepath.Glob(filepath.Join(dir, "part-*-of-*"+parts.Ending))
	for _, name := range names {
		_ = os.Remove(name) // what stays is no part of the results
	}
	_ = os.Remove(dir) // fails, rightly, where others' files are in it
}
