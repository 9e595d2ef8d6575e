package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/output"
	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

// runOptions are the flags that every command which runs a model has.
type runOptions struct {
	replicates int
	seed       uint64
	jobs       int // 0: one for each processor
	out        string
	json       bool
	quiet      bool
	brief      bool
	full       bool
}

func (o *runOptions) add(f *flagSet, replicates int) {
	o.replicates, o.seed = replicates, 1
	f.Var(whole{&o.replicates, 1, 1_000_000}, "replicates", "how many runs; more give steadier bands")
	f.Var(seed{&o.seed}, "seed", "of the random numbers")
	f.Var(whole{&o.jobs, 1, 1024}, "jobs", "runs at a time (one for each processor); it changes the time taken, never a number")
	o.addOutput(f)
}

func (o *runOptions) addOutput(f *flagSet) {
	f.Var(place{&o.out}, "out", "write figures and data to this folder")
	f.BoolVar(&o.json, "json", false, "print one JSON object and nothing else")
	f.BoolVar(&o.brief, "brief", false, "print the answer alone")
	f.BoolVar(&o.full, "full", false, "print every table and sentence")
	f.BoolVar(&o.quiet, "quiet", false, "no progress; with --out no text either")
}

// makeRuns makes runs and letCountsIn histories, drawPicture writes pictures; tests count or share the
// former and leave the latter out.
var (
	makeRuns    = (*study.Ready).Make
	letCountsIn = (*study.UpdateRequest).LetIn
	drawPicture = figure.Write
)

// run makes a part of runs side by side, with a progress bar that says what they are.
func (env *environment) run(ctx context.Context, what string, r *study.Ready, p study.Part, o *runOptions) (study.Outcomes, error) {
	p.Jobs = o.jobs
	if err := env.reserveMemory(r, p.Count); err != nil {
		return nil, err
	}
	progress := output.NewProgress(env.stderr, env.err, what)
	if !o.quiet {
		p.Progress = progress.Update
	}
	outcomes, err := makeRuns(r, ctx, p)
	progress.Clear()
	if err != nil {
		return nil, fmt.Errorf("the runs could not be finished: %w", err)
	}
	return outcomes, nil
}

// What the results of a command may take of the memory, and from where on garbage
// is collected as usual and sooner: the runs themselves make none, but the report's does
// otherwise double the memory.
const (
	largest = min(4<<30, math.MaxInt/2+1) // bytes; 1 GiB for a process of 32 bits
	large   = 16 << 20
	small   = 1 << 20
)

// beginLight has little garbage collected while plans are read and models made: a megabyte
// more for a tenth of the time of a short command. Whoever has set GOGC is obeyed.
func beginLight() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400)
	}
}

// reserveMemory refuses results that would not go into the memory, before any run, and
// otherwise sets what the program may take: an eighth more than its results, and
// what it takes without any; its code is on top of that.
func (env *environment) reserveMemory(r *study.Ready, replicates int) error {
	seasons, each := 0, r.ReplicateBytes()
	for _, m := range r.Models {
		seasons += m.Seasons()
	}
	if err := roomFor(env.results, each, seasons, replicates); err != nil {
		return err
	}
	env.results += each * int64(replicates)
	if need := env.results + env.results/4; need > addresses() {
		return fmt.Errorf("the results would take %.1f GiB, more addresses than this shell allows; allow more with 'ulimit -v' or give fewer --replicates", gib(need))
	}
	switch {
	case env.results > large:
		debug.SetGCPercent(15)
		debug.SetMemoryLimit(env.results + env.results/8 + 28<<20)
	case env.results > small && os.Getenv("GOGC") == "":
		debug.SetGCPercent(100)
	}
	return nil
}

// roomFor refuses replicates of so many bytes, and seasons in all, beside what else is taken.
func roomFor(taken, each int64, seasons, replicates int) error {
	need := taken + each*int64(replicates)
	if need <= largest {
		return nil
	}
	return &usageError{text: fmt.Sprintf("%d replicates of %d seasons in all would take %.1f GiB of memory; at most %.0f are taken", replicates, seasons,
		gib(need), gib(largest)),
		hint: fmt.Sprintf("give --replicates %d or fewer", max(1, (largest-taken)/each))}
}

// largestTable is how large a table of single runs may become.
const largestTable = 2 << 30

// notTooLarge refuses a table of about so many bytes, before any run.
func notTooLarge(name string, bytes int64, replicates int) error {
	if bytes <= largestTable {
		return nil
	}
	fits := int(float64(replicates) * float64(largestTable) / float64(bytes))
	return &usageError{text: fmt.Sprintf("%s would take about %.1f GiB; at most %.0f GiB are written", name, gib(bytes), gib(largestTable)),
		hint: fmt.Sprintf("give --replicates %d or fewer", max(1, fits))}
}

func gib(bytes int64) float64 { return float64(bytes) / (1 << 30) }

// pageFile is the page to hand over, the same name for every command.
const pageFile = "report.html"

// publish prints a report and, with --out, writes its files: tables as CSV, the
// pictures, provenance.json and, last of all, the command's JSON.
func (env *environment) publish(ctx context.Context, r *report.Report, o *runOptions, command string, from report.Object,
	tables map[string]func(io.Writer) error) error {
	files := map[string]func(io.Writer) error{
		"provenance.json": func(w io.Writer) error { return report.JSON(w, from) },
		command + ".json": func(w io.Writer) error { return report.JSON(w, r.Document) },
		pageFile:          r.HTML,
	}
	var names []string
	for _, name := range sortedNames(tables) {
		names = append(names, name)
		files[name] = tables[name]
	}
	for _, p := range r.Pictures {
		for _, format := range []figure.Format{figure.PNG, figure.SVG} {
			name := p.Name + "." + string(format)
			names = append(names, name)
			files[name] = func(w io.Writer) error { return drawPicture(p.Figure, format, w) }
		}
	}
	names = append(names, pageFile, "provenance.json", command+".json")
	if o.out != "" {
		r.Written = fmt.Sprintf("Written to %s: %s.", o.out, strings.Join(names, ", "))
	}
	text, err := textOrJSON(env, r, o)
	if err != nil {
		return err
	}
	if err := env.writeFiles(ctx, o.out, names, files); err != nil {
		return err
	}
	return env.print(text)
}

// textOrJSON is what goes to standard output.
func textOrJSON(env *environment, r *report.Report, o *runOptions) ([]byte, error) {
	switch {
	case o.json:
		return jsonBytes(r.Document)
	case o.quiet && o.out != "":
		return nil, nil
	}
	switch {
	case o.brief && o.full:
		return nil, &usageError{text: "--brief and --full do not go together", hint: "leave one of them out"}
	case o.brief:
		r.Detail = report.Brief
	case o.full:
		r.Detail = report.Full
	}
	var b bytes.Buffer
	err := r.Text(&b, env.out)
	return b.Bytes(), err
}

// notOver refuses to write over files that a command reads.
func notOver(targets, read []string) error {
	for _, target := range targets {
		there, err := os.Stat(target)
		if err != nil {
			continue // nothing to write over
		}
		for _, path := range read {
			if info, err := os.Stat(path); err == nil && os.SameFile(there, info) {
				return &usageError{text: fmt.Sprintf("%s is read and would be written over; give another folder or name", target)}
			}
		}
	}
	return nil
}

// writeFiles writes files into a folder, where one is given, and with them what is
// written besides: all of it or nothing, and none over what the command has read.
func (env *environment) writeFiles(ctx context.Context, dir string, names []string, files map[string]func(io.Writer) error) error {
	if dir == "" {
		err := output.CommitAll(ctx, env.besides...)
		env.committed = err == nil && len(env.besides) > 0
		return err
	}
	var targets []string
	for _, name := range names {
		targets = append(targets, filepath.Join(dir, name))
	}
	if err := notOver(targets, env.inputs); err != nil {
		return err
	}
	set, err := output.OpenSet(dir)
	if err != nil {
		return err
	}
	defer set.Discard()
	for _, name := range names {
		if err := set.Stage(ctx, name, files[name]); err != nil {
			return err
		}
	}
	err = output.CommitAll(ctx, append(env.besides, set)...)
	env.committed = err == nil
	if errors.Is(err, output.ErrSameFile) {
		return &usageError{text: err.Error() + ": two flags name it", hint: "give one of them another folder or name"}
	}
	return err
}

// planName is how a plan is called in tables: its file without folder and ending.
func planName(path string) string {
	switch path {
	case "":
		return "starter plan"
	case "-":
		return "standard input"
	}
	base := output.Visible(filepath.Base(path))
	return strings.TrimSuffix(base, filepath.Ext(base))
}

func sortedNames(m map[string]func(io.Writer) error) []string {
	return slices.Sorted(maps.Keys(m))
}

func jsonBytes(o report.Object) ([]byte, error) {
	var b bytes.Buffer
	if err := report.JSON(&b, o); err != nil {
		return nil, fmt.Errorf("the result cannot be written as JSON (a fault of the program): %w", err)
	}
	return b.Bytes(), nil
}
