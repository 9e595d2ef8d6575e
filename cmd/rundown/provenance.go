package main

import (
	"path/filepath"
	"slices"

	"github.com/spf13/pflag"

	"rundown/cmd/internal/report"
	"rundown/params"
)

// notInProvenance are flags that change where a result goes or how fast it
// comes, never a number in it.
var notInProvenance = []string{"jobs", "out", "json", "quiet", "brief", "full", "replicates-csv", "part", "round", "resume"}

// provenance says what a result is made from. Only arguments that can change a
// number are kept, so that equal results are equal bytes.
func provenance(plan *resolvedPlan, f *flagSet, files []string) report.Provenance {
	p := identity()
	p.PlanSHA256 = plan.sha256
	p.Plan = plan.text
	p.LibrarySHA256 = plan.calendar.Library.SHA256()
	p.Arguments = arguments(f, files)
	for _, r := range []*params.Record{plan.calendar.FitTo, plan.calendar.Record} {
		if r != nil {
			p.Inputs = append(p.Inputs, report.Input{Name: r.File, SHA256: r.SHA256})
		}
	}
	return p
}

// arguments are those of a call that can change a number. Of files only the names
// are kept: in which folder they lie changes nothing.
func arguments(f *flagSet, files []string) []string {
	out := []string{f.command.name}
	for _, file := range files {
		out = append(out, filepath.Base(file))
	}
	f.VisitAll(func(flag *pflag.Flag) {
		written := flag.Name == "posterior" && f.command.name == "update" // elsewhere it is read
		if !written && !slices.Contains(notInProvenance, flag.Name) && !slices.Contains(f.unused, flag.Name) {
			value := flag.Value.String()
			if flag.Value.Type() == (place{}).Type() && value != "" {
				value = filepath.Base(value)
			}
			out = append(out, "--"+flag.Name+"="+value)
		}
	})
	return out
}
