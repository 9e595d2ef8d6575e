package report

import (
	"fmt"
	"slices"
	"strings"

	"rundown/sim"
	"rundown/sim/decide"
)

const howToRead = "180 (40–620): half of the runs are below 180, nine in ten are between 40 and 620."

func planTable(all []*contender, threshold float64) Table {
	money := all[0].Calendar.Currency + "/ha"
	under, to := "of 100 under "+shortest(threshold), ""
	if unequal(all) {
		to = fmt.Sprintf(", to %d", all[0].seasons[all[0].end].HarvestYear)
	}
	t := Table{
		Title: "Where each plan leads",
		Keys:  1,
		Columns: []Column{{Head: "Plan"}, {Head: "Heads " + atTheEnd(all), Unit: "per m²", Band: true}, {Head: "Seed in soil", Unit: fmt.Sprintf("per m², after harvest %d", all[0].seasons[all[0].end].HarvestYear), Band: true},
			{Head: "Margin", Unit: yearly(all), Band: true}, {Head: "Margin in all", Unit: money, Band: true},
			{Head: sentence(atTheEnd(all)), Unit: under, Right: true}, {Head: "Every year", Unit: under, Right: true}, {Head: "First under " + shortest(threshold), Unit: "by the median" + to, Right: true}, {Head: "Under it to the end", Unit: "by the median, from", Right: true}},
		Legend: howToRead,
	}
	for _, c := range all {
		t.Rows = append(t.Rows, Row{Cells: []string{c.Name, forms[sim.Heads].Band(band(c.last)), forms[sim.SeedbankJune].Band(band(c.bank)),
			forms[sim.Margin].Band(band(c.margin)), forms[sim.Margin].Band(band(c.soFar[c.end])), Of100(c.under.Last), Of100(c.under.Throughout), c.harvest(c.under.First), c.harvest(c.under.Stays)}})
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
		Columns: []Column{{Head: "Plan"}, {Head: "Heads " + atTheEnd(all), Unit: "per m², difference", Band: true}, {Head: "Margin", Unit: yearly(all) + ", difference", Band: true},
			{Head: "Fewer heads", Unit: "of 100 runs", Right: true}, {Head: "More margin", Unit: "of 100 runs", Right: true}, {Head: "Both at once", Unit: "of 100 runs", Right: true},
			{Head: "Pairing worth", Unit: "times the runs", Right: true}},
		Legend: "Pairing worth: so many times as many runs would be needed to know the difference in heads (on a log scale) as well, if the plans did not meet the same luck.",
	}
	for _, c := range all[1:] {
		worth := "–"
		if c.ratio > 0 {
			worth = rounded(c.ratio, 0.1)
		}
		t.Rows = append(t.Rows, Row{Cells: []string{c.Name, differences(sim.Heads).Band(difference(c.last, all[0].last)), forms[sim.Margin].Band(c.perYear),
			Of100(c.better[c.end].Fewer), Of100(c.better[c.end].More), Of100(c.better[c.end].Both), worth}})
	}
	return t
}

// controlTable sets the control there was against what it would have taken.
func controlTable(all []*contender) Table {
	longest := longestOf(all)
	t := Table{
		Title:   "Control from all causes, and what would have held the seedbank still",
		Keys:    2,
		Columns: []Column{{Head: "Plan"}, {Head: "Of 100 seedlings"}},
		Legend: "Medians. Gone: of 100 seedlings that came up in the season, how many did not live to head, killed by sprays, residues and tillage or dead of frost and crowding. " +
			"Needed: how many had to go for the seed shed to replace no more than the seed used up in the season, if seed is in proportion to the plants left (1 − 1/growth). Seed that is mown, pulled or carried off counts as used up; 0: no seedling had to go for that.",
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

func longestOf(all []*contender) *contender {
	longest := all[0]
	for _, c := range all {
		if len(c.seasons) > len(longest.seasons) {
			longest = c
		}
	}
	return longest
}

func headsBySeason(all []*contender) []Table {
	at := slices.Index(compared, sim.Heads)
	return seasonsTable(all, "Heads, season by season", "per m²", forms[sim.Heads], differences(sim.Heads),
		func(c *contender, i int) Band { return c.seasons[i].bands[sim.Heads] }, func(c *contender, i int) Band { return c.difference[i][at] })
}

func marginBySeason(all []*contender) []Table {
	at, money, form := slices.Index(compared, sim.Margin), all[0].Calendar.Currency+"/ha", forms[sim.Margin]
	return slices.Concat(
		seasonsTable(all, "Margin, season by season", money, form, form,
			func(c *contender, i int) Band { return c.seasons[i].bands[sim.Margin] }, func(c *contender, i int) Band { return c.difference[i][at] }),
		seasonsTable(all, "Margin so far, added up from the first season", money, form, form,
			func(c *contender, i int) Band { return band(c.soFar[i]) }, func(c *contender, i int) Band { return c.sumLess[i] }))
}

// betterBySeason is how often each plan is better than the first, season by season.
func betterBySeason(all []*contender) []Table {
	first := all[0]
	t := Table{
		Title:   "How often better than " + first.Name + ", of 100 runs",
		Keys:    2,
		Columns: []Column{{Head: "Plan"}, {Head: "Has"}},
		Legend:  "Fewer heads at that harvest; more margin, added up from the first season to that harvest. A tie counts half.",
	}
	compact := strings.NewReplacer("fewer than ", "<", "more than ", ">")
	shared := 0 // seasons
	for _, c := range all[1:] {
		shared = max(shared, len(c.better))
	}
	if shared == 1 {
		return nil
	}
	for _, s := range first.seasons[:shared] {
		t.Columns = append(t.Columns, Column{Head: fmt.Sprint(s.HarvestYear), Right: true})
	}
	for _, c := range all[1:] {
		for _, line := range []struct {
			name string
			of   func(decide.Chances) float64
		}{{"fewer heads", func(x decide.Chances) float64 { return x.Fewer }}, {"more margin", func(x decide.Chances) float64 { return x.More }}, {"both", func(x decide.Chances) float64 { return x.Both }}} {
			cells := []string{c.Name, line.name}
			for i := range shared {
				if i < len(c.better) {
					cells = append(cells, compact.Replace(Of100(line.of(c.better[i]))))
				} else {
					cells = append(cells, "–")
				}
			}
			t.Rows = append(t.Rows, Row{Cells: cells})
		}
	}
	return []Table{t}
}

// seasonsTable is one quantity by season: every plan's band, then every plan's
// difference from the first. Plans of a single season need none: the table of
// where they lead says it all.
func seasonsTable(all []*contender, title, unit string, form, less Form, of, lessOf func(c *contender, season int) Band) []Table {
	t := Table{Title: title, Keys: 1, Columns: []Column{{Head: "Harvest"}},
		Legend: howToRead + " Less " + all[0].Name + ": the difference run by run."}
	longest := longestOf(all)
	for _, c := range all {
		t.Columns = append(t.Columns, Column{Head: c.Name, Unit: unit, Band: true})
	}
	for _, c := range all[1:] {
		t.Columns = append(t.Columns, Column{Head: c.Name, Unit: "less " + all[0].Name, Band: true})
	}
	if len(longest.seasons) == 1 {
		return nil
	}
	for i, s := range longest.seasons {
		cells := []string{fmt.Sprint(s.HarvestYear)}
		for _, c := range all {
			if i < len(c.seasons) {
				cells = append(cells, form.Band(of(c, i)))
			} else {
				cells = append(cells, "–")
			}
		}
		for _, c := range all[1:] {
			if i < len(c.difference) {
				cells = append(cells, less.Band(lessOf(c, i)))
			} else {
				cells = append(cells, "–")
			}
		}
		t.Rows = append(t.Rows, Row{Cells: cells})
	}
	return []Table{t}
}
