// Package planner serves the planner page: a plan seen, changed and forecast in the
// user's own browser, from the user's own machine. The page owns the text of the plan
// and sends it whole; the server keeps none. What it asks of runs are studies, and the
// runs are made by whoever starts it.
package planner

import (
	"context"
	"io"
	"os"
	"time"

	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

// Maker makes the runs that a study asks for. Those made before are the first of them,
// of the same calendars and seed, and are not made again.
type Maker func(ctx context.Context, r study.Runs, before study.Outcomes) (study.Outcomes, error)

// Config is what the page is served from.
type Config struct {
	Root     *os.Root // the start folder: files are read and written in it and nowhere else
	Folder   string   // what it is called in words
	Plan     string   // name in the folder of the plan to begin with; "" is the starter plan
	Port     int      // 0: one that the system chooses
	Idle     time.Duration
	Browser  func(link string) error // opens a link; nil: nothing is opened
	Make     Maker
	Forecast func(p *Plan, found *study.Forecast) *report.Report // puts it into words and pictures
	Out, Err io.Writer                                           // Out is given the link, and nothing else
}

// Sizes of the two looks: the first are the first of the second.
const (
	firstLook = 200
	SureLook  = 2000 // as many as forecast makes
	seed      = 1
)
