package planner

import (
	"bytes"
	"html"
	"net/http"
	"regexp"
	"strings"

	"rundown/sim/study"
)

// mostReports is how many full reports are kept to be shown.
const mostReports = 4

// report makes the full report of a plan and says where it is shown.
func (s *Server) report(w http.ResponseWriter, r *http.Request) {
	var in struct{ Name, Text string }
	if !taken(w, r, &in) {
		return
	}
	s.touch()
	p, err := s.read(in.Name, []byte(in.Text), nil)
	if err == nil && p.Calendar == nil {
		answer(w, http.StatusConflict, map[string]any{"text": "The plan has mistakes; mend them first."})
		return
	}
	ctx, done := s.begin(r.Context(), "report "+secret())
	defer done()
	var page bytes.Buffer
	if err == nil {
		var given []study.Outcomes
		if given, err = s.given(ctx, p, SureLook); err == nil {
			q := &study.ForecastRequest{Calendar: p.Calendar, Replicates: SureLook, Seed: seed}
			err = s.Forecast(p, q.Find(given)).HTML(&page)
		}
	}
	if err != nil {
		answer(w, http.StatusInternalServerError, map[string]any{"text": err.Error()})
		return
	}
	name := secret()
	s.mu.Lock()
	if len(s.reports) >= mostReports {
		clear(s.reports)
	}
	s.reports[name] = page.Bytes()
	s.mu.Unlock()
	answer(w, http.StatusOK, map[string]any{"path": "/report/" + name})
}

var ownPolicy = regexp.MustCompile(`http-equiv="Content-Security-Policy" content="([^"]*)"`)

// shown gives a report as a document of its own, under the policy that it brings: it has style
// and script within.
func (s *Server) shown(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	page := s.reports[strings.TrimPrefix(r.URL.Path, "/report/")]
	s.mu.Unlock()
	own := ownPolicy.FindSubmatch(page)
	if own == nil {
		s.refuse(w, r, &refusal{http.StatusNotFound, "This report is not kept any more; make it again."})
		return
	}
	w.Header().Set("Content-Security-Policy", html.UnescapeString(string(own[1]))+"; frame-ancestors 'none'")
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(page)
}
