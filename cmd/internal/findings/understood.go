package findings

import (
	"fmt"

	"rundown/cmd/internal/report"
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim/study"
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
	chosen := false
	for i := range c.Seasons {
		t.Rows = append(t.Rows, report.Row{Cells: understoodCells(&c.Seasons[i])})
		for b := range c.Branches(i) {
			if s := c.Taken(i, b); s != nil && b != c.Path(i) {
				cells := understoodCells(s)
				cells[0], cells[1] = "", "or "+cells[1]
				if cond := c.Rules.Years[i].Branches[b].If; cond != "" {
					cells[1] += ", if " + cond
				}
				t.Rows, chosen = append(t.Rows, report.Row{Cells: cells}), true
			}
		}
	}
	if chosen {
		t.Legend = "Where the plan chooses, a harvest's first row is grown where no condition holds; below it stand the others."
	}
	return &report.Report{
		Title: fmt.Sprintf("%s: %s, %s", c.Name, weedName(c), plural(len(c.Seasons), "season")),
		Subtitle: fmt.Sprintf("%s, %s, %s, from %s.",
			sizeOf(c.Area, c.AreaHa), spoken(c.Soil.Name), weather(c), c.Start.Short()),
		Tables: []report.Table{t}, Warnings: planWarnings(c),
	}
}

// understoodCells are a season with its dates.
func understoodCells(s *rotations.Season) []string {
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
	work, ruled := fmt.Sprint(len(planned.Operations)), 0
	for _, o := range planned.Operations {
		if o.If != nil {
			ruled++
		}
	}
	if ruled > 0 {
		work += fmt.Sprintf(", %d by rule", ruled)
	}
	return []string{fmt.Sprint(s.HarvestYear), spoken(planned.Crop.Name), span(s.Open, s.End), cover, drill, work, otherwise}
}

func span(from, to date.Day) string { return from.Short() + " – " + to.Short() }

// planWarnings are what the plan itself gives to think over.
func planWarnings(c *rotations.Calendar) []report.Warning {
	var out []report.Warning
	for _, w := range c.Warnings {
		out = append(out, planWords(w))
	}
	if c.Genes != nil {
		out = append(out, report.Warning{Code: string(study.Resistance), Text: resistanceWords(c, nil)})
	}
	return out
}

func planWords(w rotations.Warning) report.Warning {
	return report.Warning{Code: w.Code, Season: w.Season, Text: w.Text, Lead: w.Lead, Detail: w.Detail}
}
