package report

import (
	"strings"

	"rundown/sim"
)

// weedTable is what the date does to the weed.
func (s *sweep) weedTable() Table {
	t := Table{
		Title: "The weed and the yield, by the day for which drilling is planned",
		Keys:  1,
		Columns: []Column{{Head: "Planned for"}, {Head: "Weed plants", Unit: "per m²", Band: true}, {Head: "Heads", Unit: "per m²", Band: true}, {Head: "Seed returned", Unit: "per m²", Band: true},
			{Head: "Yield", Unit: "t/ha", Band: true}, {Head: "Lost to the date", Unit: "%", Band: true}, {Head: "Lost to weed", Unit: "%", Band: true}},
		Legend: "180 (40–620): half of the runs are below 180, nine in ten are between 40 and 620. Yield and losses count only the runs that grew " + s.crop + "; plants, heads and seed those that grew something else too. Lost to the date: against the best of these dates in the same run, both without weed.",
	}
	for i, d := range s.Dates {
		of := func(m sim.Metric) Band { return band(s.Outcomes[i].Column(m, s.Season)) }
		t.Rows = append(t.Rows, Row{Cells: []string{dayOfYear(d), forms[sim.Plants].Band(of(sim.Plants)), forms[sim.Heads].Band(of(sim.Heads)), forms[sim.SeedbankJune].Band(of(sim.SeedReturn)),
			forms[sim.Yield].Band(of(sim.Yield)), forms[sim.YieldLoss].Band(percent(band(s.DateLoss[i]))), forms[sim.YieldLoss].Band(percent(of(sim.YieldLoss)))}})
	}
	return t
}

// moneyTable is what the date earns and risks. The best date and those as good
// are marked in words.
func (s *sweep) moneyTable() Table {
	onward := s.Season < len(s.Run.Calendar.Seasons)-1
	t := Table{Title: "The money and the risk", Keys: 1, Columns: []Column{{Head: "Planned for"}, {Head: "Margin", Unit: s.Run.Calendar.Currency + "/ha, this season", Band: true}}}
	if onward {
		t.Columns = append(t.Columns, Column{Head: "From here on", Unit: s.money(), Band: true})
		t.Legend = "From here on: the mean margin of " + s.horizon() + ". "
	}
	t.Columns = append(t.Columns, Column{Head: "Best"}, Column{Head: "Not drilled", Unit: "of 100 runs", Right: true})
	t.Legend += "As good: within 1 % of the best median, or within the error of these runs if that is more."
	for i, d := range s.Dates {
		word := ""
		switch {
		case i == s.Lead && i != s.Best.Best:
			word = "best that goes in"
		case i == s.Best.Best:
			word = "best"
		case i >= s.Best.From && i <= s.Best.To:
			word = "as good"
		}
		cells := []string{dayOfYear(d), forms[sim.Margin].Band(band(s.Outcomes[i].Column(sim.Margin, s.Season)))}
		if onward {
			cells = append(cells, forms[sim.Margin].Band(band(s.Onward[i])))
		}
		t.Rows = append(t.Rows, Row{Cells: append(cells, word, Of100(s.Missed[i]))})
	}
	return t
}

// levels name the infestations of the side runs.
var levels = []string{"low", "medium", "high"}

// sidesTable is how the best date moves with the infestation.
func (s *sweep) sidesTable() Table {
	unit := "heads per m² at the start"
	if s.Run.Calendar.HasSeedbank {
		unit = "times the plan's seedbank"
	}
	t := Table{
		Title:   "The best date by infestation (" + runsOf(s.SideReplicates) + " each)",
		Keys:    1,
		Columns: []Column{{Head: "Infestation", Unit: unit}, {Head: "Best date"}, {Head: "As good"}, {Head: "Margin", Unit: s.money(), Right: true}},
	}
	for i, x := range s.Sides {
		b := x.Best
		good := "–"
		if b.From < b.To {
			good = dayOfYear(s.Dates[b.From]) + " to " + dayOfYear(s.Dates[b.To])
		}
		name := brief(x.Infestation, 2)
		if i < len(levels) {
			name = levels[i] + ", " + name
		}
		t.Rows = append(t.Rows, Row{Cells: []string{name, s.tried(b.Best), good, forms[sim.Margin].Value(rounded10(b.Medians[b.Best]))}})
	}
	return t
}

// sideNames are the infestations as the panels of a picture name them.
func (s *sweep) sideNames() []string {
	var out []string
	for i, x := range s.Sides {
		name := strings.Replace(s.infestation(x.Infestation), " counted before the start", "", 1)
		if i < len(levels) {
			name = sentence(levels[i]) + ": " + name
		}
		out = append(out, name)
	}
	return out
}
