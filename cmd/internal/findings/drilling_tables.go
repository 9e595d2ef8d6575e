package findings

import (
	"strings"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim"
)

// weedTable is what the date does to the weed.
func (s *sweep) weedTable() report.Table {
	t := report.Table{
		Title: "The weed and the yield, by the day for which drilling is planned",
		Keys:  1,
		Columns: []report.Column{{Head: "Planned for"}, {Head: "Weed plants", Unit: "per m²", Band: true}, {Head: "Heads", Unit: "per m²", Band: true},
			{Head: "Seed set", Unit: "per m²", Band: true},
			{Head: "Yield", Unit: tonnesPer(s.area()), Band: true}, {Head: "Lost to the date", Unit: "%", Band: true}, {Head: "Lost to weed", Unit: "%", Band: true}},
		Legend: "180 (40–620): half of the runs are below 180, nine in ten are between 40 and 620. Yield and losses count only the runs that grew " +
			s.crop + "; plants, heads and seed those that grew something else too. Lost to the date: against the best of these dates in the same run, both " +
			"without weed.",
	}
	for i, d := range s.Dates {
		of := func(m sim.Metric) report.Band { return band(s.Outcomes[i].Column(m, s.Season())) }
		t.Rows = append(t.Rows, report.Row{Cells: []string{dayOfYear(d), forms[sim.Plants].Band(of(sim.Plants)), forms[sim.Heads].Band(of(sim.Heads)),
			forms[sim.SeedbankJune].Band(of(sim.SeedReturn)),
			told(s.area(), sim.Yield, of(sim.Yield)), forms[sim.YieldLoss].Band(percent(band(s.DateLoss[i]))),
			forms[sim.YieldLoss].Band(percent(of(sim.YieldLoss)))}})
	}
	return t
}

// moneyTable is what the date earns and risks. The best date and those as good
// are marked in words.
func (s *sweep) moneyTable() report.Table {
	onward := s.Season() < len(s.Run.Calendar.Seasons)-1
	t := report.Table{Title: "The money and the risk", Keys: 1, Columns: []report.Column{{Head: "Planned for"}, {Head: "Margin",
		Unit: perArea(s.Run.Calendar) + ", this season", Band: true}}}
	if onward {
		t.Columns = append(t.Columns, report.Column{Head: "From here on", Unit: s.money(), Band: true})
		t.Legend = "From here on: a year, over " + s.horizon() + ". "
	}
	t.Columns = append(t.Columns, report.Column{Head: "Best"}, report.Column{Head: "Not drilled", Unit: "of 100 runs", Right: true})
	t.Legend = "300 (-200 to 800): money is 300 on average, and nine runs in ten lie between. " + t.Legend
	if len(s.Seasons) > 1 {
		t.Legend += "Not drilled: over all seasons moved. "
	}
	t.Legend += "Best: by the mean of what is earned from here on, of the dates on which " + s.crop + " goes in in " + s.asked() +
		" of 100 runs; as good: not parted from it by the error of these runs."
	for i, d := range s.Dates {
		cells := []string{dayOfYear(d), averaged(s.area(), band(s.Outcomes[i].Column(sim.Margin, s.Season())))}
		if onward {
			cells = append(cells, averaged(s.area(), band(s.Onward[i])))
		}
		t.Rows = append(t.Rows, report.Row{Cells: append(cells, s.mark(i), report.Of100(1-s.GoesInShare[i]))})
	}
	return t
}

// levels name the infestations of the side runs.
var levels = []string{"low", "medium", "high"}

// sidesTable is how the best date moves with the infestation.
func (s *sweep) sidesTable() report.Table {
	unit := "heads per m² at the start"
	if s.Run.Calendar.HasSeedbank {
		unit = "times the plan's seedbank"
	}
	t := report.Table{
		Title:   "The best date by infestation (" + runsOf(s.SideReplicates) + " each)",
		Keys:    1,
		Columns: []report.Column{{Head: "Infestation", Unit: unit}, {Head: "Best date"}, {Head: "As good"}, {Head: "Margin", Unit: s.money(), Right: true}},
	}
	for i, x := range s.Sides {
		b := x.Best
		good, best, margin := "–", "none goes in", "–"
		if b.Best >= 0 {
			best, margin = s.tried(b.Best), pounds(s.area(), b.Means[b.Best])
		}
		if b.From < b.To {
			good = dayOfYear(s.Dates[b.From]) + " to " + dayOfYear(s.Dates[b.To])
		}
		name := brief(x.Infestation, 2)
		if i < len(levels) {
			name = levels[i] + ", " + name
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{name, best, good, margin}})
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

// mark says what a date is beside the best.
func (s *sweep) mark(i int) string {
	var words []string
	if i == s.Planned {
		words = append(words, "planned")
	}
	switch {
	case i == s.Best.Best:
		words = append(words, "best")
	case s.AsGood(i):
		words = append(words, "as good")
	}
	if s.Beyond(s.Dates[i]) {
		words = append(words, "own latest day")
	}
	return strings.Join(words, ", ")
}

// shortTable is the table of the usual text. Margins are means, as in the answer.
func (s *sweep) shortTable() report.Table {
	money := perArea(s.Run.Calendar)
	t := report.Table{Keys: 1, Tight: true, Thinned: true,
		Columns: []report.Column{{Head: "Planned for"}, {Head: "Goes in", Unit: "of 100", Right: true}, {Head: "Heads", Unit: s.headsOf(), Band: true},
			{Head: "This season", Unit: money, Right: true},
			{Head: "Over the plan", Unit: s.yearly(), Right: true},
			{Head: "Earns more", Unit: "of 100", Said: "how often it earns more", Right: true, Spare: 1}, {Head: ""}},
		Legend: "Heads of " + s.harvests() + ": half of the runs are below the first number, nine in ten in the brackets, in whatever was grown. " +
			"Money: average, against the planned date.",
	}
	for i, d := range s.Dates {
		g := s.Against[i]
		t.Rows = append(t.Rows, report.Row{Key: i == s.Planned || i == s.Best.Best, Cells: []string{dayOfYear(d), few100(s.GoesInShare[i]),
			forms[sim.Heads].Band(band(s.Heads[i])),
			signed(s.area(), s.NowLess[i]), signed(s.area(), g.MarginYear), few100(g.EarnsMore), s.mark(i)}})
	}
	return t
}

// headsOf is the unit of heads, the mean of the harvests that move.
func (s *sweep) headsOf() string {
	if len(s.Seasons) == 1 {
		return "per m²"
	}
	return "per m², mean"
}

// yearly is the unit of the margin over the whole plan.
func (s *sweep) yearly() string {
	if len(s.Run.Calendar.Seasons) == 1 {
		return perArea(s.Run.Calendar)
	}
	return perArea(s.Run.Calendar) + " a year"
}

// signed is a difference of money to the ten, with its sign.
func signed(a rotations.Area, x float64) string {
	if text := pounds(a, x); text == "0" || strings.HasPrefix(text, "-") {
		return text
	}
	return "+" + pounds(a, x)
}
