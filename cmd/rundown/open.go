package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
	"time"

	"rundown/cmd/internal/findings"
	"rundown/cmd/internal/planner"
	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

const openAbout = `Opens a page in your own browser on which a plan is seen, changed and forecast at
once: seasons as calendars whose marks are dragged, the answer beside them, and
what each change does. Without PLAN it begins with the starter plan, whose field is
invented. Everything stays on this machine; nothing is written without Save.

The page is served from this machine to this machine alone. The link is printed on
standard output and is good once. On Linux other users of the machine are kept
out; elsewhere the link alone does that. Files are read and written in the folder in
which the command is started and below it; where PLAN lies elsewhere, in its folder.

It ends with Ctrl-C, or when no page has been open for a while (--idle).`

type openOptions struct {
	port      int
	noBrowser bool
	idle      time.Duration
}

func openCommand() *command {
	return &command{
		name: "open", synopsis: "[PLAN]", summary: "plan in the browser: drag, and see what it does",
		about:    openAbout,
		examples: []string{"rundown open", "rundown open plan.yaml", "rundown open plan.yaml --no-browser"},
		flags:    func(c *command) *flagSet { return openFlags(c, &openOptions{}) },
		run:      runOpen,
	}
}

func openFlags(c *command, o *openOptions) *flagSet {
	f := newFlags(c)
	o.idle = 10 * time.Minute
	f.Var(whole{&o.port, 1, 65535}, "port", "port of this machine (one that is free)")
	f.BoolVar(&o.noBrowser, "no-browser", false, "print the link and open nothing")
	f.Var(patience{&o.idle}, "idle", "end after so long without an open page")
	return f
}

// patience is a flag for a length of time.
type patience struct{ to *time.Duration }

func (p patience) Type() string { return "time" }

func (p patience) String() string {
	if p.to == nil {
		return ""
	}
	if m := *p.to / time.Minute; *p.to == m*time.Minute {
		return fmt.Sprintf("%dm", m)
	}
	return p.to.String()
}

func (p patience) Set(s string) error {
	d, err := time.ParseDuration(s)
	if err != nil || d < time.Second || d > 24*time.Hour {
		return errors.New("expected a time from 1s to 24h, like 10m")
	}
	*p.to = d
	return nil
}

func runOpen(ctx context.Context, env *environment, args []string) error {
	var o openOptions
	f := openFlags(openCommand(), &o)
	rest, err := f.read(env, args, 0, 1)
	if err != nil {
		return err
	}
	folder, plan, err := startFolder(strings.Join(rest, ""))
	if err != nil {
		return err
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return &unfinished{what: "the folder " + folder + " cannot be opened", cause: err}
	}
	defer root.Close()
	debug.SetGCPercent(40) // a page is long-lived: little memory rather than little collecting
	debug.SetMemoryLimit(2 << 30)
	c := planner.Config{Root: root, Folder: folder, Plan: plan, Port: o.port, Idle: o.idle,
		Forecast: pageReport, Update: pageUpdate, Out: env.stdout, Err: env.stderr}
	if !o.noBrowser {
		c.Browser = openBrowser
	}
	server, err := planner.New(c)
	if err != nil {
		return err
	}
	if err := server.Run(ctx); err != nil {
		return &unfinished{what: "the page cannot be served", cause: err}
	}
	env.committed = true // what was saved is saved, however this ends
	return nil
}

// startFolder is the folder that files are read and written in, and the plan's name in it: the
// folder started in, or the plan's own where that lies outside.
func startFolder(path string) (folder, name string, err error) {
	here, err := os.Getwd()
	if err != nil || path == "" {
		return here, "", err
	}
	switch info, err := os.Stat(path); {
	case errors.Is(err, fs.ErrNotExist):
		return "", "", &inputError{fmt.Sprintf("%s: there is no such file", path), "'rundown open' without a plan begins a new one"}
	case err != nil:
		return "", "", &inputError{text: fmt.Sprintf("%s cannot be read: %s", path, plainCause(err))}
	case !info.Mode().IsRegular():
		return "", "", &inputError{text: path + " is no ordinary file; a plan was expected"}
	}
	if ext := strings.ToLower(filepath.Ext(path)); ext != ".yaml" && ext != ".yml" || strings.HasPrefix(filepath.Base(path), ".") {
		return "", "", &inputError{path + " is not opened here", "the name of a plan ends in .yaml or .yml and does not begin with a dot"}
	}
	whole, err := filepath.Abs(path)
	if err != nil {
		return "", "", err
	}
	if name, err := filepath.Rel(here, whole); err == nil && filepath.IsLocal(name) {
		return here, filepath.ToSlash(name), nil
	}
	return filepath.Dir(whole), filepath.Base(whole), nil
}

// pageReport is a forecast in words and pictures, as the forecast command tells it.
func pageReport(p *planner.Plan, found *study.Forecast) *report.Report {
	from := pageProvenance(p)
	from.Arguments = []string{"forecast", filepath.Base(p.Name), fmt.Sprintf("--replicates=%d", found.Replicates), fmt.Sprintf("--seed=%d", found.Seed)}
	return findings.Forecast(findings.ForecastRun{Found: found, Run: findings.Run{Calendar: p.Calendar, Replicates: found.Replicates,
		Seed: found.Seed, Provenance: from, Starter: p.Starter}})
}

func pageProvenance(p *planner.Plan) report.Provenance {
	from := identity()
	from.PlanSHA256, from.Plan = p.SHA256(), report.PlanText{Name: filepath.Base(p.Name), Text: string(p.Text)}
	from.LibrarySHA256 = p.Calendar.Library.SHA256()
	return from
}

// openBrowser opens a link in the user's browser: never through a shell, its output kept off
// ours, and not waited for.
func openBrowser(link string) error {
	var c *exec.Cmd
	switch runtime.GOOS {
	case "darwin":
		c = exec.Command("open", link)
	case "windows":
		c = exec.Command("rundll32", "url.dll,FileProtocolHandler", link)
	default:
		if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
			return errors.New("there is no screen")
		}
		c = exec.Command("xdg-open", link)
	}
	if err := c.Start(); err != nil {
		return errors.New(plainCause(err))
	}
	go func() { _ = c.Wait() }() // only so that the system forgets it
	return nil
}
