package planner

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log"
	"net/http"
	"time"
)

// quiet is a log of the server library that nobody reads: it would hold addresses.
func quiet() *log.Logger { return log.New(io.Discard, "", 0) }

// answer gives a result as JSON.
func answer(w http.ResponseWriter, status int, of any) {
	data, err := json.Marshal(of)
	if err != nil {
		status, data = http.StatusInternalServerError, []byte(`{"text":"The answer cannot be written: a fault of the program."}`)
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write(data) // a reader who has gone
}

// taken reads the body of a request; where it says no, it has answered.
func taken(w http.ResponseWriter, r *http.Request, into any) bool {
	d := json.NewDecoder(r.Body)
	d.DisallowUnknownFields()
	err := d.Decode(into)
	if err == nil {
		if _, more := d.Token(); more != io.EOF {
			err = errors.New("more than one")
		}
	}
	var large *http.MaxBytesError
	switch {
	case err == nil:
		_ = http.NewResponseController(w).SetReadDeadline(time.Time{}) // all is read; what follows may take its time
		return true
	case errors.As(err, &large):
		answer(w, http.StatusRequestEntityTooLarge, map[string]any{"text": "The request is larger than 2 MiB."})
	default:
		answer(w, http.StatusBadRequest, map[string]any{"text": "The request cannot be read."})
	}
	return false
}

// events writes a stream of events, each within a time of its own.
type events struct {
	w  http.ResponseWriter
	rc *http.ResponseController
}

// eventTime is what one event may take to be taken by the page.
const eventTime = 15 * time.Second

func newEvents(w http.ResponseWriter) *events {
	w.Header().Set("Content-Type", "text/event-stream")
	w.WriteHeader(http.StatusOK)
	return &events{w, http.NewResponseController(w)}
}

func (e *events) send(name string, of any) error {
	data, err := json.Marshal(of)
	if err != nil {
		return err
	}
	if err := e.rc.SetWriteDeadline(time.Now().Add(eventTime)); err != nil {
		return err
	}
	if _, err := fmt.Fprintf(e.w, "event: %s\ndata: %s\n\n", name, data); err != nil {
		return err
	}
	return e.rc.Flush()
}
