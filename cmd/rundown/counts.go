package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"path/filepath"

	"rundown/cmd/internal/findings"
	"rundown/cmd/internal/report"
	"rundown/params/date"
	"rundown/params/sheet"
	"rundown/sim/study"
)

const countsAbout = `Reads quadrat counts from a CSV file with the heading
date,zone,kind,quadrat_m2,count (kind: plants, heads or core-seedlings, the last with a
column depth_cm) and says what they tell: per date and zone the mean density with
its interval, how patchy the weed is, how many quadrats are empty, and how many
would do. With --compare zone: how sure one can be that one side is cleaner.
Dates are written 2027-06-14; 14/06/2027 or 06/14/2027, semicolons and decimal
commas are read too, where the file leaves no doubt.
FILE may be - for standard input.`

type countsOptions struct {
	runOptions
	compare string
	level   float64
}

func countsCommand() *command {
	return &command{
		name: "counts", synopsis: "FILE", summary: "what quadrat counts say",
		about:    countsAbout,
		examples: []string{"rundown counts counts.csv", "rundown counts counts.csv --compare zone --out results"},
		flags:    func(c *command) *flagSet { return countsFlags(c, &countsOptions{}) },
		run:      runCounts,
	}
}

func countsFlags(c *command, o *countsOptions) *flagSet {
	f := newFlags(c)
	f.Var(word{&o.compare}, "compare", "what to compare: zone")
	f.Var(number{&o.level, 0.5, 0.999}, "level", "confidence of the intervals (0.9)")
	o.addOutput(f)
	return f
}

func runCounts(ctx context.Context, env *environment, args []string) error {
	var o countsOptions
	f := countsFlags(countsCommand(), &o)
	paths, err := f.read(env, args, 1, 1)
	if err != nil {
		return err
	}
	if o.compare != "" && o.compare != "zone" {
		return f.wrong(fmt.Sprintf("--compare %s: only zone can be compared", o.compare), "")
	}
	if o.level == 0 {
		o.level = 0.9
	}
	rows, text, err := env.readCounts(ctx, paths[0], anyDay)
	if err != nil {
		return err
	}
	from := identity()
	from.Arguments = arguments(f, paths)
	from.Inputs = []report.Input{{Name: filepath.Base(inputName(paths[0])), SHA256: sha256Of(text)}}
	from.Plan = report.PlanText{Name: filepath.Base(inputName(paths[0])), Text: string(text)}
	q := study.CountsRequest{Rows: rows, Level: o.level, Compare: o.compare == "zone"}
	found := findings.CountsRun{Name: planName(paths[0]), From: from, Found: q.Find()}
	return env.publish(ctx, findings.Counts(found), &o.runOptions, "counts", found.ProvenanceDocument(), map[string]func(io.Writer) error{
		"counts.csv": func(w io.Writer) error { return findings.CountsCSV(w, found) },
	})
}

// countKeys are the columns of a file of counts.
func countKeys() []sheet.Key {
	return []sheet.Key{
		{Name: "date", Kind: sheet.FullDate, Required: true},
		{Name: "zone", Kind: sheet.Text, Required: true},
		{Name: "kind", Kind: sheet.Choice, Choices: []string{"plants", "heads", "core-seedlings"}, Required: true},
		{Name: "quadrat_m2", Kind: sheet.Number, Unit: "m²", Low: 0.0001, High: 10000, Required: true},
		{Name: "count", Kind: sheet.Whole, Low: 0, High: 1e6, Required: true},
		{Name: "depth_cm", Kind: sheet.Number, Unit: "cm", Low: 0.5, High: 20},
	}
}

// largestCounts is what is read of a file of counts: some half a million quadrats.
const largestCounts = 16 << 20

// Of how many different things a file of counts may tell: groups, each with
// a row of its own in the report, and of those the dates, kinds and depths that an
// update lets in one by one.
const (
	mostGroups  = 2000
	mostWatches = 400
)

// anyDay takes every date.
func anyDay(date.Day) string { return "" }

// readCounts reads a file of counts, and its text; every bad row is a mistake with
// its line, and so is a date of which wrong says what is wrong with it.
func (env *environment) readCounts(ctx context.Context, path string, wrong func(date.Day) string) ([]study.CountRow, []byte, error) {
	text, err := withCancel(ctx, func() ([]byte, error) { return env.readInput(path, largestCounts) })
	path = inputName(path)
	env.inputs = append(env.inputs, path)
	if ctx.Err() != nil {
		return nil, nil, ctx.Err()
	}
	if err != nil {
		return nil, nil, unreadable(path, err, "'rundown help counts' says how a file of counts is written")
	}
	if len(text) > largestCounts {
		return nil, nil, tooLarge(path, largestCounts, "split it by field")
	}
	rows, err := parseCounts(path, text, wrong)
	return rows, text, err
}

func parseCounts(path string, text []byte, wrong func(date.Day) string) ([]study.CountRow, error) {
	var m sheet.Mistakes
	var rows []study.CountRow
	type watch struct {
		day   date.Day
		kind  string
		depth float64
	}
	type group struct {
		watch
		zone string
	}
	watches, groups := map[watch]bool{}, map[group]bool{}
	sheet.ReadCSV(path, bytes.NewReader(text), sheet.Columns{Keys: countKeys(), Loose: true}, &m, func(row *sheet.Row) {
		if !row.Good {
			return
		}
		c := study.CountRow{Day: row.Cells[0].Date.Day, Zone: row.Cells[1].Text, Kind: row.Cells[2].Text,
			AreaM2: row.Cells[3].Number, N: int(row.Cells[4].Number), Place: row.Place.String()}
		if row.Cells[5] != nil {
			c.DepthCM = row.Cells[5].Number
		}
		switch {
		case c.Kind == "core-seedlings" && c.DepthCM == 0:
			m.Add(row.Cells[2].Place, "core-seedlings need depth_cm, how deep the core was taken")
		case c.Kind != "core-seedlings" && c.DepthCM != 0:
			m.Add(row.Cells[5].Place, "depth_cm is for core-seedlings; leave it empty for %s", c.Kind)
		}
		w := watch{c.Day, c.Kind, c.DepthCM}
		if !watches[w] && len(watches) == mostWatches {
			m.Add(row.Place, "the file tells of more than %d dates, kinds and depths; is it one field's?", mostWatches)
		} else if g := (group{w, c.Zone}); !groups[g] && len(groups) == mostGroups {
			m.Add(row.Place, "the file tells of more than %d zones on their dates; is a column in the wrong place?", mostGroups)
		}
		watches[w], groups[group{w, c.Zone}] = true, true
		if text := wrong(c.Day); text != "" {
			m.Add(row.Cells[0].Place, "%s", text)
		}
		rows = append(rows, c)
	})
	if m.Len() == 0 && len(rows) == 0 {
		m.Add(sheet.Place{File: path, Line: 1}, "the file has no counts; expected a heading date,zone,kind,quadrat_m2,count and a line per quadrat")
	}
	if m.Len() > 0 {
		return nil, &planMistakes{mistakes: &m, sources: map[string][]byte{}}
	}
	return rows, nil
}
