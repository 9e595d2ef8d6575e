package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"rundown/cmd/internal/output"
	"rundown/cmd/internal/parts"
	"rundown/cmd/internal/report"
)

// partOption is the flag of commands whose runs can be made in parts.
type partOption struct {
	part, of int // from 1; of is 0: all runs are made
	round    int // of those commands that have two, from 1; 0: the command has one
}

const partUsage = "make only the K-th of N parts of the runs, as a file in --out; 'rundown join' makes the result of all"

func (o *partOption) add(f *flagSet) { f.Var(partFlag{o}, "part", partUsage) }

// addRounds adds the flag for commands whose later runs hang on the earlier ones.
func (o *partOption) addRounds(f *flagSet) {
	o.round = 1
	f.Var(whole{&o.round, 1, 2}, "round", "with --part: 2 makes the runs that hang on the parts of round 1, which are read in --out")
}

// rounds is how many rounds of parts the command has.
func (o *partOption) rounds() int {
	if o.round > 0 {
		return 2
	}
	return 1
}

// partFlag reads K/N.
type partFlag struct{ to *partOption }

func (p partFlag) String() string {
	if p.to == nil || p.to.of == 0 {
		return ""
	}
	return fmt.Sprintf("%d/%d", p.to.part, p.to.of)
}

func (p partFlag) Type() string { return "K/N" }

func (p partFlag) Set(text string) error {
	k, n, _ := strings.Cut(text, "/")
	part, err := strconv.Atoi(k)
	of, err2 := strconv.Atoi(n)
	if err != nil || err2 != nil || !digits(k) || !digits(n) || part < 1 || of < part || of > parts.Most {
		return fmt.Errorf("expected K/N, as 3/8: the third of eight parts, of at most %d", parts.Most)
	}
	p.to.part, p.to.of = part, of
	return nil
}

// refuse finds what does not go with a part.
func (o *partOption) refuse(f *flagSet, files []string, run *runOptions) error {
	if o.of == 0 && o.round == 2 {
		return f.wrong("--round 2 needs --part, the part of the second round to make", "")
	}
	if o.of == 0 {
		return nil
	}
	if run.out == "" {
		return f.wrong("--part needs --out, the folder that the parts of a result are collected in", "")
	}
	for _, name := range []string{"json", "brief", "full", "replicates-csv"} {
		if f.Changed(name) {
			return f.wrong("--"+name+" says how a result is shown, and a part is none yet", "give it to 'rundown join', which makes the result")
		}
	}
	if slices.Contains(files, "-") {
		return f.wrong("a part cannot be made of standard input: 'rundown join' reads the plan again", "write the plan to a file")
	}
	return nil
}

// asked is the call of a command with what it read.
type asked struct {
	f     *flagSet
	files []string
	part  *partOption
	from  []report.Provenance // one for each plan
}

// call is the call as it was given, without what changes no number.
func (a *asked) call() []string {
	out := []string{a.f.command.name}
	a.f.Visit(func(flag *pflag.Flag) {
		if !slices.Contains(notInProvenance, flag.Name) {
			out = append(out, "--"+flag.Name+"="+flag.Value.String())
		}
	})
	return append(append(out, "--"), a.files...)
}

// sources are what was read.
func (a *asked) sources() []parts.Source {
	var out []parts.Source
	add := func(s parts.Source) {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	for _, p := range a.from {
		out = append(out, parts.Source{Kind: "plan", Name: p.Plan.Name, SHA256: p.PlanSHA256})
		add(parts.Source{Kind: "library", Name: "of the program", SHA256: p.LibrarySHA256})
		for _, in := range p.Inputs {
			add(parts.Source{Kind: "file", Name: in.Name, SHA256: in.SHA256})
		}
	}
	return out
}

// header is that of a part of a round, without its blocks.
func (a *asked) header(round int) (*parts.Header, error) {
	program, err := thisProgram()
	if err != nil {
		return nil, err
	}
	return &parts.Header{Part: a.part.part, Call: a.call(), CPU: parts.CPU(), Shared: parts.Shared{Of: a.part.of, Round: round,
		Arguments: arguments(a.f, a.files), Program: program, Machine: parts.ThisMachine(), From: a.sources()}}, nil
}

// thisProgram says which program this is: two of one version may still be built otherwise.
func thisProgram() (parts.Program, error) {
	p := build()
	sum, err := ownSum()
	if err != nil {
		return parts.Program{}, &unfinished{what: "a part says which program made it, and the program's file cannot be read", cause: err}
	}
	return parts.Program{Version: p.Version, Commit: p.Commit, Go: p.Go, SHA256: sum}, nil
}

// enough refuses more parts than runs.
func (o *partOption) enough(f *flagSet, runs int) error {
	if o.of > runs {
		return f.wrong(fmt.Sprintf("--part %v: %d runs cannot be made in %d parts", partFlag{o}, runs, o.of), "give as many parts as runs at most")
	}
	return nil
}

// next is what comes when all parts of a round are in a folder: the second round, or the
// command that makes the result.
func (a *asked) next(dir string, last bool) string {
	if last {
		return "rundown join " + dir
	}
	return a.secondRound(dir) + ", for every K"
}

// secondRound is the command that makes the parts of the second round.
func (a *asked) secondRound(dir string) string {
	call := slices.DeleteFunc(a.call(), func(word string) bool { return word == "--" })
	return fmt.Sprintf("rundown %s --round 2 --part K/N --out %s", strings.Join(call, " "), dir)
}

// orSecond says with what is wrong with the parts of the second round how they are made.
func (a *asked) orSecond(err error, dir string) error {
	if wrong := (*partsError)(nil); errors.As(err, &wrong) {
		return notJoined(wrong.text, "nothing was written; the parts of round 2 are made by '"+a.secondRound(dir)+"'")
	}
	return err
}

// writePart writes a part into the folder of --out and says so, and what comes next.
func (env *environment) writePart(ctx context.Context, h *parts.Header, numbers []parts.Numbers, o *runOptions, next string) error {
	return env.writePartBy(ctx, h, o, next, func(w io.Writer) error { return parts.Write(w, h, numbers) })
}

// writePartBy does so with a part that is made while it is written.
func (env *environment) writePartBy(ctx context.Context, h *parts.Header, o *runOptions, next string, write func(io.Writer) error) error {
	name := parts.FileName(h.Part, h.Of, h.Round)
	err := env.writeFiles(ctx, o.out, []string{name}, map[string]func(io.Writer) error{name: write})
	if err != nil || o.quiet {
		return err
	}
	return env.print([]byte(output.Visible(fmt.Sprintf("Written to %s: %s, part %d of %d. When all are there: %s", o.out, name, h.Part, h.Of, next)) + "\n"))
}

// notParted says why a command is not made in parts.
func notParted(command string) string {
	if command == "update" {
		return "update is not made in parts: it weighs all histories against each other"
	}
	return command + " is not made in parts"
}

// parted are the commands that are.
func parted() []string {
	var names []string
	for _, c := range commands() {
		if c.flags(c).Lookup("part") != nil {
			names = append(names, c.name)
		}
	}
	return names
}
