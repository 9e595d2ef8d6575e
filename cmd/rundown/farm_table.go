package main

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/params/sheet"
	"rundown/rotations"
)

// farmTable is a table of fields and the plans that are laid over them, read and found
// to be without mistakes. Calendars are made when a field is run, and not kept.
type farmTable struct {
	text     report.PlanText
	sha256   string
	rows     []*rotations.FieldRow // by name
	plans    []*farmPlan
	library  *params.Library
	sum      string // of the library that the calendars have
	currency string
	area     rotations.Area // in which the first plan is shown
	seasons  []int          // of each plan
	weed     string
	weather  []report.Input
}

// farmPlan is a plan before it has a field.
type farmPlan struct {
	file   string
	parsed *sheet.Node
	text   report.PlanText
	sha256 string
}

// readFarm reads the table and the plans, and lays every plan over every field.
func (env *environment) readFarm(ctx context.Context, files []string, o *farmOptions) (*farmTable, error) {
	read := map[string]bool{}
	t, err := withCancel(ctx, func() (*farmTable, error) { return env.readFarmAll(ctx, files, o, read) })
	env.inputs = append(env.inputs, sortedKeys(read)...)
	return t, err
}

func sortedKeys(m map[string]bool) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

func (env *environment) readFarmAll(ctx context.Context, files []string, o *farmOptions, read map[string]bool) (*farmTable, error) {
	data, err := env.readInput(files[0], sheet.MaxCSVBytes)
	if err != nil {
		return nil, unreadable(files[0], err, "'rundown help farm' says what a table of fields holds")
	}
	if int64(len(data)) > sheet.MaxCSVBytes {
		return nil, tooLarge(files[0], sheet.MaxCSVBytes, "is it the table of fields?")
	}
	name := inputName(files[0])
	mistakes := &sheet.Mistakes{}
	found := &planMistakes{mistakes: mistakes, sources: map[string][]byte{name: data}}
	t := &farmTable{text: report.PlanText{Name: filepath.Base(name), Text: string(data)}, sha256: sha256Of(data)}
	t.rows = rotations.ReadFields(name, data, mistakes)
	read[name] = true
	if t.library, err = params.Load(); err != nil {
		return nil, &unfinished{what: "the library cannot be loaded", cause: err}
	}
	if o.library != "" {
		if err := overlay(t.library, o.library, mistakes); err != nil {
			return nil, err
		}
	}
	for _, file := range t.library.Own() {
		read[file] = true
	}
	for _, file := range files[1:] {
		p, err := env.readFarmPlan(file, mistakes, found.sources)
		if err != nil {
			return nil, err
		}
		t.plans = append(t.plans, p)
		read[p.file] = true
	}
	if mistakes.Len() > 0 {
		return nil, found
	}
	slices.SortFunc(t.rows, func(a, b *rotations.FieldRow) int { return strings.Compare(a.Name, b.Name) })
	if err := t.only(o.field); err != nil {
		return nil, err
	}
	return t, t.check(ctx, found, read, o.after)
}

// readFarmPlan reads a plan as far as it can be without a field.
func (env *environment) readFarmPlan(path string, m *sheet.Mistakes, sources map[string][]byte) (*farmPlan, error) {
	name, data, err := env.readPlan(path)
	if err != nil {
		return nil, err
	}
	sources[name] = data
	p := &farmPlan{file: name, parsed: sheet.Parse(name, data, m), text: report.PlanText{Name: filepath.Base(name), Text: string(data)}, sha256: sha256Of(data)}
	if at, _ := p.parsed.Value("menu"); at != nil {
		m.Add(at.Place, "this is a menu of seasons; rundown farm lays plans over fields: give it plans, such as those that 'rundown search' writes")
		p.parsed = nil
	}
	return p, nil
}

// only leaves one field of the table, where one is asked for.
func (t *farmTable) only(field string) error {
	if field == "" {
		return nil
	}
	var names []string
	for _, row := range t.rows {
		if names = append(names, row.Name); row.Name == field {
			t.rows = []*rotations.FieldRow{row}
			return nil
		}
	}
	hint := sheet.DidYouMean(field, names)
	if len(names) > 40 && sheet.Nearest(field, names) == "" {
		hint = fmt.Sprintf("its %d names stand in the column name", len(names))
	}
	return &inputError{fmt.Sprintf("--field %s: %s has no field of that name", quoted(field), t.text.Name), hint}
}

// check lays every plan over every field, with what is grown afterwards behind it where that
// is asked for, notes all mistakes and keeps nothing.
func (t *farmTable) check(ctx context.Context, found *planMistakes, read map[string]bool, after bool) error {
	var wrong []string
	var first *rotations.Calendar
	say := func(text ...string) {
		for _, x := range text {
			if !slices.Contains(wrong, x) && len(wrong) < mostWrong {
				wrong = append(wrong, x)
			}
		}
	}
	for _, row := range t.rows {
		if err := context.Cause(ctx); err != nil {
			return err
		}
		calendars := t.calendars(row, found.mistakes, read)
		for i, c := range calendars {
			if c == nil {
				continue
			}
			if row == t.rows[0] {
				n, err := seasonsOf(c, after)
				if err != nil {
					say(t.plans[i].file + ": " + err.Error())
				}
				t.seasons = append(t.seasons, n)
			}
			if after && calendars[0] != nil {
				say(calendars[0].SameAfterwards(c)...)
			}
			if first == nil {
				first = c
				t.currency, t.area, t.sum, t.weed = c.Currency, c.Area, c.Library.SHA256(), c.Weed.Name
			}
			if calendars[0] != nil {
				say(calendars[0].SameField(c, false)...)
			}
			if c.Currency != t.currency {
				say(fmt.Sprintf("%s counts in %s, and %s in %s; the money of a farm is added up, so give all plans one currency", t.plans[i].file, c.Currency,
					t.plans[0].file, t.currency))
			}
			t.note(c, read)
		}
	}
	switch {
	case found.mistakes.Len() > 0:
		return found
	case len(wrong) > 0:
		return &inputError{text: strings.Join(wrong, "\n"), hint: "plans of one field start from the same field and infestation: what they differ in, let " +
			"the table say"}
	}
	return nil
}

// seasonsOf are the seasons that are run of a plan.
func seasonsOf(c *rotations.Calendar, after bool) (int, error) {
	if !after {
		return len(c.Seasons), nil
	}
	more, err := c.Continued(rotations.Behind{})
	if err != nil {
		return 0, err
	}
	return len(more.Seasons), nil
}

// mostWrong is how many differences between plans are told.
const mostWrong = 20

// note keeps what a calendar was read from.
func (t *farmTable) note(c *rotations.Calendar, read map[string]bool) {
	for _, r := range []*params.Record{c.FitTo, c.Record} {
		if r == nil {
			continue
		}
		if in := (report.Input{Name: r.File, SHA256: r.SHA256}); !slices.Contains(t.weather, in) {
			t.weather = append(t.weather, in)
		}
	}
	for _, file := range c.Library.Own() {
		read[file] = true
	}
}

// calendars are those of the plans on a field; nil where there are mistakes. What is
// opened is noted in read, unless that is nil.
func (t *farmTable) calendars(row *rotations.FieldRow, m *sheet.Mistakes, read map[string]bool) []*rotations.Calendar {
	out := make([]*rotations.Calendar, len(t.plans))
	for i, p := range t.plans {
		plan := rotations.ReadOn(p.file, p.parsed, row, m)
		if plan == nil {
			continue
		}
		open := plan.Open
		plan.Open = func(file string) (io.ReadCloser, error) {
			if read != nil {
				read[file] = true
			}
			return open(file)
		}
		if out[i] = plan.Resolve(t.library, m); out[i] != nil {
			out[i].Among = row.Name
		}
	}
	return out
}

func (t *farmTable) planNames() []string {
	var out []string
	for _, p := range t.plans {
		name, n := planName(p.file), 1
		for _, other := range out {
			if other == name || strings.HasPrefix(other, name+" (") {
				n++
			}
		}
		if n > 1 {
			name = fmt.Sprintf("%s (%d)", name, n)
		}
		out = append(out, name)
	}
	return out
}

// provenance is what each plan's results are made from.
func (t *farmTable) provenance(f *flagSet, files []string) []report.Provenance {
	var out []report.Provenance
	for _, p := range t.plans {
		from := identity()
		from.PlanSHA256, from.Plan, from.LibrarySHA256, from.Arguments = p.sha256, p.text, t.sum, arguments(f, files)
		from.Inputs = append([]report.Input{{Name: t.text.Name, SHA256: t.sha256}}, t.weather...)
		out = append(out, from)
	}
	return out
}
