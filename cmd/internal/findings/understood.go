package findings

import (
	"fmt"

	"rundown/cmd/internal/report"
	"rundown/params/date"
	"rundown/rotations"
)

// Understood is a plan as it was understood: its seasons with their dates.
func Understood(c *rotations.Calendar) *report.Report {
	t := report.Table{
		Keys: 1,
		Columns: []report.Column{
			{Head: "Harvest"}, {Head: "Crop"}, {Head: "Season", Unit: "opens – ends"}, {Head: "Cover", Unit: "sown – destroyed"},
			{Head: "Drill", Unit: "on – latest"}, {Head: "Operations", Right: true}, {Head: "Otherwise"},
		},
	}
	for _, s := range c.Seasons {
		planned := s.Courses[0]
		cover, drill, otherwise := "–", "–", "–"
		if s.Cover != nil {
			cover = fmt.Sprintf("%s – %s", dayOfYear(s.Cover.Sow), dayOfYear(s.Cover.Destroy))
		}
		if planned.Drill != nil {
			drill = fmt.Sprintf("%s – %s", dayOfYear(planned.Drill.On), dayOfYear(planned.Drill.Latest))
		}
		if len(s.Courses) > 1 {
			otherwise = spoken(s.Courses[1].Crop.Name)
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{
			fmt.Sprint(s.HarvestYear), spoken(planned.Crop.Name), span(s.Open, s.End), cover, drill,
			fmt.Sprint(len(planned.Operations)), otherwise,
		}})
	}
	return &report.Report{
		Title: fmt.Sprintf("%s: %s, %s", c.Name, weedName(c), plural(len(c.Seasons), "season")),
		Subtitle: fmt.Sprintf("%s, %s, %s, from %s.",
			sizeOf(c.Area, c.AreaHa), spoken(c.Soil.Name), weather(c), c.Start.Short()),
		Tables: []report.Table{t}, Warnings: planWarnings(c),
	}
}

func span(from, to date.Day) string { return from.Short() + " – " + to.Short() }

// planWarnings are what the plan itself gives to think over.
func planWarnings(c *rotations.Calendar) []report.Warning {
	var out []report.Warning
	for _, w := range c.Warnings {
		out = append(out, planWords(w))
	}
	return out
}

func planWords(w rotations.Warning) report.Warning {
	return report.Warning{Code: w.Code, Season: w.Season, Text: w.Text, Lead: w.Lead, Detail: w.Detail}
}
