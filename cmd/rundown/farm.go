package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"rundown/cmd/internal/findings"
	"rundown/sim/study"
)

const farmAbout = `Lays each plan over each field of a table and says which plan suits which field,
how much the choice is worth there, and what the farm earns, with its spread.

FIELDS.csv has a row for each field: its name, and any key of field and weed of a
plan: area_ha, soil, climate or weather, heads_per_m2 (or heads_per_m2.low and
heads_per_m2.high), history, last_crop, resistance.2 for HRAC group 2, and so on.
What a row says stands in place of what the plans say; an empty cell leaves it to
them. Names of files are taken from the folder of the table.

In a run all fields meet the same years: the weather of their climate, the year's
effects, prices, and the values of weed and crops. Chance, the infestation at the
start and what is a field's own (its yield, its dormancy, how soon it is fit to
work) are told apart by the field's name. So rows may be sorted or left out, and
no number of another field moves; the farm's money is the sum of its fields, run by
run. Fields of two climates, or of two weather files, share no weather.

With --afterwards every plan is charged for the seed that it leaves, as 'rundown
compare --afterwards' does it; plans are ranked by what they earn all the same.

With --out the folder gets farm.csv, a row for each field and plan, the picture
fields (of a field alone: heads), report.html, provenance.json and, last of all, farm.json. Fields that are
done wait in OUT.unfinished; a run that was ended goes on from them with --resume,
to the same bytes.`

// farmOptions are the flags of farm.
type farmOptions struct {
	runOptions
	partOption
	library       string
	field         string
	resume        bool
	replicatesCSV bool
	after         bool
}

func farmCommand() *command {
	return &command{
		name: "farm", synopsis: "FIELDS.csv PLAN …", summary: "plans on every field of a farm",
		about: farmAbout,
		examples: []string{
			"rundown farm fields.csv early.yaml late.yaml --replicates 500",
			"rundown farm fields.csv early.yaml late.yaml --out farm",
			`rundown farm fields.csv early.yaml late.yaml --field 'Long Piece'`,
		},
		flags: func(c *command) *flagSet { return farmFlags(c, &farmOptions{}) },
		run:   runFarm,
	}
}

func farmFlags(c *command, o *farmOptions) *flagSet {
	f := newFlags(c)
	o.runOptions.add(f, 500)
	o.partOption.add(f)
	f.StringVar(&o.field, "field", "", "run this field alone; its numbers are those that it has among the others")
	f.BoolVar(&o.resume, "resume", false, "with --out: go on from the fields that a run which was ended has left")
	f.BoolVar(&o.after, "afterwards", false, "charge each plan for the seed that it leaves: what the weed takes of the crops grown behind it")
	f.Var(place{&o.library}, "library", libraryUsage)
	f.BoolVar(&o.replicatesCSV, "replicates-csv", false, "with --out: the farm's money of every run in farm-replicates.csv too")
	return f
}

// mostFarmPlans is how many plans are laid over a farm.
const mostFarmPlans = 8

func runFarm(ctx context.Context, env *environment, args []string) error {
	var o farmOptions
	f := farmFlags(farmCommand(), &o)
	files, err := f.read(env, args, 2, 1+mostFarmPlans)
	if err != nil {
		return err
	}
	if err := o.refuse(f, files); err != nil {
		return err
	}
	table, err := env.readFarm(ctx, files, &o)
	if err != nil {
		return err
	}
	made := &asked{f, files, &o.partOption, table.provenance(f, files)}
	r := &farmRun{env: env, o: &o, asked: made, table: table}
	if err := r.prepare(ctx); err != nil {
		return err
	}
	if o.of > 0 {
		return r.writeRows(ctx)
	}
	farm, err := r.all(ctx)
	if err != nil {
		return err
	}
	run := findings.FarmRun{Found: farm, Currency: table.currency, Area: table.area,
		Replicates: o.replicates, Seed: o.seed, From: made.from, Table: files[0], Plans: files[1:],
		Library: o.library, Weed: table.weed, Afterwards: o.after}
	tables := map[string]func(io.Writer) error{"farm.csv": func(w io.Writer) error { return findings.FarmCSV(w, run) }}
	if o.replicatesCSV {
		tables["farm-replicates.csv"] = func(w io.Writer) error { return findings.FarmReplicatesCSV(w, farm) }
	}
	if err := env.publish(ctx, findings.Farm(run), &o.runOptions, "farm", findings.FarmProvenance(run), tables); err != nil {
		return err
	}
	r.sweep()
	return nil
}

// refuse finds what does not go together.
func (o *farmOptions) refuse(f *flagSet, files []string) error {
	stdin := 0
	for _, name := range files {
		if name == "-" {
			stdin++
		}
	}
	switch {
	case o.replicatesCSV && o.out == "":
		return f.wrong("--replicates-csv needs --out, the folder to write it to", "")
	case o.resume && o.out == "":
		return f.wrong("--resume needs --out: the fields that are done wait beside that folder", "")
	case o.resume && o.of > 0:
		return f.wrong("--resume does not go with --part: a part is made whole or not at all", "")
	case stdin > 1:
		return f.wrong("only one of the files can be standard input", "")
	case f.Changed("field") && strings.TrimSpace(o.field) == "":
		return f.wrong("--field needs the name of a field of the table", "")
	}
	return o.partOption.refuse(f, files, &o.runOptions)
}

// all finds all fields, from the parts where they are joined.
func (r *farmRun) all(ctx context.Context) (*study.Farm, error) {
	farm := study.NewFarm(r.table.planNames(), r.o.replicates)
	each := r.make
	if r.env.joined != nil {
		each = r.take
	}
	if err := each(ctx, farm.Add); err != nil {
		return nil, err
	}
	if n := len(farm.Fields); n != len(r.table.rows) {
		return nil, fmt.Errorf("%d of %d fields were found (a fault of the program)", n, len(r.table.rows))
	}
	return farm.Close(), nil
}
