package findings

import (
	"fmt"
	"slices"

	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/study"
)

const howToRead = "180 (40–620): half of the runs are below 180, nine in ten are between 40 and 620."

func planTable(x *comparison) report.Table {
	money := perArea(x.all[0].Calendar)
	under, to := "of 100 under "+report.Shortest(x.Threshold), ""
	if x.Unequal {
		to = fmt.Sprintf(", to %d", x.all[0].Seasons[x.End].HarvestYear)
	}
	t := report.Table{
		Title: "Where each plan leads",
		Keys:  1,
		Columns: []report.Column{{Head: "Plan"}, {Head: "Heads " + atTheEnd(x), Unit: "per m²", Band: true},
			{Head: "Seed, new seed too", Unit: fmt.Sprintf("per m², harvest %d", x.all[0].Seasons[x.End].HarvestYear), Band: true},
			{Head: "Margin", Unit: yearly(x), Band: true}, {Head: "Margin in all", Unit: money, Band: true},
			{Head: sentence(atTheEnd(x)), Unit: under, Right: true}, {Head: sentence(x.everyYear()), Unit: under, Right: true},
			{Head: "First under " + report.Shortest(x.Threshold), Unit: "by the middle run" + to, Right: true},
			{Head: "Under it to the end", Unit: "by the middle run, from", Right: true}},
		Legend: howToRead + " Margins too are of the middle run here; the answer has their average.",
	}
	for _, c := range x.all {
		t.Rows = append(t.Rows, report.Row{Cells: []string{c.Name, forms[sim.Heads].Band(band(c.Heads)), forms[sim.SeedbankJune].Band(band(c.Contender.Seed)),
			told(x.area(), sim.Margin, band(c.Yearly)), told(x.area(), sim.Margin, band(c.SoFar[x.End])), report.Of100(c.Under.Last), report.Of100(c.Under.Throughout),
			c.harvest(c.Under.First), c.harvest(c.Under.Stays)}})
	}
	return t
}

// everyYear is what keeping under the threshold is counted over: with histories the years that
// were counted are over.
func (x *comparison) everyYear() string {
	if x.From == 0 {
		return "every year"
	}
	return fmt.Sprintf("from %d on", x.all[0].Seasons[x.From].HarvestYear)
}

// shortPlans is the table of the usual text. Margins are means, as in the answer.
func shortPlans(x *comparison) report.Table {
	t := report.Table{Keys: 1, Tight: true, Floor: fewPlans,
		Columns: []report.Column{{Head: "Plan"}, {Head: "Heads", Unit: "per m²", Band: true, Spare: 2},
			{Head: "Seed", Unit: "per m², new seed too", Band: true, Spare: 1}, {Head: "Margin", Unit: yearly(x), Band: true},
			{Head: "Under " + report.Shortest(x.Threshold), Unit: x.everyYear(), Said: "how often heads stay under " + report.Shortest(x.Threshold),
				Right: true, Spare: 3}, {Head: "Cleaner", Unit: "of 100", Right: true},
			{Head: "Earns more", Unit: "of 100", Right: true}},
		Legend: fmt.Sprintf("At harvest %d. 180 (40–620): half of the runs are below 180, of margins the average; nine in ten lie between. Cleaner, earns "+
			"more: than %s.", x.all[0].Seasons[x.End].HarvestYear, x.all[0].Name),
	}
	for i, c := range x.all {
		less, more := "–", "–"
		if i > 0 {
			less, more = few100(c.Against.Cleaner), few100(c.Against.EarnsMore)
		}
		t.Rows = append(t.Rows, report.Row{Key: named(x, i), Cells: []string{c.Name, forms[sim.Heads].Band(band(c.Contender.Heads)),
			forms[sim.SeedbankJune].Band(band(c.Contender.Seed)),
			averaged(x.area(), band(c.Yearly)), few100(c.Under.Throughout), less, more}})
	}
	valueColumns(x, &t)
	return t
}

// fewPlans is how many plans a short table shows whatever else there is to say: those that the answer
// names are no more.
const fewPlans = 6

// named tells whether the answer hangs on a plan.
func named(x *comparison, i int) bool {
	return i == 0 || i == x.Cleanest || i == x.Other || i == x.Richest || i == x.Worth
}

// harvest is the year of a season in words; "never" for none.
func (c *contender) harvest(season int) string {
	if season < 0 {
		return "never"
	}
	return fmt.Sprint(c.Seasons[season].HarvestYear)
}

// differences write differences of a metric.
func differences(m sim.Metric) report.Form {
	if m == sim.Margin {
		return forms[m]
	}
	return report.Form{Digits: 2, Least: 0.01, Even: true}
}

func differenceTable(x *comparison) report.Table {
	t := report.Table{
		Title: "Against " + x.all[0].Name + ", run by run",
		Keys:  1,
		Columns: []report.Column{{Head: "Plan"}, {Head: "Heads " + atTheEnd(x), Unit: "per m², difference", Band: true},
			{Head: "Margin", Unit: yearly(x) + ", difference", Band: true},
			{Head: "Fewer heads", Unit: "of 100 runs", Right: true}, {Head: "More margin", Unit: "of 100 runs", Right: true},
			{Head: "Both at once", Unit: "of 100 runs", Right: true},
			{Head: "Pairing worth", Unit: "times the runs", Right: true}},
		Legend: "Pairing worth: so many times as many runs would be needed to know the difference in heads (on a log scale) as well, if the plans did " +
			"not meet the same luck.",
	}
	for _, c := range x.all[1:] {
		worth := "–"
		if c.Ratio > 0 {
			worth = report.Rounded(c.Ratio, 0.1)
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{c.Name, differences(sim.Heads).Band(difference(c.Heads, x.all[0].Heads)),
			told(x.area(), sim.Margin, c.PerYear),
			report.Of100(c.Better[x.End].Fewer), report.Of100(c.Better[x.End].More), report.Of100(c.Better[x.End].Both), worth}})
	}
	return t
}

// controlTable sets the control there was against what it would have taken.
func controlTable(x *comparison) report.Table {
	longest := x.all[x.Longest]
	t := report.Table{
		Title:   "Control from all causes, and what would have held the seedbank still",
		Keys:    2,
		Columns: []report.Column{{Head: "Plan"}, {Head: "Of 100 seedlings"}},
		Legend: "Of the middle run. Gone: of 100 seedlings that came up in the season, how many did not live to head, killed by sprays, residues and tillage or " +
			"dead of frost and crowding. " +
			"Needed: how many had to go for the seed shed to replace no more than the seed used up in the season, if seed is in proportion to the plants " +
			"left (1 − 1/growth). Seed that is mown, pulled or carried off counts as used up; 0: no seedling had to go for that.",
	}
	for _, s := range longest.Seasons {
		t.Columns = append(t.Columns, report.Column{Head: fmt.Sprint(s.HarvestYear), Right: true})
	}
	for _, c := range x.all {
		for _, line := range []struct {
			name  string
			bands []report.Band
		}{{"gone", c.Control}, {"needed", c.Needed}} {
			cells := []string{c.Name, line.name}
			for i := range longest.Seasons {
				if i >= len(line.bands) || line.bands[i].N == 0 {
					cells = append(cells, "–")
					continue
				}
				cells = append(cells, report.Rounded(100*line.bands[i].P50, 0.1))
			}
			t.Rows = append(t.Rows, report.Row{Cells: cells})
		}
	}
	return t
}

func headsBySeason(x *comparison) []report.Table {
	at := slices.Index(study.Compared, sim.Heads)
	return seasonsTable(x, "Heads, season by season", "per m²", forms[sim.Heads], differences(sim.Heads),
		func(c *contender, i int) report.Band { return c.Seasons[i].Bands[sim.Heads] }, func(c *contender, i int) report.Band { return c.Difference[i][at] })
}

func marginBySeason(x *comparison) []report.Table {
	at, money, form := slices.Index(study.Compared, sim.Margin), perArea(x.all[0].Calendar), forms[sim.Margin]
	per := func(b report.Band) report.Band { return perBand(x.area(), b) }
	return slices.Concat(
		seasonsTable(x, "Margin, season by season", money, form, form,
			func(c *contender, i int) report.Band { return per(c.Seasons[i].Bands[sim.Margin]) },
			func(c *contender, i int) report.Band { return per(c.Difference[i][at]) }),
		seasonsTable(x, "Margin so far, added up from the first season", money, form, form,
			func(c *contender, i int) report.Band { return per(band(c.SoFar[i])) }, func(c *contender, i int) report.Band { return per(c.SumLess[i]) }))
}

// betterBySeason is how often each plan is better than the first, season by season.
func betterBySeason(x *comparison) []report.Table {
	first := x.all[0]
	t := report.Table{
		Title:   "How often better than " + first.Name + ", of 100 runs",
		Keys:    2,
		Columns: []report.Column{{Head: "Plan"}, {Head: "Has"}},
		Legend:  "Fewer heads at that harvest; more margin, added up from the first season to that harvest. A tie counts half.",
	}
	shared := 0 // seasons
	for _, c := range x.all[1:] {
		shared = max(shared, len(c.Better))
	}
	if shared == 1 {
		return nil
	}
	for _, s := range first.Seasons[:shared] {
		t.Columns = append(t.Columns, report.Column{Head: fmt.Sprint(s.HarvestYear), Right: true})
	}
	for _, c := range x.all[1:] {
		for _, line := range []struct {
			name string
			of   func(decide.Chances) float64
		}{{"fewer heads", func(x decide.Chances) float64 { return x.Fewer }}, {"more margin", func(x decide.Chances) float64 { return x.More }},
			{"both", func(x decide.Chances) float64 { return x.Both }}} {
			cells := []string{c.Name, line.name}
			for i := range shared {
				if i < len(c.Better) {
					cells = append(cells, few100(line.of(c.Better[i])))
				} else {
					cells = append(cells, "–")
				}
			}
			t.Rows = append(t.Rows, report.Row{Cells: cells})
		}
	}
	return []report.Table{t}
}

// seasonsTable is one quantity by season: every plan's band, then every plan's
// difference from the first. Plans of a single season need none: the table of
// where they lead says it all.
func seasonsTable(x *comparison, title, unit string, form, less report.Form, of, lessOf func(c *contender, season int) report.Band) []report.Table {
	t := report.Table{Title: title, Keys: 1, Columns: []report.Column{{Head: "Harvest"}},
		Legend: howToRead + " Less " + x.all[0].Name + ": the difference run by run."}
	longest := x.all[x.Longest]
	for _, c := range x.all {
		t.Columns = append(t.Columns, report.Column{Head: c.Name, Unit: unit, Band: true})
	}
	for _, c := range x.all[1:] {
		t.Columns = append(t.Columns, report.Column{Head: c.Name, Unit: "less " + x.all[0].Name, Band: true})
	}
	if len(longest.Seasons) == 1 {
		return nil
	}
	for i, s := range longest.Seasons {
		cells := []string{fmt.Sprint(s.HarvestYear)}
		for _, c := range x.all {
			if i < len(c.Seasons) {
				cells = append(cells, form.Band(of(c, i)))
			} else {
				cells = append(cells, "–")
			}
		}
		for _, c := range x.all[1:] {
			if i < len(c.Difference) {
				cells = append(cells, less.Band(lessOf(c, i)))
			} else {
				cells = append(cells, "–")
			}
		}
		t.Rows = append(t.Rows, report.Row{Cells: cells})
	}
	return []report.Table{t}
}
