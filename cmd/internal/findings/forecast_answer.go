package findings

import (
	"fmt"
	"math"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/study"
)

// ways are the verdicts in words, behind what goes that way.
var ways = map[study.Verdict]string{
	study.Down: "goes down", study.LikelyDown: "probably goes down", study.EitherWay: "can go either way",
	study.LikelyUp: "probably goes up", study.Up: "goes up",
}

// verdictScale explains the ways where they are told.
const verdictScale = "Down: the seed ends lower than it began in more than 90 of 100 runs; probably down, in more than 66; either way, 33 to 66; " +
	"probably up, " +
	"fewer than 33; up, fewer than 10. " +
	"The milder word stands while the 95 % interval of the share holds the bound. " +
	"Seed at an end is what lies in the soil on 30 June and the viable seed shed that year, less what was carried off. " +
	"It is counted over runs of this model, which does not know what it leaves out."

// finite is a number as JSON; null for none.
func finite(x float64) any {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return x
}

func forecastAnswer(r ForecastRun) *report.Answer {
	a := r.Found.Answer
	sentences := compact(changedWords(r.Found.Seasons, a.Changed), chosenWords(r.Found.Seasons), seedWords(r, a), ratioWordsOf(r, a), endsWords(r, a),
		courseWords(r, a), undoneWords(a.Undone), underWords(r, a), moneyWords(r.Run, a))
	return &report.Answer{
		Verdict: string(a.Seed.Verdict),
		Facts: append(report.Object{
			{"seed_start_per_m2", a.Seed.Start}, {"seed_end_per_m2", a.Seed.End}, {"seed_ratio", a.Seed.Ratio}, {"ends_lower_share", a.Seed.Lower},
			{"under_threshold_share", finite(a.Under)}, {"margin_per_ha_year", a.Margin}, {"margin_field_year", a.Field},
		}, evolvingFacts(r)...),
		Sentences: append(sentences, evolvingAnswer(r, sentences)...),
	}
}

// compact leaves empty sentences out.
func compact(sentences ...string) []string {
	var out []string
	for _, s := range sentences {
		if s != "" {
			out = append(out, s)
		}
	}
	return out
}

// changedWords say where another crop is grown than was planned: the harvest of 2029 is spring
// barley in 79 of 100 runs. The worst season stands for those of its crop.
func changedWords(seasons []study.Season, changed []study.Changed) string {
	if len(changed) == 0 {
		return ""
	}
	crop := changed[0].Crop
	least, most, years, alike := changed[0], changed[0], []int{}, true
	for _, c := range changed {
		if c.Crop != crop {
			continue
		}
		years = append(years, seasons[c.Season].HarvestYear)
		alike = alike && c.Instead.Name == changed[0].Instead.Name
		if c.Planned < least.Planned {
			least = c
		}
		if c.Planned > most.Planned {
			most = c
		}
	}
	when := yearRanges(years)
	if len(years) > 3 {
		when = fmt.Sprintf("%d years", len(years))
	}
	instead := spoken(least.Instead.Name)
	if seasons[least.Season].Parts != nil {
		return fmt.Sprintf("Where chosen, %s goes in in as few as %s of 100 runs (%s); else %s grows.", spoken(crop), report.Of100(least.Planned), when, instead)
	}
	if least.Planned < 0.5 {
		if !alike || len(years) == 1 {
			year := seasons[least.Season].HarvestYear
			return fmt.Sprintf("Harvest %d is of %s in %s of 100 runs: the %s (%s) seldom goes in.", year, instead,
				report.Of100(least.Instead.Share), spoken(crop), when)
		}
		return fmt.Sprintf("In up to %s of 100 runs this is a %s plan: the %s (%s) seldom goes in.", report.Of100(least.Instead.Share),
			strings.ReplaceAll(instead, " ", "-"), spoken(crop), when)
	}
	return fmt.Sprintf("In only %s of 100 runs can the %s (%s) be drilled; else the field grows %s.",
		lowToHigh(report.Of100(least.Planned), report.Of100(most.Planned)), spoken(crop), when, instead)
}

// times writes a ratio: 0.35 times.
func ratioTimes(x float64) string { return report.Form{Digits: 2, Least: 0.01}.Value(x) }

// seedWords are the verdict with the share of runs that it rests on.
func seedWords(r ForecastRun, a *study.ForecastAnswer) string {
	weed, s := sentence(weedName(r.Calendar)), a.Seed
	if s.Start == 0 && s.End == 0 {
		return fmt.Sprintf("%s has no seed here, from the start to the end.", weed)
	}
	return fmt.Sprintf("%s %s%s: it ends %s.", weed, ways[s.Verdict], leaning(s), lowerOrHigher(s))
}

// leaning says which way seed goes more often, where it can go either.
func leaning(s *study.SeedChange) string {
	switch {
	case s.Verdict != study.EitherWay:
	case s.Lower > leansFrom:
		return ", down more often"
	case s.Lower < 1-leansFrom:
		return ", up more often"
	}
	return ""
}

// leansFrom is the share of runs from which on seed that can go either way is said to go one
// way more often.
const leansFrom = 0.6

// ratioWordsOf are the end over the start, without which no verdict stands.
func ratioWordsOf(r ForecastRun, a *study.ForecastAnswer) string {
	s, end := a.Seed, r.Found.Seasons[a.To].HarvestYear
	switch {
	case s.Start == 0 && s.End == 0:
		return ""
	case s.Ratio.N == 0:
		return fmt.Sprintf("There is no seed at the start, and %s per m² at harvest %d on average.", forms[sim.SeedbankJune].Value(s.End), end)
	}
	return fmt.Sprintf("Seed at harvest %d is %s times %s%s.", end,
		strings.Replace(ratioTimes(s.Ratio.P50), "<", "under ", 1), startName(r, a), ratioRange(s.Ratio))
}

// lowerOrHigher says in how many runs seed goes the way of the verdict; a tie counts half.
func lowerOrHigher(s *study.SeedChange) string {
	if s.Verdict == study.Up || s.Verdict == study.LikelyUp || s.Verdict == study.EitherWay && s.Lower < 1-leansFrom {
		return "higher in " + ofRuns(1-s.Lower)
	}
	return "lower in " + ofRuns(s.Lower)
}

// startName is what the end is set against.
func startName(r ForecastRun, a *study.ForecastAnswer) string {
	if a.From > 0 {
		return fmt.Sprintf("that of %d", r.Found.Seasons[a.From-1].HarvestYear)
	}
	return "the start"
}

func ratioRange(b report.Band) string {
	low, high := ratioTimes(b.P05), ratioTimes(b.P95)
	if low == high {
		return ""
	}
	if strings.HasPrefix(low, "<") {
		return fmt.Sprintf(", up to %s in nine runs of ten", high)
	}
	return fmt.Sprintf(", %s to %s in nine runs of ten", low, high)
}

// endsWords say what kinds of crops the ends followed, where that matters.
func endsWords(r ForecastRun, a *study.ForecastAnswer) string {
	switch {
	case a.Seed.Start == 0 && a.Seed.End == 0:
	case a.Unlike && a.Chosen:
		return fmt.Sprintf("%s %s, the end various crops: part of the change is theirs.", startFollowed(r, a), spoken(a.Before.Name))
	case a.Unlike:
		return fmt.Sprintf("%s %s, the end %s: part of the change is the crop's.", startFollowed(r, a), spoken(a.Before.Name), spoken(a.After.Name))
	case a.To != a.Last && a.From > 0:
		return fmt.Sprintf("Harvest %d is told because its crop is like the %s of %d, the year last counted.", r.Found.Seasons[a.To].HarvestYear,
			spoken(a.Before.Name), r.Found.Seasons[a.From-1].HarvestYear)
	case a.To != a.Last:
		return fmt.Sprintf("Harvest %d is told because its crop is like the %s before the start.", r.Found.Seasons[a.To].HarvestYear, spoken(a.Before.Name))
	}
	return ""
}

// startFollowed begins what is said of the crop that the start's seed lay under: with histories the
// start is the June of the year last counted.
func startFollowed(r ForecastRun, a *study.ForecastAnswer) string {
	if a.From > 0 {
		return fmt.Sprintf("%d grew", r.Found.Seasons[a.From-1].HarvestYear)
	}
	return "The start followed"
}

// courseWords tell the change over the last course of crops.
func courseWords(r ForecastRun, a *study.ForecastAnswer) string {
	if a.LastCourse == nil || a.LastCourse.Ratio.N == 0 {
		return ""
	}
	c := a.LastCourse
	return fmt.Sprintf("Over the last course, from %d to %d, it %s%s: %s times, %s.", r.Found.Seasons[a.To-a.Course].HarvestYear,
		r.Found.Seasons[a.To].HarvestYear,
		ways[c.Verdict], leaning(c), ratioTimes(c.Ratio.P50), lowerOrHigher(c))
}

func underWords(r ForecastRun, a *study.ForecastAnswer) string {
	if math.IsNaN(a.Under) {
		return ""
	}
	limit, every := report.Shortest(a.Threshold.Heads), "at every harvest"
	if a.From > 0 {
		every += fmt.Sprintf(" from %d on", r.Found.Seasons[a.From].HarvestYear)
	}
	switch a.Under {
	case 0:
		return fmt.Sprintf("In no run do heads stay under %s per m² %s.", limit, every)
	case 1:
		return fmt.Sprintf("Heads stay under %s per m² %s in every run.", limit, every)
	}
	return fmt.Sprintf("Heads stay under %s per m² %s in %s.", limit, every, ofRuns(a.Under))
}

// pounds writes money over land to the ten; less than five per acre to the one, since it is a sum on many acres.
func pounds(a rotations.Area, x float64) string {
	x = a.Per(x)
	if a.Ha < 1 && math.Abs(x) < 5 {
		return forms[sim.Margin].Value(math.Round(x))
	}
	return forms[sim.Margin].Value(study.Rounded10(x))
}

func fieldMoney(x float64) string { return report.Form{Digits: 2, Least: 10, Even: true}.Value(x) }

func moneyWords(r Run, a *study.ForecastAnswer) string {
	c := r.Calendar
	each := " a year"
	if len(c.Seasons) == 1 {
		each = ""
	}
	verb, by := "earns", 1.0
	if a.Margin < 0 {
		verb, by = "loses", -1
	}
	return fmt.Sprintf("It %s about %s %s%s, %s for the %s, before rent and fixed costs.", verb, pounds(c.Area, by*a.Margin), perArea(c), each,
		fieldMoney(by*a.Field), sizeOf(c.Area, c.AreaHa))
}

// shortSeasons is the table of the usual text. Margins are means, as in the answer.
func shortSeasons(r Run, seasons []study.Season) report.Table {
	t := report.Table{Keys: 1, Tight: true,
		Columns: []report.Column{{Head: "Harvest"}, {Head: "Planned crop"}, {Head: "Grown", Unit: "of 100", Said: "how often it is grown",
			Right: true, Spare: 1}, {Head: "Heads", Unit: "per m²", Band: true},
			{Head: "Seed", Unit: "per m², new seed too", Band: true}, {Head: "Yield", Unit: tonnesPer(r.Calendar.Area) + " if grown", Band: true, Spare: 2},
			{Head: "Margin", Unit: perArea(r.Calendar), Band: true}},
		Legend: "180 (40–620): half of the runs are below 180 (of margins: the mean), nine in ten in 40–620." + chosenShort(seasons),
	}
	if anyChosen(seasons) {
		t.Columns[1].Unit = "of 100 runs"
	}
	worst, poorest := 0, 0
	for i := range seasons {
		if seasons[i].Bands[sim.Heads].P50 > seasons[worst].Bands[sim.Heads].P50 {
			worst = i
		}
		if seasons[i].Bands[sim.Margin].Mean < seasons[poorest].Bands[sim.Margin].Mean {
			poorest = i
		}
	}
	for i := range seasons {
		s := &seasons[i]
		crop, grown, yield := plannedCrop(s), s.Grown[0].Share, told(r.Calendar.Area, sim.Yield, s.Bands[sim.Yield])
		if s.Parts != nil {
			crop, grown, yield = chosenCrops(s), asChosen(s), "–"
		}
		t.Rows = append(t.Rows, report.Row{Season: i + 1, Key: i == worst || i == poorest, Cells: []string{fmt.Sprint(s.HarvestYear), crop, few100(grown),
			forms[sim.Heads].Band(s.Bands[sim.Heads]),
			forms[sim.SeedbankJune].Band(s.Bands[sim.SeedAfter]), yield, averaged(r.Calendar.Area, s.Bands[sim.Margin])}})
	}
	return t
}

// few100 is Of100 in few letters.
func few100(share float64) string { return shortShare.Replace(report.Of100(share)) }

var shortShare = strings.NewReplacer("fewer than ", "<", "more than ", ">")

// averaged writes money with its mean in the middle. The mean is rounded as where it stands alone,
// since it is known better than the band is narrow: one mean must read the same in all tables.
func averaged(a rotations.Area, b report.Band) string {
	return forms[sim.Margin].Around(pounds(a, b.Mean), shown(a, sim.Margin, aroundMean(b)))
}

// aroundMean is a band told by its mean, as answers tell money.
func aroundMean(b report.Band) report.Band {
	b.P50 = b.Mean
	return b
}
