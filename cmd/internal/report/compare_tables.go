package report

import (
	"fmt"
	"slices"

	"rundown/sim"
)

const howToRead = "180 (40–620): half of the runs are below 180, nine in ten are between 40 and 620."

func planTable(all []*contender, threshold float64) Table {
	money := all[0].Calendar.Currency + "/ha"
	under := "of 100 under " + shortest(threshold)
	t := Table{
		Title: "Where each plan leads",
		Keys:  1,
		Columns: []Column{{Head: "Plan"}, {Head: "Heads at the end", Unit: "per m²", Band: true}, {Head: "Seed in soil", Unit: "per m², last 30 June", Band: true},
			{Head: "Margin", Unit: money + " a year", Band: true}, {Head: "Margin in all", Unit: money, Band: true},
			{Head: "At the end", Unit: under, Right: true}, {Head: "Every year", Unit: under, Right: true}, {Head: "Median under", Unit: "first in", Right: true}, {Head: "and stays", Unit: "from", Right: true}},
		Legend: howToRead,
	}
	for _, c := range all {
		t.Rows = append(t.Rows, Row{Cells: []string{c.Name, forms[sim.Heads].Band(band(c.last)), forms[sim.SeedbankJune].Band(band(c.bank)),
			forms[sim.Margin].Band(band(c.margin)), forms[sim.Margin].Band(band(scaled(c.margin, float64(len(c.seasons))))), Of100(c.under.Last), Of100(c.under.Throughout), c.harvest(c.under.First), c.harvest(c.under.Stays)}})
	}
	return t
}

// harvest is the year of a season in words; "never" for none.
func (c *contender) harvest(season int) string {
	if season < 0 {
		return "never"
	}
	return fmt.Sprint(c.seasons[season].HarvestYear)
}

// differences write differences of a metric.
func differences(m sim.Metric) Form {
	if m == sim.Margin {
		return forms[m]
	}
	return Form{Digits: 2, Least: 0.01, Even: true}
}

func differenceTable(all []*contender) Table {
	t := Table{
		Title: "Against " + all[0].Name + ", run by run",
		Keys:  1,
		Columns: []Column{{Head: "Plan"}, {Head: "Heads at the end", Unit: "per m², difference", Band: true}, {Head: "Margin", Unit: all[0].Calendar.Currency + "/ha a year, difference", Band: true},
			{Head: "Fewer heads", Unit: "of 100 runs", Right: true}, {Head: "More margin", Unit: "of 100 runs", Right: true}, {Head: "Both", Unit: "of 100 runs", Right: true},
			{Head: "Pairing worth", Unit: "times the runs", Right: true}},
		Legend: "Pairing worth: so many times as many runs would be needed to know the difference in heads (on a log scale) as well, if the plans did not meet the same luck.",
	}
	for _, c := range all[1:] {
		worth := "–"
		if c.ratio > 0 {
			worth = rounded(c.ratio, 0.1)
		}
		t.Rows = append(t.Rows, Row{Cells: []string{c.Name, differences(sim.Heads).Band(difference(c.last, all[0].last)), forms[sim.Margin].Band(c.perYear),
			Of100(c.better.Fewer), Of100(c.better.More), Of100(c.better.Both), worth}})
	}
	return t
}

// controlTable sets the control there was against what it would have taken.
func controlTable(all []*contender) Table {
	longest := all[0]
	for _, c := range all {
		if len(c.seasons) > len(longest.seasons) {
			longest = c
		}
	}
	t := Table{
		Title:   "Control from all causes, and what would have held the seedbank still",
		Keys:    2,
		Columns: []Column{{Head: "Plan"}, {Head: "Of 100 seedlings"}},
		Legend: "Medians. Gone: of 100 seedlings that came up in the season, how many did not live to head, killed by sprays, residues and tillage or dead of frost and crowding. " +
			"Needed: how many had to go for the seed shed to replace no more than the seed used up in the season, if seed is in proportion to the plants left (1 − 1/growth).",
	}
	for _, s := range longest.seasons {
		t.Columns = append(t.Columns, Column{Head: fmt.Sprint(s.HarvestYear), Right: true})
	}
	for _, c := range all {
		for _, line := range []struct {
			name  string
			bands []Band
		}{{"gone", c.control}, {"needed", c.needed}} {
			cells := []string{c.Name, line.name}
			for i := range longest.seasons {
				if i >= len(line.bands) || line.bands[i].N == 0 {
					cells = append(cells, "–")
					continue
				}
				cells = append(cells, rounded(100*line.bands[i].P50, 0.1))
			}
			t.Rows = append(t.Rows, Row{Cells: cells})
		}
	}
	return t
}

func headsBySeason(all []*contender) []Table {
	return seasonsTable(all, sim.Heads, "Heads, season by season", "per m²")
}

func marginBySeason(all []*contender) []Table {
	return seasonsTable(all, sim.Margin, "Margin, season by season", all[0].Calendar.Currency+"/ha")
}

// seasonsTable is one metric by season: every plan's band, then every plan's
// difference from the first. Plans of a single season need none: the table of
// where they lead says it all.
func seasonsTable(all []*contender, m sim.Metric, title, unit string) []Table {
	t := Table{Title: title, Keys: 1, Columns: []Column{{Head: "Harvest"}},
		Legend: howToRead + " Less " + all[0].Name + ": the difference run by run."}
	longest := all[0]
	for _, c := range all {
		t.Columns = append(t.Columns, Column{Head: c.Name, Unit: unit, Band: true})
		if len(c.seasons) > len(longest.seasons) {
			longest = c
		}
	}
	for _, c := range all[1:] {
		t.Columns = append(t.Columns, Column{Head: c.Name, Unit: "less " + all[0].Name, Band: true})
	}
	if len(longest.seasons) == 1 {
		return nil
	}
	at := slices.Index(compared, m)
	for i, s := range longest.seasons {
		cells := []string{fmt.Sprint(s.HarvestYear)}
		for _, c := range all {
			if i < len(c.seasons) {
				cells = append(cells, forms[m].Band(c.seasons[i].bands[m]))
			} else {
				cells = append(cells, "–")
			}
		}
		for _, c := range all[1:] {
			if i < len(c.difference) {
				cells = append(cells, differences(m).Band(c.difference[i][at]))
			} else {
				cells = append(cells, "–")
			}
		}
		t.Rows = append(t.Rows, Row{Cells: cells})
	}
	return []Table{t}
}
