package planner

import (
	"context"
	"net/http"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim/study"
)

// asked is a plan to be forecast, and what it is set against.
type asked struct {
	Page    string  // which of the open pages asks
	Name    string  // of the plan's file
	Text    string  // the plan, whole
	Width   float64 // of the picture, in CSS pixels
	Against *struct{ Name, Text, Label string }
	WhatIf  *whatIf
}

// look is what the page shows of a number of runs.
type look struct {
	Runs      int          `json:"runs"`
	Sure      bool         `json:"sure"`
	Verdict   string       `json:"verdict"`
	Sentences []string     `json:"sentences"`
	Warnings  []string     `json:"warnings"`
	Cautions  []string     `json:"cautions"`
	Table     table        `json:"table"`
	Picture   string       `json:"picture"` // an SVG element
	Style     string       `json:"style"`   // and the colours that it uses
	Title     string       `json:"title"`
	Seasons   []seasonLook `json:"seasons"`
}

type table struct {
	Head   []string   `json:"head"`
	Units  []string   `json:"units"`
	Rows   [][]string `json:"rows"`
	Legend string     `json:"legend"`
}

// seasonLook is what came of a season's days over the runs.
type seasonLook struct {
	From   int                `json:"from"` // nine runs in ten drilled between From and To
	Middle int                `json:"middle"`
	To     int                `json:"to"`
	Share  float64            `json:"share"` // of the runs in which the planned crop went in
	Done   map[string]float64 `json:"done"`  // by mark: share of the runs that grew the crop in which it was done, where that is seldom
}

// forecast answers with a stream: the plan as it is understood, a first look at 200 runs,
// and the sure one at 2,000, of which those are the first. Leaving it ends the runs.
func (s *Server) forecast(w http.ResponseWriter, r *http.Request) {
	var in asked
	if !taken(w, r, &in) {
		return
	}
	s.touch()
	ctx, done := s.begin(r.Context(), in.Page)
	defer done()
	out := newEvents(w)
	if err := s.tell(ctx, out, &in); err != nil && ctx.Err() == nil {
		_ = out.send("failed", map[string]any{"text": err.Error()}) // a page that has gone is not told
	}
}

// begin makes a page's work its only one: what it asked for before is given up.
func (s *Server) begin(ctx context.Context, page string) (context.Context, func()) {
	ctx, cancel := context.WithCancel(ctx)
	mine := &work{cancel}
	s.mu.Lock()
	if before := s.live[page]; before != nil {
		before.cancel()
	}
	s.live[page] = mine
	s.running++
	s.mu.Unlock()
	return ctx, func() {
		cancel()
		s.mu.Lock()
		s.running--
		if s.live[page] == mine {
			delete(s.live, page)
		}
		s.mu.Unlock()
	}
}

// work is what one page has asked for last.
type work struct{ cancel context.CancelFunc }

func (s *Server) tell(ctx context.Context, out *events, in *asked) error {
	p, err := s.read(in.Name, []byte(in.Text), in.WhatIf)
	if err != nil {
		return err
	}
	if p.Calendar == nil {
		return out.send("plan", map[string]any{"mistakes": p.Mistakes})
	}
	if err := out.send("plan", map[string]any{"view": p.view(), "mistakes": []Mistake{}}); err != nil {
		return err
	}
	var base *Plan
	if in.Against != nil {
		if base, err = s.read(in.Against.Name, []byte(in.Against.Text), nil); err != nil {
			return err
		}
	}
	for _, runs := range []int{firstLook, SureLook} {
		given, err := s.given(ctx, p, runs)
		if err != nil {
			return err
		}
		q := &study.ForecastRequest{Calendar: p.Calendar, Replicates: runs, Seed: seed}
		if err := out.send("look", s.look(p, q.Find(given), in.Width)); err != nil {
			return err
		}
		if base == nil || base.Calendar == nil {
			continue
		}
		before, err := s.outcomes(ctx, base, runs)
		if err != nil {
			return err
		}
		if err := out.send("difference", difference(p, base, in, before, given[0], runs)); err != nil {
			return err
		}
	}
	return out.send("end", map[string]any{})
}

// look puts a forecast into what the page shows.
func (s *Server) look(p *Plan, found *study.Forecast, width float64) *look {
	told := s.Forecast(p, found)
	l := &look{Runs: found.Replicates, Sure: found.Replicates >= SureLook, Verdict: told.Answer.Verdict, Sentences: told.Answer.Sentences,
		Warnings: []string{}, Cautions: told.Cautions, Table: tableOf(told.Short)}
	for _, x := range told.Warnings {
		l.Warnings = append(l.Warnings, x.Text)
	}
	if len(told.Pictures) > 0 {
		var press figure.Press
		l.Picture = press.Draw(told.Pictures[0].Figure, min(max(width, 320), 900))
		l.Style, l.Title = press.Style(), figure.About(told.Pictures[0].Figure).Title
	}
	for i := range found.Seasons {
		l.Seasons = append(l.Seasons, lookAt(&found.Seasons[i]))
	}
	return l
}

func tableOf(t report.Table) table {
	out := table{Legend: t.Legend}
	for _, c := range t.Columns {
		out.Head, out.Units = append(out.Head, c.Head), append(out.Units, c.Unit)
	}
	for _, r := range t.Rows {
		out.Rows = append(out.Rows, r.Cells)
	}
	return out
}

func lookAt(s *study.Season) seasonLook {
	out := seasonLook{Done: map[string]float64{}}
	if d := s.Drilled; d != nil && d.Share > 0 {
		out.From, out.Middle, out.To, out.Share = int(d.P05), int(d.P50), int(d.P95), d.Share
	}
	for _, w := range s.Work {
		if w.Op != nil && w.Course == 0 && w.OfGrown < study.OftenDone {
			out.Done[markOf(w.Op)] = w.OfGrown
		}
	}
	return out
}

func markOf(o *rotations.Operation) string { return o.Path[strings.LastIndex(o.Path, ".")+1:] }
