package main

import (
	"context"
	"fmt"
	"io"

	"rundown/cmd/internal/output"
	"rundown/cmd/internal/parts"
	"rundown/sim/study"
)

// writeRows makes the fields of a part, one after another, while the part is written.
func (r *farmRun) writeRows(ctx context.Context) error {
	n := len(r.table.rows)
	if r.o.of > n {
		return r.asked.f.wrong(fmt.Sprintf("--part %v: %d fields cannot be made in %d parts", partFlag{&r.o.partOption}, n, r.o.of),
			"give as many parts as fields at most")
	}
	h, err := r.head(r.o.part, r.o.of)
	if err != nil {
		return err
	}
	progress := output.NewProgress(r.env.stderr, r.env.err, "fields")
	defer progress.Clear()
	var out study.Outcomes
	return r.env.writePartBy(ctx, h, &r.o.runOptions, r.asked.next(r.o.out, true), func(w io.Writer) error {
		return parts.WriteEach(w, h, func(b int) (*parts.Numbers, error) {
			if h.Blocks[b].Plan == 0 {
				f, err := r.field(h.Blocks[b].Row)
				if err != nil {
					return nil, err
				}
				if out, err = r.run(ctx, h.Blocks[b].Row, f, progress); err != nil {
					return nil, err
				}
			}
			o := out[h.Blocks[b].Plan]
			h.Blocks[b].Whole = int64(o.Unmet())
			numbers := numbersOf(o)
			return &numbers, nil
		})
	})
}

// take finds every field from the parts that are joined, one part and one field at a time.
func (r *farmRun) take(ctx context.Context, add func(*study.Found)) error {
	set := r.env.joined.set
	if err := r.asked.made(set); err != nil {
		return err
	}
	for k, path := range set.Paths {
		if err := context.Cause(ctx); err != nil {
			return err
		}
		if err := r.takePart(k+1, path, add); err != nil {
			return err
		}
	}
	return nil
}

func (r *farmRun) takePart(part int, path string, add func(*study.Found)) error {
	var f *farmField
	var out study.Outcomes
	var h *parts.Header
	var fault error // of the program, not of the file
	_, err := parts.ReadEachOf(path, parts.Blocks{
		Header: func(head *parts.Header) error {
			h = head
			return r.belongs(part, h)
		},
		Room: func(b int) *parts.Numbers {
			if h.Blocks[b].Plan == 0 {
				if f, fault = r.field(h.Blocks[b].Row); fault != nil {
					return nil
				}
				out = f.room()
			}
			n := numbersOf(out[h.Blocks[b].Plan])
			return &n
		},
		Done: func(b int) error {
			if fault != nil {
				return fault
			}
			x := &h.Blocks[b]
			out[x.Plan].AddUnmet(int(x.Whole))
			if x.Plan == len(out)-1 {
				add(f.request.Find(r.table.rows[x.Row].Name, out))
			}
			return nil
		},
	})
	switch {
	case fault != nil:
		return fault
	case err == otherRuns:
		return otherRuns
	case err != nil:
		return notJoined(fmt.Sprintf("%s has changed while parts were joined: %v", path, err), "")
	}
	return nil
}
