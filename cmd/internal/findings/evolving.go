package findings

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/study"
)

// evolvingAnswer are the sentences of the answer on resistance that evolves, behind others: as much as
// six lines hold of the spray that falls first, of another that falls much, and of what it costs.
func evolvingAnswer(r ForecastRun, others []string) []string {
	e := r.Found.Evolves
	if e == nil {
		return []string{noResistance(r.Run)}
	}
	first, plain, second := fallingWords(r, e)
	cost := costOfResistance(r, e)
	var told []string
	for _, try := range [][]string{{first, second, cost}, {first, cost}, {plain, cost}, {plain}} {
		if told = compact(try...); inSixLines(append(others[:len(others):len(others)], told...)) {
			break
		}
	}
	return told
}

// fallingWords tell of the sprays that fall: the first sentence, the same without what it would kill
// without resistance, and of another spray, "" for none.
func fallingWords(r ForecastRun, e *study.Evolving) (first, plain, second string) {
	start := "Resistance starts rare, not absent"
	if len(r.Calendar.Resistance) > 0 {
		start = "Resistance evolves from what the plan says"
	}
	worst := e.Worst()
	most := e.Most()
	without := ""
	switch p, low := slipping(r, worst), lowest(e); {
	case worst != nil:
		without = unresisted(worst)
		first = fmt.Sprintf("at first %s kills %s of 100%s, from harvest %d on less than half of that", spoken(worst.Entry.Name),
			percentOf(worst.Kill[0].P50), without, r.Found.Seasons[worst.Fall].HarvestYear)
		if p != nil {
			second = fmt.Sprintf("%s falls from %s to %s of 100 by %d.", sentence(spoken(p.Entry.Name)), percentOf(p.Kill[0].P50),
				percentOf(lastKill(p).P50), lastHarvest(r))
		}
	case p != nil:
		first, without = fromFirstToLast(r, p), unresisted(p)
	case low != nil:
		first, without = fromFirstToLast(r, low), unresisted(low)
	case most != nil && most.Never < 0.95:
		first = fmt.Sprintf("%s loses half of its kill in %s of 100 runs", spoken(most.Entry.Name), report.Of100(1-most.Never))
	default:
		first = start + "; no spray loses half of its kill."
		return first, first, ""
	}
	if first += "."; len(r.Calendar.Resistance) > 0 {
		first = sentence(first)
	} else {
		first = start + ": " + first
	}
	return first, strings.Replace(first, without, "", 1), second
}

// inSixLines tells whether sentences are no more than six lines of 100 columns, as answers are.
func inSixLines(sentences []string) bool {
	lines, at := 1, 0
	for _, w := range strings.Fields(strings.Join(sentences, " ")) {
		n := utf8.RuneCountInString(w)
		if at > 0 && at+1+n > 100 {
			lines, at = lines+1, 0
		}
		at += min(at, 1) + n
	}
	return lines <= 6
}

// fromFirstToLast is what a spray kills in the first season and in the last.
func fromFirstToLast(r ForecastRun, p *study.Programme) string {
	return fmt.Sprintf("%s kills %s of 100 at first%s and %s by %d", spoken(p.Entry.Name), percentOf(p.Kill[0].P50), unresisted(p),
		percentOf(lastKill(p).P50), lastHarvest(r))
}

func lastKill(p *study.Programme) report.Band { return p.Kill[len(p.Kill)-1] }

func lastHarvest(r ForecastRun) int { return r.Found.Seasons[len(r.Found.Seasons)-1].HarvestYear }

// unresisted tells what a spray would kill without resistance, where that is more than it does at first.
func unresisted(p *study.Programme) string {
	if p.Stated-p.Kill[0].P50 < 0.05 {
		return ""
	}
	return fmt.Sprintf(" (%s without resistance)", percentOf(p.Stated))
}

// lowest is the spray that has lost most before the first season, where that is worth a word.
func lowest(e *study.Evolving) (out *study.Programme) {
	lost := 0.1
	for i := range e.Programmes {
		if p := &e.Programmes[i]; p.Meant() && p.Stated-p.Kill[0].P50 > lost {
			out, lost = p, p.Stated-p.Kill[0].P50
		}
	}
	return out
}

// slips is by how much the kill of a spray must fall to be told, though it is not halved.
const slips = 0.15

// slipping is the spray, besides the one that falls first, whose kill falls most; nil where none falls much.
func slipping(r ForecastRun, besides *study.Programme) (most *study.Programme) {
	e, fall := r.Found.Evolves, slips
	for i := range e.Programmes {
		p := &e.Programmes[i]
		if by := p.Kill[0].P50 - lastKill(p).P50; by > fall && (besides == nil || p.Entry != besides.Entry) {
			most, fall = p, by
		}
	}
	return most
}

// costOfResistance is what it takes of the margin, where that is worth a sentence.
func costOfResistance(r ForecastRun, e *study.Evolving) string {
	if e.Cost.N == 0 || study.Rounded10(e.Cost.Mean) < 10 {
		return ""
	}
	c := r.Calendar
	return fmt.Sprintf("Growing resistance costs about %s %s a year.", pounds(c.Area, e.Cost.Mean), perArea(c))
}

// evolvingFacts are the same as facts.
func evolvingFacts(r ForecastRun) report.Object {
	e := r.Found.Evolves
	if e == nil {
		return nil
	}
	var o report.Object
	if e.Cost.N > 0 {
		o = append(o, report.Member{Key: "resistance_cost_per_ha_year", Value: e.Cost.Mean}, report.Member{Key: "resistance_cost_field_year",
			Value: e.Field})
	}
	if p := e.Worst(); p != nil {
		o = append(o, report.Member{Key: "first_to_fall", Value: p.Entry.Name}, report.Member{Key: "falls_harvest",
			Value: r.Found.Seasons[p.Fall].HarvestYear})
	}
	return o
}

// killForm writes shares in per cent.
var killForm = report.Form{Digits: 2, Least: 0.1, Even: true}

func killBand(b report.Band) string {
	if b.N == 0 {
		return "–"
	}
	return killForm.Band(percent(b))
}

// evolvingLegend says how to read it.
const evolvingLegend = "Kill: of the plants that come up for that harvest, resistance included, in a usual season: nothing hangs on the year's weather. " +
	"Half gone: the first harvest at which the middle run is below half of the first season's. Keeps half: runs in which it never is below half of their " +
	"own first. Plants that carry it: of those that come up, in the runs in which resistance comes by one gene."

// evolvingTable is what each programme kills at both ends, and who carries what.
func evolvingTable(r ForecastRun) report.Table {
	e, seasons := r.Found.Evolves, r.Found.Seasons
	last := len(seasons) - 1
	head := func(i int) report.Column {
		return report.Column{Head: fmt.Sprintf("Harvest %d", seasons[i].HarvestYear), Unit: "%", Right: true, Band: true}
	}
	t := report.Table{Title: "Resistance: what sprays kill of plants as they then are", Keys: 1, Apart: true,
		Columns: []report.Column{{Head: "Killed by"}, {Head: "HRAC"}, head(0), head(last), {Head: "Half gone",
			Unit: "from harvest", Right: true}, {Head: "Keeps half", Unit: "of 100 runs", Right: true}},
		Legend: evolvingLegend,
	}
	for _, cells := range evolvingRows(e, seasons) {
		t.Rows = append(t.Rows, report.Row{Cells: cells})
	}
	return t
}

// evolvingRows are the rows of it.
func evolvingRows(e *study.Evolving, seasons []study.Season) (rows [][]string) {
	last := len(seasons) - 1
	for _, p := range e.Programmes {
		rows = append(rows, []string{spoken(p.Entry.Name), strings.Join(p.Groups, ", "), killBand(p.Kill[0]), killBand(p.Kill[last]),
			fallWords(&p, seasons), report.Of100(p.Never)})
	}
	for _, g := range e.Genes {
		rows = append(rows, []string{"plants that carry it (" + oneGene(g) + ")", g.Group, killBand(g.Carriers[0]),
			killBand(g.Carriers[last]), "–", "–"})
	}
	return rows
}

// resistanceOfPlans is what an answer says of the resistance of plans: which spray falls first, and where.
func resistanceOfPlans(x *comparison) string {
	var first *contender
	var spray *study.Programme
	for _, c := range x.all {
		if c.Evolves == nil {
			continue
		}
		if p := c.Evolves.Worst(); p != nil && (first == nil || c.Seasons[p.Fall].HarvestYear < first.Seasons[spray.Fall].HarvestYear) {
			first, spray = c, p
		}
	}
	if first == nil {
		return noResistance(x.all[0].Run)
	}
	falls := 0
	for _, c := range x.all {
		if c.Evolves != nil && slices.ContainsFunc(c.Evolves.Programmes, func(p study.Programme) bool { return p.Entry.Name == spray.Entry.Name && p.Found() }) {
			falls++
		}
	}
	where := "at first, under " + first.Name + " alone"
	if falls > 1 {
		where = fmt.Sprintf("at first, under %s; in the end under %s of %s plans", first.Name, numeral(falls), numeral(len(x.all)))
	}
	return fmt.Sprintf("From harvest %d on %s kills less than half of what it did %s.", first.Seasons[spray.Fall].HarvestYear, spoken(spray.Entry.Name), where)
}

// fallWords are the first harvest at which half of a spray's kill is gone.
func fallWords(p *study.Programme, seasons []study.Season) string {
	if !p.Found() {
		return "–"
	}
	return fmt.Sprint(seasons[p.Fall].HarvestYear)
}

// evolvingObject is all of it as JSON.
func evolvingObject(e *study.Evolving, seasons []study.Season) any {
	if e == nil {
		return nil
	}
	programmes, genes := []report.Object{}, []report.Object{}
	for _, p := range e.Programmes {
		var fall any
		if p.Found() {
			fall = seasons[p.Fall].HarvestYear
		}
		programmes = append(programmes, report.Object{{"programme", p.Entry.Name}, {"hrac", p.Groups}, {"kill_without_resistance", p.Stated},
			{"kill", byHarvest(seasons, p.Kill)}, {"falls_to_half", fall}, {"never_share", p.Never}})
	}
	for _, g := range e.Genes {
		genes = append(genes, report.Object{{"hrac", g.Group}, {"one_gene_share", g.Share}, {"carriers", byHarvest(seasons, g.Carriers)}})
	}
	var cost any
	if e.Cost.N > 0 {
		cost = e.Cost
	}
	return report.Object{{"programmes", programmes}, {"genes", genes}, {"cost_per_ha_year", cost}}
}

// byHarvest is one band for each harvest, as JSON.
func byHarvest(seasons []study.Season, all []report.Band) (list []report.Object) {
	for i, b := range all {
		list = append(list, report.Object{{"harvest_year", seasons[i].HarvestYear}, {"band", b}})
	}
	return list
}

// evolvingSeries are the bands of all seasons, for tables of data.
func evolvingSeries(r ForecastRun) (out []report.Series) {
	e := r.Found.Evolves
	if e == nil {
		return nil
	}
	for i, s := range r.Found.Seasons {
		for _, p := range e.Programmes {
			out = append(out, report.Series{Season: s.HarvestYear, Metric: "kill_of_" + p.Entry.Name, Unit: "fraction", Band: p.Kill[i]})
		}
		for _, g := range e.Genes {
			out = append(out, report.Series{Season: s.HarvestYear, Metric: "carriers_group_" + g.Group, Unit: "fraction", Band: g.Carriers[i]})
		}
	}
	return out
}

// evolvingColumns are the columns of replicates.csv, by metric.
func evolvingColumns(r ForecastRun) (names []string, metrics []sim.Metric) {
	e := r.Found.Evolves
	if e == nil {
		return nil, nil
	}
	for k, p := range e.Programmes {
		names, metrics = append(names, "kill_of_"+p.Entry.Name), append(metrics, sim.KillFirst+sim.Metric(k))
	}
	for _, g := range e.Genes {
		m := sim.Carriers1
		if g.Group == "2" {
			m = sim.Carriers2
		}
		names, metrics = append(names, "carriers_group_"+g.Group), append(metrics, m)
	}
	return names, metrics
}

// evolvingPicture is kill and carriers by season, of the programmes those that fall furthest, at most five panels.
func evolvingPicture(r ForecastRun) *figure.Bands {
	e := r.Found.Evolves
	c := forecastCaption(r.Run)
	c.Title = fmt.Sprintf("%s: what sprays kill of the %s as it then is", r.Calendar.Name, weedCalled(r.Calendar.Weed.Name))
	f := &figure.Bands{Caption: c, Seasons: strip(r.Found.Seasons)}
	for _, g := range e.Genes {
		if !neverCarried(g) {
			f.Panels = append(f.Panels, figure.Panel{Name: "Plants that carry resistance to group " + g.Group,
				Unit: "by " + oneGene(g), Kind: figure.Percent, Hue: figure.Vermilion, Bands: lineOf(g.Carriers)})
		}
	}
	last := len(r.Found.Seasons) - 1
	left := func(p study.Programme) float64 { return p.Kill[last].P50 / p.Kill[0].P50 }
	fallen := slices.SortedStableFunc(slices.Values(e.Programmes), func(a, b study.Programme) int { return cmp.Compare(left(a), left(b)) })
	for _, p := range fallen {
		if len(f.Panels) < 5 && !math.IsNaN(left(p)) && (len(f.Panels) == 0 || !holds(p)) {
			half := &figure.Threshold{Value: p.Kill[0].P50 / 2, Name: fmt.Sprintf("half of %d", r.Found.Seasons[0].HarvestYear)}
			f.Panels = append(f.Panels, figure.Panel{Name: "Kill by " + spoken(p.Entry.Name), Unit: "group " + strings.Join(p.Groups, ", "),
				Kind: figure.Percent,
				Hue:  figure.Blue, Bands: lineOf(p.Kill), Threshold: half})
		}
	}
	return f
}

// oneGene says in how many runs resistance to a group comes by one gene.
func oneGene(g study.Gene) string {
	if g.Share > 0.995 {
		return "one gene"
	}
	return "one gene, in " + report.Of100(g.Share) + " of 100 runs"
}

// neverCarried tells whether hardly a plant carries a gene in any season: there is nothing to draw.
func neverCarried(g study.Gene) bool {
	return !slices.ContainsFunc(g.Carriers, func(b report.Band) bool { return b.N > 0 && b.P95 >= 0.01 })
}

// holds tells whether a spray keeps its kill in nine runs of ten, or has none to lose.
func holds(p study.Programme) bool {
	return !p.Meant() || lastKill(&p).P05 > 0.95*p.Kill[0].P50
}

// lineOf is bands as figures draw them.
func lineOf(all []report.Band) []figure.Spread {
	out := make([]figure.Spread, len(all))
	for i, b := range all {
		out[i] = figure.None()
		if b.N > 0 {
			out[i] = figure.Spread{P05: b.P05, P25: b.P25, P50: b.P50, P75: b.P75, P95: b.P95}
		}
	}
	return out
}

// evolvingWays say how resistance comes.
const evolvingWays = "By one gene, resistance is rare for years and then common within three or four; by many, kill falls by a few points a year. " +
	"Old seed in the soil slows both. A stack of actives is only as good as those that still work."

// evolvingChapter is the page's chapter on resistance.
func evolvingChapter(r ForecastRun) report.Chapter {
	return report.Chapter{ID: "resistance", Title: "Resistance", Words: []string{
		evolvingWords(r.Calendar, r.Found.Evolves), evolvingWays},
		Pictures: []report.Picture{{Name: "resistance", Figure: evolvingPicture(r)}}, Leading: []report.Table{evolvingTable(r)}}
}
