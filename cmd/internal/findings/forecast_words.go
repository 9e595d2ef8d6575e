package findings

import (
	"fmt"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/study"
)

// forms say how metrics are written, as the table of metrics has it.
var forms = formsOf()

func formsOf() (out [sim.MetricCount]report.Form) {
	for m, info := range sim.Metrics {
		out[m] = report.Form{Digits: info.Form.Digits, Least: info.Form.Least, Even: info.Form.Even}
	}
	return out
}

func forecastTitle(r Run) string {
	c := r.Calendar
	first, last := c.Seasons[0].HarvestYear, c.Seasons[len(c.Seasons)-1].HarvestYear
	when := fmt.Sprintf("harvest %d", first)
	if len(c.Seasons) > 1 {
		when = fmt.Sprintf("harvests %d to %d", first, last)
	}
	return fmt.Sprintf("%s: %s, %s", c.Name, weedName(c), when)
}

func forecastSubtitle(r Run) string {
	c := r.Calendar
	return fmt.Sprintf("%s, %s, %s, from %s. %s, seed %d.",
		sizeOf(c.Area, c.AreaHa), spoken(c.Soil.Name), weather(c), c.Start.Short(), runsOf(r.Replicates), r.Seed) + r.Past.words()
}

func weather(c *rotations.Calendar) string {
	climate := ""
	switch {
	case c.FitTo != nil:
		climate = "like that of " + c.FitTo.File
	case c.Climate != nil:
		climate = spoken(c.Climate.Name)
	}
	switch {
	case c.Record != nil && climate != "" && !c.Resample:
		return "weather as recorded, then " + climate
	case c.Record != nil:
		return "weather as recorded"
	case c.FitTo != nil:
		return "weather " + climate
	}
	return climate + " weather"
}

// forecastSentences say the answer in the order in which people ask for it:
// the seedbank, the heads, the money.
func forecastSentences(r ForecastRun) []string {
	return []string{seedbankSentence(r.Found), headsSentence(r), marginSentence(r)}
}

func seedbankSentence(f *study.Forecast) string {
	first, last := &f.Seasons[0], &f.Seasons[f.Last]
	form := forms[sim.SeedbankJune]
	end := middleAndRange(form, last.Bands[sim.SeedbankJune], last.HarvestYear)
	if f.Last == 0 {
		return "Seed in the soil per m² on 30 June, before that year's seed: " + end + "."
	}
	return fmt.Sprintf("Seed in the soil per m² on 30 June, before that year's seed: %s in %d, %s.",
		form.Value(first.Bands[sim.SeedbankJune].P50), first.HarvestYear, end)
}

// middleAndRange spells a band out: 620 in 2032 (nine runs in ten: 15 to 21,000).
func middleAndRange(f report.Form, b report.Band, year int) string {
	return fmt.Sprintf("%s in %d%s", f.Value(b.P50), year, nineInTen(f.Value(b.P05), f.Value(b.P95)))
}

// nineInTen is a 90 % range in brackets, nothing where its ends read the same.
func nineInTen(low, high string) string {
	if low == high {
		return ""
	}
	return " (nine runs in ten: " + low + " to " + high + ")"
}

// startWords are the heads before the start: a count, or a guess with its range.
func startWords(v *params.Value) string {
	if v.Spread.Kind == params.Fixed {
		return brief(v.Central, 3) + " counted"
	}
	return fmt.Sprintf("about %s (%s to %s)", brief(v.Quantile(0.5), 2), brief(v.Quantile(0.05), 2), brief(v.Quantile(0.95), 2))
}

func headsSentence(r ForecastRun) string {
	f := r.Found
	last, worst := &f.Seasons[f.Last], &f.Seasons[f.Worst]
	form := forms[sim.Heads]
	text := "Heads per m²: "
	if counted := r.Calendar.Heads; counted != nil && r.Past == nil { // the histories of counts know better
		text += startWords(counted) + " before the start, "
	}
	if worst.HarvestYear != last.HarvestYear && worst.Bands[sim.Heads].P50 > 0 {
		text += fmt.Sprintf("%s in %d, the worst year, ", form.Value(worst.Bands[sim.Heads].P50), worst.HarvestYear)
	}
	text += middleAndRange(form, last.Bands[sim.Heads], last.HarvestYear)
	if a := f.Acts; a.Heads > 0 {
		whose := "the action threshold of " + report.Shortest(a.Heads)
		if !a.Own {
			whose = fmt.Sprintf("the library's threshold of %s for %s", report.Shortest(a.Heads), spoken(last.Crop))
		}
		text += fmt.Sprintf(", above %s in %s of 100 runs", whose, report.Of100(a.Over))
	}
	return text + "."
}

func marginSentence(r ForecastRun) string {
	b := perBand(r.Calendar.Area, r.Found.Margin)
	step := forms[sim.Margin].Step(b.P95-b.P05, b.P50)
	each := " a season in the middle run"
	if r.Found.Last == 0 {
		each = ""
	}
	text := fmt.Sprintf("Margin: %s %s%s%s",
		report.Rounded(b.P50, step), perArea(r.Calendar), each, nineInTen(report.Rounded(b.P05, step), report.Rounded(b.P95, step)))
	if loss := r.Found.Loss; loss > 0 {
		text += fmt.Sprintf("; below zero in %s of 100 runs", report.Of100(loss))
	}
	return text + ". The answer's margin is the average of all runs."
}

// percent is a band of fractions in per cent.
func percent(b report.Band) report.Band {
	b.Mean, b.P05, b.P25, b.P50, b.P75, b.P95 = 100*b.Mean, 100*b.P05, 100*b.P25, 100*b.P50, 100*b.P75, 100*b.P95
	return b
}

func seasonTable(r Run, seasons []study.Season) report.Table {
	t := report.Table{
		Keys: 1,
		Columns: []report.Column{
			{Head: "Harvest"}, {Head: "Planned crop"},
			{Head: "Heads", Unit: "per m²", Band: true}, {Head: "Seed in soil", Unit: "per m², 30 June", Band: true},
			{Head: "Yield", Unit: tonnesPer(r.Calendar.Area), Band: true}, {Head: "Lost to weed", Unit: "%", Band: true},
			{Head: "Margin", Unit: perArea(r.Calendar), Band: true}, {Head: "Drilled", Band: true},
		},
		Legend: "180 (40–620): half of the runs are below 180, nine in ten are between 40 and 620. Yield, loss and drilling day count only the runs that " +
			"grew the planned crop. Seed in soil is before that year's seed comes down." + chosenLegend(seasons),
	}
	for _, x := range rowsOf(seasons) {
		s := x.Season
		t.Rows = append(t.Rows, report.Row{Season: x.number, Cells: []string{
			fmt.Sprint(s.HarvestYear), plannedCrop(s),
			forms[sim.Heads].Band(s.Bands[sim.Heads]), forms[sim.SeedbankJune].Band(s.Bands[sim.SeedbankJune]),
			told(r.Calendar.Area, sim.Yield, s.Bands[sim.Yield]), forms[sim.YieldLoss].Band(percent(s.Bands[sim.YieldLoss])),
			told(r.Calendar.Area, sim.Margin, s.Bands[sim.Margin]), drilledWords(s.Drilled),
		}})
	}
	return t
}

// drilledWords is the median day and the days between which nine in ten fall.
func drilledWords(d *study.Drilled) string {
	if d == nil || d.Share == 0 {
		return "–"
	}
	middle := dayOfYear(d.P50)
	if d.P05 == d.P95 {
		return middle
	}
	from := dayOfYear(d.P05)
	if _, month, day := d.P05.Date(); strings.HasSuffix(dayOfYear(d.P95), month.String()[:3]) {
		from = fmt.Sprint(day)
	}
	return fmt.Sprintf("%s (%s–%s)", middle, from, dayOfYear(d.P95))
}

// dayOfYear is a day without its year: 18 Mar.
func dayOfYear(d date.Day) string {
	_, month, day := d.Date()
	return date.Annual{Month: month, Day: day}.String()
}
