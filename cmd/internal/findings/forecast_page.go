package findings

import (
	"fmt"
	"slices"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/study"
)

// forecastPage is what a forecast's page says beyond its text.
func forecastPage(f ForecastRun) *report.Page {
	r, seasons := f.Run, f.Found.Seasons
	c := r.Calendar
	last := seasons[len(seasons)-1].HarvestYear
	p := &report.Page{
		Field:    fieldLine(r),
		Question: fmt.Sprintf("Does the %s of %s run down or build up by harvest %d?", weedName(c), c.Name, last),
		Scale:    verdictScale,
		Keys:     forecastKeys(f),
		Assumed:  assumedChapter(r, f.Found),
	}
	if len(seasons) == 1 {
		p.Question = fmt.Sprintf("What does the %s of %s do by harvest %d?", weedName(c), c.Name, last)
	}
	weed, crop, money := forecastStacks(r, seasons)
	p.Main = &report.Picture{Name: "weed", Figure: weed}
	plan := planChapter(r, seasons)
	plan.Tables = besideAnswers(plan.Tables, f.Found)
	p.Chapters = slices.Insert([]report.Chapter{
		plan,
		{ID: "bands", Title: "Season by season", Words: []string{
			"Every row is a season, every cell the spread over the runs. What matters between two seasons is how far the whole range moves, not the last digit."},
			Leading: []report.Table{seasonTable(r, seasons)}, Pictures: []report.Picture{{Name: "crop", Figure: crop}}},
		{ID: "seeds", Title: "Where the seed goes", Words: []string{
			"Left of the middle what came in, right of it where it went: what is left in the soil at the end is the start of the next season.",
			"Means over the runs, which a few bad runs pull up. These bars end after harvest, when the weed has shed; the bands go by the middle run of 30 June, " +
				"before it does, and so are lower."},
			Pictures: budgetPictures(r, seasons)},
		{ID: "money", Title: "The money", Words: []string{marginSentence(f),
			"The margin is yield times price less the crop's costs and the passes and sprays that were really done. It bears no rent, labour beyond the " +
				"passes, or machinery that stands in the shed. Prices and costs are illustrative until you give your own under economics in the plan. " +
				priceYears(plannedPrices(c))},
			Pictures: []report.Picture{{Name: "money", Figure: money}}, Tables: append(spentTable(r, seasons), costTable(c, nil, seasons))},
	}, 1, branchChapter(r, seasons)...)
	if f.Found.Evolves != nil {
		p.Chapters = slices.Insert(p.Chapters, 2, evolvingChapter(f))
	}
	return p
}

// fieldLine is the field in a line: name, size, soil, weather.
func fieldLine(r Run) string {
	c := r.Calendar
	return fmt.Sprintf("%s · %s · %s · %s", c.Name, sizeOf(c.Area, c.AreaHa), spoken(c.Soil.Name), weather(c))
}

func planChapter(r Run, seasons []study.Season) report.Chapter {
	words := []string{"Work stands on the day it is planned for; on heavy land it waits for the ground. Drilling is shown as it came about: the pale " +
		"box is the days between which nine runs in ten drilled."}
	if isFolded(seasons) {
		words = append(words, foldedWords)
	}
	words = append(words, paleWords(seasons)...)
	words = append(words, fitted(r.Calendar)...)
	return report.Chapter{ID: "plan", Title: "The plan", Words: words, Pictures: calendarPictures(r, seasons), Tables: pageWork("", seasons)}
}

// budgetPictures are the seed budgets of all seasons.
func budgetPictures(r Run, seasons []study.Season) []report.Picture {
	var out []report.Picture
	parts, about := pieces(seasons)
	for k, part := range parts {
		caption := budgetCaption(r)
		caption.Title += about[k]
		out = append(out, report.Picture{Name: "seed-budget", Figure: &figure.Budget{Caption: caption, Seasons: budgetSeasons(part)}})
	}
	return out
}

// forecastStacks are the bands in three pictures: of the weed, of the crop, of
// the money.
func forecastStacks(r Run, seasons []study.Season) (weed, crop, money *figure.Bands) {
	stack := func(title string, panels ...figure.Panel) *figure.Bands {
		return &figure.Bands{Caption: figure.Caption{Title: r.Calendar.Name + ": " + title, Subtitle: forecastSubtitle(r), Provenance: provenanceLine(r)},
			Seasons: strip(seasons), Panels: panels}
	}
	all := panels(r, seasons)
	loss := spreads(r.Calendar.Area, seasons, sim.YieldLoss)
	return stack(weedName(r.Calendar)+" above the ground and in it", all[:2]...),
		stack("the crop",
			figure.Panel{Name: "Yield", Unit: tonnesPer(r.Calendar.Area), Kind: figure.Linear, Hue: figure.Green,
				Bands: spreads(r.Calendar.Area, seasons, sim.Yield), Each: true},
			figure.Panel{Name: "Yield lost to the weed", Kind: axis(sim.YieldLoss), Hue: figure.Vermilion, Bands: loss, Each: true}),
		stack("margin of each season", all[2])
}

func forecastKeys(r ForecastRun) []report.KeyNumber {
	seasons := r.Found.Seasons
	last := seasons[len(seasons)-1]
	key := func(name, unit string, f report.Form, b report.Band) report.KeyNumber {
		step := 0.0
		write := f.Value
		if f.Even {
			step = f.Step(b.P95-b.P05, b.P50)
			write = func(x float64) string { return report.Rounded(x, step) }
		}
		k := report.KeyNumber{Name: name, Unit: unit, Value: write(b.P50)}
		if write(b.P05) != write(b.P95) {
			k.Range = write(b.P05) + " to " + write(b.P95)
		}
		return k
	}
	return []report.KeyNumber{
		key(fmt.Sprintf("Seed, new seed too, harvest %d", last.HarvestYear), "per m²", forms[sim.SeedbankJune], last.Bands[sim.SeedAfter]),
		key(fmt.Sprintf("Heads, harvest %d", last.HarvestYear), "per m²", forms[sim.Heads], last.Bands[sim.Heads]),
		key("Margin a year, on average", perArea(r.Calendar), forms[sim.Margin], aroundMean(perBand(r.Calendar.Area, band(r.Found.MeanMargin())))),
	}
}
