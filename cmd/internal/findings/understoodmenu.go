package findings

import (
	"fmt"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim/study"
)

// UnderstoodMenu is a menu as it was understood: its entries, how many rotations its rules
// allow, and what does not fit behind what.
func UnderstoodMenu(x *rotations.Choices, file string) *report.Report {
	c, menu := x.Calendar, x.Menu
	t := report.Table{Keys: 1, Columns: []report.Column{{Head: "Entry"}, {Head: "Crops, by its years"}, {Head: "Years", Right: true}}}
	for i := range menu.Entries {
		e := &menu.Entries[i]
		var crops []string
		for _, name := range e.Crops() {
			crops = append(crops, spoken(name))
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{e.Name, strings.Join(crops, ", "), fmt.Sprint(e.Years())}})
	}
	out := &report.Report{
		Title:     fmt.Sprintf("%s: %s, %s to choose from", c.Name, c.Weed.Name, plural(len(menu.Entries), "season")),
		Subtitle:  fmt.Sprintf("%s, %s, %s, from %s.", sizeOf(c.Area, c.AreaHa), spoken(c.Soil.Name), weather(c), c.Start.Short()),
		Tables:    []report.Table{t},
		Sentences: []string{fmt.Sprintf("%s: no mistakes. Its rules allow %s of %d years.", file, rotationsOf(x), menu.Years)},
	}
	if len(x.Unused) > 0 {
		out.Sentences = append(out.Sentences, fmt.Sprintf("None of them holds %s.", strings.Join(x.Unused, ", ")))
	}
	if c.Genes != nil {
		out.Warnings = []report.Warning{{Code: string(study.Resistance), Text: ofTheMenu(resistanceWords(c, nil))}}
	}
	if len(x.Misfits) > 0 {
		pairs := report.Table{Title: "Left out, since they do not fit one behind the other", Keys: 1,
			Columns: []report.Column{{Head: "Entry"}, {Head: "Behind"}, {Head: "Why"}}}
		for _, p := range x.Misfits {
			behind := "the start"
			if len(p.Behind) > 0 {
				behind = spoken(strings.Join(p.Behind, ", "))
			}
			pairs.Rows = append(pairs.Rows, report.Row{Cells: []string{p.Entry, behind, p.Why}})
		}
		out.Tables = append(out.Tables, pairs)
	}
	return out
}

func rotationsOf(x *rotations.Choices) string {
	if x.Allowed.IsInt64() && x.Allowed.Int64() == 1 {
		return "one rotation"
	}
	return grouped(x.Allowed.String()) + " rotations"
}
