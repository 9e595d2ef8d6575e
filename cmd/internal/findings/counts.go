package findings

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/params/date"
	"rundown/sim/counts"
)

// CountsFormat names the JSON that counts writes. Within a format keys are only added.
const CountsFormat = "rundown.counts/1"

// CountRow is one quadrat as written.
type CountRow struct {
	Day     date.Day
	Zone    string
	Kind    string // plants, heads or core-seedlings
	AreaM2  float64
	N       int
	DepthCM float64 // cores only
	Place   string  // file:line
}

// Counts is what the report of counts is made from.
type Counts struct {
	name    string
	level   float64
	compare bool
	groups  []countGroup
	from    report.Provenance
}

// countGroup is the quadrats of one date, kind and zone.
type countGroup struct {
	day   date.Day
	zone  string
	kind  string
	depth float64
	rows  []counts.Quadrat
	fit   counts.Fit
}

// CountsOf groups rows by date, kind and zone and fits each group.
func CountsOf(rows []CountRow, level float64, compare bool, name string, from report.Provenance) *Counts {
	c := &Counts{name: name, level: level, compare: compare, from: from}
	for _, r := range rows {
		i := slices.IndexFunc(c.groups, func(g countGroup) bool {
			return g.day == r.Day && g.zone == r.Zone && g.kind == r.Kind && g.depth == r.DepthCM
		})
		if i < 0 {
			c.groups = append(c.groups, countGroup{day: r.Day, zone: r.Zone, kind: r.Kind, depth: r.DepthCM})
			i = len(c.groups) - 1
		}
		c.groups[i].rows = append(c.groups[i].rows, counts.Quadrat{AreaM2: r.AreaM2, N: r.N})
	}
	slices.SortStableFunc(c.groups, func(a, b countGroup) int {
		return cmp.Or(cmp.Compare(a.day, b.day), strings.Compare(a.kind, b.kind), cmp.Compare(a.depth, b.depth), strings.Compare(a.zone, b.zone))
	})
	for i := range c.groups {
		c.groups[i].fit = counts.Estimate(c.groups[i].rows, level)
	}
	return c
}

var (
	density  = report.Form{Digits: 2, Least: 0.01}
	quadrats = report.Form{Digits: 2, Least: 1}
)

// answerFirst is how many groups an answer names.
const answerFirst = 3

// Report assembles the report.
func (c *Counts) Report() *report.Report {
	warnings := c.warnings()
	r := &report.Report{
		Title:    c.name + ": what the quadrats say",
		Subtitle: fmt.Sprintf("Intervals of %s %% by profile likelihood of a negative binomial.", report.Shortest(100*c.level)),
		Tables:   []report.Table{c.table()},
		Pictures: c.pictures(),
		Warnings: warnings,
		Cautions: []string{"A count is of the quadrats that were counted. Place them by a rule, not where the weed is."},
		Method:   countsMethod(),
		Made:     report.Made{Provenance: c.from},
	}
	for _, g := range c.groups {
		r.Sentences = append(r.Sentences, g.sentence())
	}
	var ratios []report.Object
	if c.compare {
		ratios = c.ratios(r)
	} else if n := len(r.Sentences) - answerFirst; n > 0 { // the last counted are the answer
		r.Sentences = slices.Concat(r.Sentences[n:], r.Sentences[:n])
	}
	r.Answer, r.Detail = c.answer(r.Sentences), report.Full
	r.Sentences = r.Sentences[min(answerFirst, len(r.Sentences)):]
	r.Document = c.document(r.Answer, warnings, ratios)
	r.Plans = plansOf(Run{Provenance: c.from})
	r.Page = func() *report.Page { return c.page(r) }
	return r
}

// Verdicts of counts.
const (
	countsDiffer  = "differ"  // the first two sides compared differ
	countsAlike   = "alike"   // they cannot be told apart
	countsCounted = "counted" // nothing was compared
)

// answer is the first densities, and whether the sides differ.
func (c *Counts) answer(sentences []string) *report.Answer {
	a := &report.Answer{Verdict: countsCounted}
	var groups []report.Object
	for i := range c.groups {
		g := &c.groups[i]
		groups = append(groups, report.Object{{"date", g.day.String()}, {"zone", g.zone}, {"kind", g.kind}, {"mean_per_m2", ends(g.fit.MeanPerM2)}})
	}
	a.Facts = report.Object{{"groups", groups}, {"sides_differ", nil}}
	for i := 1; c.compare && i < len(c.groups); i++ {
		if c.groups[i].alike(&c.groups[i-1]) {
			a.Verdict = countsAlike
			if counts.Compare(c.groups[i].rows, c.groups[i-1].rows, c.level).MoreNeeded == 0 {
				a.Verdict = countsDiffer
			}
			a.Facts[1].Value = a.Verdict == countsDiffer
			break
		}
	}
	for _, s := range sentences[:min(answerFirst, len(sentences))] {
		for _, part := range strings.SplitAfter(s, ". ") {
			a.Sentences = append(a.Sentences, strings.TrimSpace(part))
		}
	}
	return a
}

// alike tells whether two groups differ in nothing but the zone.
func (g *countGroup) alike(other *countGroup) bool {
	return g.kind == other.kind && g.day == other.day && g.depth == other.depth
}

func (g *countGroup) label() string {
	return fmt.Sprintf("%s, %s, %s", g.day.Short(), g.zone, spoken(g.kind))
}

func (g *countGroup) sentence() string {
	m := g.fit.MeanPerM2
	if m.Value == 0 {
		return fmt.Sprintf("%s: none in %s, %s m² in all. There may still be up to %s per m² (%s %% sure).", g.label(), plural(g.fit.Quadrats, "quadrat"), report.Shortest(math.Round(g.fit.AreaM2*100)/100), upTo(m.High), brief(50*(1+g.fit.Level), 3))
	}
	return fmt.Sprintf("%s: %s per m² (%s to %s) from %s.", g.label(), density.Value(m.Value), density.Value(m.Low), upTo(m.High), plural(g.fit.Quadrats, "quadrat"))
}

func (c *Counts) table() report.Table {
	t := report.Table{
		Keys: 3,
		Columns: []report.Column{{Head: "Date"}, {Head: "Zone"}, {Head: "Kind"}, {Head: "Quadrats", Right: true}, {Head: "Mean", Unit: "per m²", Band: true},
			{Head: "Empty", Unit: "%", Right: true}, {Head: "Variance", Unit: "over mean", Right: true}, {Head: "k", Unit: "patchiness", Band: true}, {Head: "For ±20 %", Unit: "quadrats", Right: true}},
		Legend: "k near 0: very patchy; large: even. The last column is how many such quadrats would give a standard error of a fifth of the mean.",
	}
	for _, g := range c.groups {
		f := &g.fit
		mean := ratioWords(f.MeanPerM2, "–")
		need := "–"
		if n := f.Needed(0.2); n > 0 {
			need = strconv.Itoa(n)
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{g.day.Short(), g.zone, spoken(g.kind), strconv.Itoa(f.Quadrats), mean,
			density.Value(math.Round(100 * f.Empty)), density.Value(f.VarToMean), kWords(f.K), need}})
	}
	return t
}

func kWords(k counts.Interval) string {
	if math.IsNaN(k.Value) || k.Low == 0 && math.IsInf(k.High, 1) {
		return "–"
	}
	write := func(x float64) string {
		if math.IsInf(x, 1) {
			return "even"
		}
		return density.Value(x)
	}
	return write(k.Value) + " (" + write(k.Low) + "–" + write(k.High) + ")"
}

func (c *Counts) warnings() []report.Warning {
	var out []report.Warning
	for _, g := range c.groups {
		if g.fit.Quadrats < 10 {
			out = append(out, report.Warning{Code: "few-quadrats", Text: fmt.Sprintf("%s: %s: too few to tell how patchy the weed is; the interval leans on the negative binomial.", g.label(), plural(g.fit.Quadrats, "quadrat")),
				Lead: "Too few quadrats to tell how patchy the weed is, so that the interval leans on the negative binomial:", Detail: fmt.Sprintf("%s (%d)", g.label(), g.fit.Quadrats)})
		}
		if n := g.fit.Needed(0.3); n > g.fit.Quadrats {
			out = append(out, report.Warning{Code: "thin-sampling", Text: fmt.Sprintf("%s: the mean is known worse than to a third; about %d quadrats would bring it within 30 %%.", g.label(), n),
				Lead: "The mean is known worse than to a third; so many quadrats would bring it within 30 %:", Detail: fmt.Sprintf("%s (%d)", g.label(), n)})
		}
	}
	return out
}

// ratios compares the zones of each kind and date with the first of them.
func (c *Counts) ratios(r *report.Report) []report.Object {
	var out []report.Object
	t := report.Table{Title: "Side by side", Keys: 1, Columns: []report.Column{{Head: "Compared"}, {Head: "Ratio of densities", Band: true}, {Head: "Sure it is cleaner", Unit: "%", Right: true}, {Head: "More quadrats a side", Unit: "to settle it", Right: true}}}
	var answers []string
	for i := range c.groups {
		first := &c.groups[i]
		if i > 0 && c.groups[i-1].alike(first) {
			continue
		}
		for j := i + 1; j < len(c.groups) && c.groups[j].alike(first); j++ {
			side := &c.groups[j]
			q := counts.Compare(side.rows, first.rows, c.level)
			cleaner, other, sure, ratio := side, first, q.Cleaner, q.Interval
			if sure < 0.5 {
				cleaner, other, sure = first, side, 1-sure
				ratio = counts.Interval{Value: 1 / q.Value, Low: 1 / q.High, High: 1 / q.Low}
			}
			n := min(len(side.rows), len(first.rows))
			more := "settled"
			switch {
			case q.MoreNeeded > 0:
				more = quadrats.Value(float64(q.MoreNeeded))
			case q.MoreNeeded < 0:
				more = "cannot be said"
			}
			t.Rows = append(t.Rows, report.Row{Cells: []string{fmt.Sprintf("%s %s: %s over %s", first.day.Short(), spoken(first.kind), cleaner.zone, other.zone),
				ratioWords(ratio, "–"), strconv.Itoa(int(100 * sure)), more}})
			answers = append(answers, verdict(cleaner, other, sure, ratio, q.MoreNeeded, n))
			out = append(out, report.Object{{"date", first.day.String()}, {"kind", first.kind}, {"zone", cleaner.zone}, {"other", other.zone},
				{"ratio", ends(ratio)}, {"cleaner", sure}, {"more_quadrats", orNull(moreOf(q.MoreNeeded))}})
		}
	}
	if len(t.Rows) == 0 {
		answers = []string{"There are no two zones counted on one date in one way, so there is nothing to compare."}
		r.Sentences = append(answers, r.Sentences...)
	} else {
		r.Sentences = append(answers, r.Sentences...)
		r.Tables = append(r.Tables, t)
	}
	return out
}

// depthOf is a depth, NaN where there is none.
func depthOf(cm float64) float64 {
	if cm == 0 {
		return math.NaN()
	}
	return cm
}

// moreOf is a number of quadrats, NaN where it cannot be said.
func moreOf(n int) float64 {
	if n < 0 {
		return math.NaN()
	}
	return float64(n)
}

// ratioWords is a ratio with its interval, as far as it has one.
func ratioWords(r counts.Interval, between string) string {
	if math.IsNaN(r.Value) {
		return "–"
	}
	return upTo(r.Value) + " (" + upTo(r.Low) + between + upTo(r.High) + ")"
}

// upTo writes a number that may be without limit.
func upTo(x float64) string {
	if math.IsInf(x, 1) {
		return "any"
	}
	return density.Value(x)
}

// verdict says whether one side really is cleaner, and then by how much it seems to be.
func verdict(cleaner, other *countGroup, sure float64, ratio counts.Interval, more, n int) string {
	where := fmt.Sprintf("%s, %s: ", cleaner.day.Short(), spoken(cleaner.kind))
	if math.IsNaN(ratio.Value) {
		return where + fmt.Sprintf("nothing was found in %s or in %s: these counts cannot tell them apart.", cleaner.zone, other.zone)
	}
	by := fmt.Sprintf("It has %s times the density (%s to %s).", upTo(ratio.Value), upTo(ratio.Low), upTo(ratio.High))
	if ratio.Value == 0 {
		by = "Nothing was found in it."
		if !math.IsInf(ratio.High, 1) {
			by = fmt.Sprintf("Nothing was found in it; its density is at most %s times the other's (%s %% sure).", upTo(ratio.High), brief(50*(1+cleaner.fit.Level), 3))
		}
	}
	surely := fmt.Sprintf("%d %% sure", int(100*sure))
	switch {
	case more == 0:
		return where + fmt.Sprintf("%s really is cleaner than %s, as far as counts can tell (%s). %s", cleaner.zone, other.zone, surely, by)
	case more > 0 && n < counts.FewestToSettle:
		return where + fmt.Sprintf("%s may be cleaner than %s (%s). %s Fewer than %d quadrats a side settle nothing: they do not show how patchy the weed is. "+
			"Count about %s more on each side; that settles it in half of such cases.", cleaner.zone, other.zone, surely, by, counts.FewestToSettle,
			quadrats.Value(float64(more)))
	case more > 0:
		return where + fmt.Sprintf("%s may be cleaner than %s, but these quadrats do not settle it (%s). %s About %s more on each side would settle it in half of such trials.",
			cleaner.zone, other.zone, surely, by, quadrats.Value(float64(more)))
	}
	return where + fmt.Sprintf("these counts cannot tell %s and %s apart. %s", cleaner.zone, other.zone, strings.Replace(by, "It has", sentence(cleaner.zone)+" has", 1))
}

func (c *Counts) pictures() []report.Picture {
	var pictures []report.Picture
	var kinds []string
	for _, g := range c.groups {
		if !slices.Contains(kinds, g.kind) {
			kinds = append(kinds, g.kind)
		}
	}
	slices.Sort(kinds)
	for _, kind := range kinds {
		f := &figure.Counts{Caption: figure.Caption{Title: c.name + ": " + spoken(kind), Note: "Each dot is a quadrat; bars are means with intervals.", Provenance: builtLine(c.from)},
			Y: figure.Scale{Name: sentence(spoken(kind)), Unit: "per m²", Kind: figure.Linear}}
		for i := range c.groups {
			g := &c.groups[i]
			if g.kind != kind {
				continue
			}
			group := figure.CountGroup{Date: g.day.Short(), Zone: g.zone, Mean: figure.Interval{Value: g.fit.MeanPerM2.Value, Low: g.fit.MeanPerM2.Low, High: g.fit.MeanPerM2.High}}
			for _, q := range g.rows {
				group.Counts = append(group.Counts, float64(q.N)/q.AreaM2)
			}
			f.Groups = append(f.Groups, group)
		}
		pictures = append(pictures, report.Picture{Name: "counts-" + kind, Figure: f})
	}
	return pictures
}

func (c *Counts) document(answer *report.Answer, warnings []report.Warning, ratios []report.Object) report.Object {
	var groups []report.Object
	for _, g := range c.groups {
		groups = append(groups, report.Object{{"date", g.day.String()}, {"zone", g.zone}, {"kind", g.kind}, {"depth_cm", orNull(depthOf(g.depth))}, {"quadrats", g.fit.Quadrats}, {"area_m2", g.fit.AreaM2},
			{"mean_per_m2", ends(g.fit.MeanPerM2)}, {"k", ends(g.fit.K)}, {"variance_to_mean", orNull(g.fit.VarToMean)}, {"empty", g.fit.Empty}, {"quadrats_for_20_percent", g.fit.Needed(0.2)}})
	}
	if ratios == nil {
		ratios = []report.Object{}
	}
	return report.Object{{"format", CountsFormat}, {"file", c.name}, {"answer", answer.Object()}, {"level", c.level}, {"version", c.from.Version}, {"provenance", c.from.Object()},
		{"warnings", report.WarningObjects(warnings)}, {"groups", groups}, {"comparisons", ratios}}
}

// ends is an interval; an infinite or missing end is null.
func ends(i counts.Interval) report.Object {
	return report.Object{{"value", orNull(i.Value)}, {"low", orNull(i.Low)}, {"high", orNull(i.High)}}
}

func orNull(x float64) any {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return x
}

// Provenance is provenance.json of counts.
func (c *Counts) Provenance() report.Object {
	return report.Object{{"format", "rundown.provenance/1"}, {"command", "counts"}, {"file", c.name}, {"version", c.from.Version}, {"provenance", c.from.Object()}}
}

// CSV writes the groups tidily.
func (c *Counts) CSV(w io.Writer) error {
	out := report.NewCSV(w)
	_ = out.Write([]string{"date", "zone", "kind", "depth_cm", "quadrats", "mean_per_m2", "low_per_m2", "high_per_m2", "k", "empty_share"}) // errors come at Error below
	for _, g := range c.groups {
		m := g.fit.MeanPerM2
		_ = out.Write([]string{g.day.String(), g.zone, g.kind, report.Cell(depthOf(g.depth)), strconv.Itoa(g.fit.Quadrats), report.Cell(m.Value), report.Cell(m.Low), report.Cell(m.High), report.Cell(g.fit.K.Value), report.Cell(g.fit.Empty)})
	}
	out.Flush()
	return out.Error()
}
