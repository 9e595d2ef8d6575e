// Package planner serves the planner page: a plan seen, changed and forecast in the
// user's own browser, from the user's own machine. The page owns the text of the plan
// and sends it whole; the server keeps none. What it asks of runs are studies, and the
// words and pictures are those of the forecast command.
package planner

import (
	"context"
	"io"
	"os"
	"time"

	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

// Config is what the page is served from.
type Config struct {
	Root     *os.Root // the start folder: files are read and written in it and nowhere else
	Folder   string   // what it is called in words
	Plan     string   // name in the folder of the plan to begin with; "" is the starter plan
	Port     int      // 0: one that the system chooses
	Idle     time.Duration
	Browser  func(link string) error                             // opens a link; nil: nothing is opened
	Forecast func(p *Plan, found *study.Forecast) *report.Report // puts it into words and pictures
	// Update lets counts in, as CSV, and puts what they make of the forecast into words.
	Update   func(ctx context.Context, p *Plan, name string, counts []byte, progress func(share float64)) (*report.Report, error)
	Out, Err io.Writer // Out is given the link, and nothing else
}

// Sizes of the two looks: the first are the first of the second.
const (
	firstLook = 200
	SureLook  = 2000 // as many as forecast makes
	seed      = 1
)
