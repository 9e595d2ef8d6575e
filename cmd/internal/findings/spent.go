package findings

import (
	"fmt"
	"math"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim/study"
)

// spentColumns are the costs of work and seed apart.
func spentColumns() []report.Column {
	var out []report.Column
	for _, head := range []string{"Herbicide", "Cultivation", "Drilling", "Seed", "Cover", "Work in crop", "All"} {
		out = append(out, report.Column{Head: head, Right: true})
	}
	return out
}

func spentCells(a rotations.Area, c study.Costs) []string {
	var out []string
	for _, x := range []float64{c.Herbicide, c.Cultivation, c.Drilling, c.Seed, c.Cover, c.InCrop, c.All()} {
		out = append(out, report.Form{Digits: 9, Least: 1}.Value(math.Round(a.Per(x))))
	}
	return out
}

const spentLegend = "Means over the runs, in whatever was grown, of what was really done. Herbicide: every spray against the weed, before drilling " +
	"and on a cover too. " +
	"Cultivation: passes before the drill. Seed: all that is drilled. The rest of a crop's inputs and its harvest stand in the other table."

// spentTable is what a plan spends on work and seed, season by season.
func spentTable(r Run, seasons []study.Season) []report.Table {
	if len(seasons) == 0 || seasons[0].Work == nil {
		return nil
	}
	t := report.Table{Title: "What work and seed cost, as it was done, " + perArea(r.Calendar), Keys: 2, Legend: spentLegend,
		Columns: append([]report.Column{{Head: "Harvest"}, {Head: "Planned crop"}}, spentColumns()...)}
	for i := range seasons {
		s := &seasons[i]
		crop := spoken(s.Crop)
		if s.Parts != nil {
			crop = "as chosen"
		}
		lead := []string{fmt.Sprint(s.HarvestYear), crop}
		t.Rows = append(t.Rows, report.Row{Season: i + 1, Cells: append(lead, spentCells(r.Calendar.Area, s.Costs())...)})
	}
	if n := len(seasons); n > 1 {
		t.Rows = append(t.Rows, report.Row{Cells: append([]string{"a year", "mean"}, spentCells(r.Calendar.Area, study.YearlyCosts(seasons, n-1))...)})
	}
	return []report.Table{t}
}

// spentPlans sets what plans spend, and what comes of it, under each other.
func spentPlans(x *comparison) []report.Table {
	perHa := perArea(x.all[0].Calendar) + " a year"
	if x.End == 0 {
		perHa = perArea(x.all[0].Calendar)
	}
	t := report.Table{Title: "What work and seed cost, as it was done, " + perHa, Keys: 1, Legend: spentLegend,
		Columns: append([]report.Column{{Head: "Plan"}}, spentColumns()...)}
	for _, c := range x.all {
		t.Rows = append(t.Rows, report.Row{Cells: append([]string{c.Name}, spentCells(x.area(), c.Costs)...)})
	}
	first, currency := x.all[0].Name, x.all[0].Calendar.Currency
	even := report.Column{Head: "Even at", Unit: "no price", Right: true}
	if x.MainCrop != nil {
		even.Unit = fmt.Sprintf("%s/t of %s", currency, spoken(x.MainCrop.Name))
	}
	u := report.Table{Title: "What control costs, and what it prevents, against " + first, Keys: 1,
		Columns: []report.Column{{Head: "Plan"}, {Head: "Costs more", Unit: perHa, Right: true}, {Head: "Heads prevented", Unit: "per m² a year", Right: true},
			{Head: "Per 100 of them", Unit: perArea(x.all[0].Calendar), Right: true}, {Head: "Earns more", Unit: perHa, Right: true}, even},
		Legend: "Costs are of work and seed alone; what the yield brings is in the margin. Even at: the price at which both earn the same. –: it costs " +
			"no more, prevents none, or no price does it.",
	}
	for _, c := range x.all[1:] {
		per, at := "–", "–"
		if !math.IsNaN(c.Extra.Per100) {
			per = brief(x.area().Per(c.Extra.Per100), 2)
		}
		if !math.IsNaN(c.Extra.EvenAt) {
			at = report.Form{Digits: 9, Least: 1}.Value(math.Round(c.Extra.EvenAt))
		}
		u.Rows = append(u.Rows, report.Row{Cells: []string{c.Name, signed(x.area(), c.Extra.More), brief(c.Extra.Prevented, 2), per,
			signed(x.area(), c.Against.MarginYear), at}})
	}
	return []report.Table{t, u}
}

// spentObject is what was spent, as JSON.
func spentObject(c study.Costs) report.Object {
	return report.Object{{"herbicide", c.Herbicide}, {"cultivation", c.Cultivation}, {"drilling", c.Drilling}, {"seed", c.Seed}, {"cover", c.Cover},
		{"in_crop", c.InCrop}}
}

// extraObject is what a plan spends and prevents more than the first, as JSON.
func extraObject(c *study.Contender) report.Object {
	return report.Object{{"costs_more_per_ha_year", c.Extra.More}, {"heads_prevented_per_m2", c.Extra.Prevented},
		{"cost_of_100_heads_per_ha", finite(c.Extra.Per100)},
		{"even_at_price_per_t", finite(c.Extra.EvenAt)}}
}
