package planner

import (
	"context"
	"net/http"
	"sync"

	"rundown/cmd/internal/figure"
)

// update answers with a stream: how far the counts are let in, and then what they make of
// the forecast. Leaving it ends the work.
func (s *Server) update(w http.ResponseWriter, r *http.Request) {
	var in struct {
		Page, Name, Text string
		CountsName       string // of the file of counts; "" where they were typed in
		Counts           string // as CSV
		Width            float64
	}
	if !taken(w, r, &in) {
		return
	}
	s.touch()
	p, err := s.read(in.Name, []byte(in.Text), nil)
	switch {
	case err != nil:
		answer(w, http.StatusInternalServerError, map[string]any{"text": err.Error()})
		return
	case p.Calendar == nil:
		answer(w, http.StatusConflict, map[string]any{"text": "The plan has mistakes; mend them first."})
		return
	}
	if in.CountsName == "" {
		in.CountsName = "counts"
	}
	ctx, done := s.begin(r.Context(), "counts of "+in.Page)
	defer done()
	out := newEvents(w)
	if err := s.letIn(ctx, out, p, in.CountsName, []byte(in.Counts), in.Width); err != nil && ctx.Err() == nil {
		_ = out.send("failed", map[string]any{"text": err.Error()})
	}
}

// letIn lets counts in and tells what they make of the forecast.
func (s *Server) letIn(ctx context.Context, out *events, p *Plan, name string, counts []byte, width float64) error {
	select {
	case s.turns <- struct{}{}:
		defer func() { <-s.turns }()
	case <-ctx.Done():
		return ctx.Err()
	}
	var mu sync.Mutex // progress comes from any worker
	told := 0.0
	found, err := s.Update(ctx, p, name, counts, func(share float64) {
		mu.Lock()
		defer mu.Unlock()
		if share >= told+0.01 {
			told = share
			_ = out.send("progress", map[string]any{"share": share}) // a page that has gone ends the context
		}
	})
	mu.Lock()
	defer mu.Unlock()
	if err != nil {
		return err
	}
	l := look{Verdict: found.Answer.Verdict, Sentences: found.Answer.Sentences, Warnings: []string{}, Table: tableOf(found.Short)}
	for _, x := range found.Warnings {
		l.Warnings = append(l.Warnings, x.Text)
	}
	if len(found.Pictures) > 0 {
		var press figure.Press
		l.Picture = press.Draw(found.Pictures[0].Figure, min(max(width, 320), 900))
		l.Style, l.Title = press.Style(), figure.About(found.Pictures[0].Figure).Title
	}
	return out.send("updated", l)
}
