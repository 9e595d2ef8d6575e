package report

import (
	"fmt"
	"slices"
	"strings"

	"rundown/params"
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
)

// forms say how the metrics are written for a person.
var forms = map[sim.Metric]Form{
	sim.Heads:        {Digits: 2, Least: 0.01},
	sim.Plants:       {Digits: 2, Least: 0.01},
	sim.SeedbankJune: {Digits: 2, Least: 0.1},
	sim.YieldLoss:    {Digits: 2, Least: 0.1, Even: true}, // in per cent
	sim.Yield:        {Digits: 2, Least: 0.1, Even: true},
	sim.Margin:       {Digits: 2, Least: 1, Even: true},
	sim.WaitedDays:   {Digits: 2, Least: 1, Even: true},
}

func forecastTitle(r Run) string {
	c := r.Calendar
	first, last := c.Seasons[0].HarvestYear, c.Seasons[len(c.Seasons)-1].HarvestYear
	when := fmt.Sprintf("harvest %d", first)
	if len(c.Seasons) > 1 {
		when = fmt.Sprintf("harvests %d to %d", first, last)
	}
	return fmt.Sprintf("%s: %s, %s", c.Name, c.Weed.Name, when)
}

func forecastSubtitle(r Run) string {
	c := r.Calendar
	return fmt.Sprintf("%s ha, %s, %s, from %s. %s, seed %d.",
		shortest(c.AreaHa), spoken(c.Soil.Name), weather(c), c.Start.Short(), runsOf(r.Replicates), r.Seed) + r.Past.words()
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
func forecastSentences(r Run, seasons []season) []string {
	return []string{seedbankSentence(r, seasons), headsSentence(r, seasons), marginSentence(r, seasons)}
}

func seedbankSentence(r Run, seasons []season) string {
	last := seasons[len(seasons)-1]
	form := forms[sim.SeedbankJune]
	end := middleAndRange(form, last.bands[sim.SeedbankJune], last.HarvestYear)
	if len(seasons) == 1 {
		return "Seed in the soil per m² on 30 June: " + end + "."
	}
	first, lower, _ := bankTrend(r, seasons)
	begun := fmt.Sprint(first.HarvestYear)
	if first.HarvestYear != seasons[0].HarvestYear {
		begun += ", the first year of " + spoken(first.crop)
	}
	return fmt.Sprintf("Seed in the soil per m² on 30 June: %s in %s, %s. It ends lower than in %d in %s of 100 runs.",
		form.Value(first.bands[sim.SeedbankJune].P50), begun, end, first.HarvestYear, Of100(lower))
}

// bankTrend sets the seedbank of the last June against that of the first season of
// the same crop, since a June in one crop says little against a June in another; of
// the first season where the crop comes once. It gives that season and the shares
// of runs that end lower and higher.
func bankTrend(r Run, seasons []season) (first season, lower, higher float64) {
	last := len(seasons) - 1
	at := slices.IndexFunc(seasons, func(s season) bool { return s.crop == seasons[last].crop })
	if at == last {
		at = 0
	}
	began, ended := r.Outcome.Column(sim.SeedbankJune, at), r.Outcome.Column(sim.SeedbankJune, last)
	lower = share(len(began), func(k int) bool { return ended[k] < began[k] })
	higher = share(len(began), func(k int) bool { return ended[k] > began[k] })
	return seasons[at], lower, higher
}

// middleAndRange spells a band out: 620 in 2032 (nine runs in ten: 15 to 21,000).
func middleAndRange(f Form, b Band, year int) string {
	return fmt.Sprintf("%s in %d%s", f.Value(b.P50), year, nineInTen(f.Value(b.P05), f.Value(b.P95)))
}

// nineInTen is a 90 % range in brackets, nothing where its ends read the same.
func nineInTen(low, high string) string {
	if low == high {
		return ""
	}
	return " (nine runs in ten: " + low + " to " + high + ")"
}

// share is how large a part of n runs a condition holds in.
func share(n int, holds func(k int) bool) float64 {
	count := 0
	for k := range n {
		if holds(k) {
			count++
		}
	}
	return float64(count) / float64(n)
}

// startWords are the heads before the start: a count, or a guess with its range.
func startWords(v *params.Value) string {
	if v.Spread.Kind == params.Fixed {
		return brief(v.Central, 3) + " counted"
	}
	return fmt.Sprintf("about %s (%s to %s)", brief(v.Quantile(0.5), 2), brief(v.Quantile(0.05), 2), brief(v.Quantile(0.95), 2))
}

// action is the density of heads from which on one would act, at the end.
type action struct {
	heads float64 // per m²; 0: none
	own   bool    // of the plan, else of the library
	over  float64 // share of runs above it
}

// actsAbove is the plan's threshold, or else what the library says of the last crop:
// that is by loss of yield and seed returned, so that a ley or fallow has none.
func actsAbove(r Run, seasons []season) action {
	last := seasons[len(seasons)-1]
	a := action{heads: r.Calendar.ThresholdPer, own: true}
	if a.heads == 0 && last.shedsSeed() {
		a.heads, a.own = last.Courses[0].Crop.Value("heads_threshold").Central, false
	}
	heads := r.Outcome.Column(sim.Heads, len(seasons)-1)
	a.over = share(len(heads), func(k int) bool { return heads[k] > a.heads })
	return a
}

// shedsSeed tells whether heads in the planned crop stand long enough to shed
// their seed: a ley is mown and a fallow sprayed before.
func (s *season) shedsSeed() bool {
	crop := s.Courses[0].Crop
	return crop.Text["season"] != "none" && crop.Text["perennial"] != "yes"
}

func headsSentence(r Run, seasons []season) string {
	last := seasons[len(seasons)-1]
	worst := last
	for _, s := range seasons {
		if s.bands[sim.Heads].P50 > worst.bands[sim.Heads].P50 && s.shedsSeed() {
			worst = s
		}
	}
	form := forms[sim.Heads]
	text := "Heads per m²: "
	if counted := r.Calendar.Heads; counted != nil && r.Past == nil { // the histories of counts know better
		text += startWords(counted) + " before the start, "
	}
	if worst.HarvestYear != last.HarvestYear && worst.bands[sim.Heads].P50 > 0 {
		text += fmt.Sprintf("%s in %d, the worst year, ", form.Value(worst.bands[sim.Heads].P50), worst.HarvestYear)
	}
	text += middleAndRange(form, last.bands[sim.Heads], last.HarvestYear)
	if a := actsAbove(r, seasons); a.heads > 0 {
		whose := "the action threshold of " + shortest(a.heads)
		if !a.own {
			whose = fmt.Sprintf("the library's threshold of %s for %s", shortest(a.heads), spoken(last.crop))
		}
		text += fmt.Sprintf(", above %s in %s of 100 runs", whose, Of100(a.over))
	}
	return text + "."
}

func marginSentence(r Run, seasons []season) string {
	yearly := make([]float64, r.Replicates)
	for i := range seasons {
		for k, m := range r.Outcome.Column(sim.Margin, i) {
			yearly[k] += m / float64(len(seasons))
		}
	}
	b := Band(ensemble.Summarise(yearly))
	step := forms[sim.Margin].step(b.P95-b.P05, b.P50)
	each := " a season on average"
	if len(seasons) == 1 {
		each = ""
	}
	text := fmt.Sprintf("Margin: %s %s/ha%s%s",
		rounded(b.P50, step), r.Calendar.Currency, each, nineInTen(rounded(b.P05, step), rounded(b.P95, step)))
	if loss := share(len(yearly), func(k int) bool { return yearly[k] < 0 }); loss > 0 {
		text += fmt.Sprintf("; below zero in %s of 100 runs", Of100(loss))
	}
	return text + "."
}

// percent is a band of fractions in per cent.
func percent(b Band) Band {
	b.Mean, b.P05, b.P25, b.P50, b.P75, b.P95 = 100*b.Mean, 100*b.P05, 100*b.P25, 100*b.P50, 100*b.P75, 100*b.P95
	return b
}

func seasonTable(r Run, seasons []season) Table {
	t := Table{
		Keys: 1,
		Columns: []Column{
			{Head: "Harvest"}, {Head: "Planned crop"},
			{Head: "Heads", Unit: "per m²", Band: true}, {Head: "Seed in soil", Unit: "per m², 30 June", Band: true},
			{Head: "Yield", Unit: "t/ha", Band: true}, {Head: "Lost to weed", Unit: "%", Band: true},
			{Head: "Margin", Unit: r.Calendar.Currency + "/ha", Band: true}, {Head: "Drilled", Band: true},
		},
		Legend: "180 (40–620): half of the runs are below 180, nine in ten are between 40 and 620. Yield, loss and drilling day count only the runs that grew the planned crop.",
	}
	for i, s := range seasons {
		crop := spoken(s.crop)
		if s.Cover != nil {
			crop = "cover, " + crop
		}
		t.Rows = append(t.Rows, Row{Season: i + 1, Cells: []string{
			fmt.Sprint(s.HarvestYear), crop,
			forms[sim.Heads].Band(s.bands[sim.Heads]), forms[sim.SeedbankJune].Band(s.bands[sim.SeedbankJune]),
			forms[sim.Yield].Band(s.bands[sim.Yield]), forms[sim.YieldLoss].Band(percent(s.bands[sim.YieldLoss])),
			forms[sim.Margin].Band(s.bands[sim.Margin]), drilledWords(s.drilled),
		}})
	}
	return t
}

// drilledWords is the median day and the days between which nine in ten fall.
func drilledWords(d *drilled) string {
	if d == nil || d.share == 0 {
		return "–"
	}
	middle := dayOfYear(d.p50)
	if d.p05 == d.p95 {
		return middle
	}
	from := dayOfYear(d.p05)
	if _, month, day := d.p05.Date(); strings.HasSuffix(dayOfYear(d.p95), month.String()[:3]) {
		from = fmt.Sprint(day)
	}
	return fmt.Sprintf("%s (%s–%s)", middle, from, dayOfYear(d.p95))
}

// dayOfYear is a day without its year: 18 Mar.
func dayOfYear(d date.Day) string {
	_, month, day := d.Date()
	return date.Annual{Month: month, Day: day}.String()
}
