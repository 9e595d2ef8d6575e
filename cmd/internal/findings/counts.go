package findings

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/sim/counts"
	"rundown/sim/study"
)

// CountsFormat names the JSON that counts writes. Within a format keys are only added.
const CountsFormat = "rundown.counts/1"

// CountsRun is what the report of counts is made from.
type CountsRun struct {
	Name  string // of the file
	From  report.Provenance
	Found *study.Counts
}

// quadratsCounted is what quadrats say, with the name of their file.
type quadratsCounted struct {
	CountsRun
	*study.Counts
}

var (
	density  = report.Form{Digits: 2, Least: 0.01}
	quadrats = report.Form{Digits: 2, Least: 1}
)

// answerFirst is how many groups an answer names.
const answerFirst = 3

// Counts assembles the report of counts.
func Counts(run CountsRun) *report.Report {
	c := &quadratsCounted{run, run.Found}
	warnings := c.warnings()
	r := &report.Report{
		Title:    c.Name + ": what the quadrats say",
		Subtitle: fmt.Sprintf("Intervals of %s %% by profile likelihood of a negative binomial.", report.Shortest(100*c.Level)),
		Tables:   []report.Table{c.table()},
		Pictures: c.pictures(),
		Warnings: warnings,
		Cautions: []string{"A count is of the quadrats that were counted. Place them by a rule, not where the weed is."},
		Method:   countsMethod(),
		Made:     report.Made{Provenance: c.From},
	}
	r.Sentences = c.pairSentences()
	for i := range c.Groups {
		r.Sentences = append(r.Sentences, groupSentence(&c.Groups[i]))
	}
	if n := len(r.Sentences) - answerFirst; c.Verdict == study.OnlyCounted && n > 0 { // the last counted are the answer, the very last first
		last := slices.Clone(r.Sentences[n:])
		slices.Reverse(last)
		r.Sentences = slices.Concat(last, r.Sentences[:n])
	}
	if len(c.Pairs) > 0 {
		r.Tables = append(r.Tables, c.pairTable())
	}
	r.Answer, r.Detail = c.answer(r.Sentences), report.Full
	r.Sentences = r.Sentences[min(answerFirst, len(r.Sentences)):]
	r.Document = c.document(r.Answer, warnings)
	r.Plans = plansOf(Run{Provenance: c.From})
	r.Page = func() *report.Page { return c.page(r) }
	return r
}

// answer is the first densities, and whether the sides differ.
func (c *quadratsCounted) answer(sentences []string) *report.Answer {
	a := &report.Answer{Verdict: string(c.Verdict)}
	var groups []report.Object
	for i := range c.Groups {
		g := &c.Groups[i]
		groups = append(groups, report.Object{{"date", g.Day.String()}, {"zone", g.Zone}, {"kind", g.Kind}, {"mean_per_m2", ends(g.Fit.MeanPerM2)}})
	}
	a.Facts = report.Object{{"groups", groups}, {"sides_differ", nil}}
	if c.Verdict != study.OnlyCounted {
		a.Facts[1].Value = c.Verdict == study.SidesDiffer
	}
	for _, s := range sentences[:min(answerFirst, len(sentences))] {
		for _, part := range strings.SplitAfter(s, ". ") {
			a.Sentences = append(a.Sentences, strings.TrimSpace(part))
		}
	}
	return a
}

func groupLabel(g *study.CountGroup) string {
	return fmt.Sprintf("%s, %s, %s", g.Day.Short(), g.Zone, spoken(g.Kind))
}

func groupSentence(g *study.CountGroup) string {
	m := g.Fit.MeanPerM2
	if m.Value == 0 {
		return fmt.Sprintf("%s: none in %s, %s m² in all. There may still be up to %s per m² (%s %% sure).", groupLabel(g),
			plural(g.Fit.Quadrats, "quadrat"), report.Shortest(math.Round(g.Fit.AreaM2*100)/100), upTo(m.High), brief(50*(1+g.Fit.Level), 3))
	}
	return fmt.Sprintf("%s: %s per m² (%s to %s) from %s.", groupLabel(g), density.Value(m.Value), density.Value(m.Low), upTo(m.High),
		plural(g.Fit.Quadrats, "quadrat"))
}

func (c *quadratsCounted) table() report.Table {
	t := report.Table{
		Keys: 3,
		Columns: []report.Column{{Head: "Date"}, {Head: "Zone"}, {Head: "Kind"}, {Head: "Quadrats", Right: true}, {Head: "Mean", Unit: "per m²", Band: true},
			{Head: "Empty", Unit: "%", Right: true}, {Head: "Variance", Unit: "over mean", Right: true}, {Head: "k", Unit: "patchiness", Band: true},
			{Head: "For ±20 %", Unit: "quadrats", Right: true}},
		Legend: "k near 0: very patchy; large: even. The last column is how many such quadrats would give a standard error of a fifth of the mean.",
	}
	for _, g := range c.Groups {
		f := &g.Fit
		mean := ratioWords(f.MeanPerM2, "–")
		need := "–"
		if n := f.Needed(0.2); n > 0 {
			need = strconv.Itoa(n)
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{g.Day.Short(), g.Zone, spoken(g.Kind), strconv.Itoa(f.Quadrats), mean,
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

func (c *quadratsCounted) warnings() []report.Warning {
	var out []report.Warning
	for _, w := range c.Warnings {
		g := w.Group
		switch w.Code {
		case study.FewQuadrats:
			out = append(out, report.Warning{Code: string(w.Code),
				Text: fmt.Sprintf("%s: %s: too few to tell how patchy the weed is; the interval leans on the negative binomial.", groupLabel(g),
					plural(g.Fit.Quadrats, "quadrat")),
				Lead:   "Too few quadrats to tell how patchy the weed is, so that the interval leans on the negative binomial:",
				Detail: fmt.Sprintf("%s (%d)", groupLabel(g), g.Fit.Quadrats)})
		case study.ThinSampling:
			out = append(out, report.Warning{Code: string(w.Code),
				Text: fmt.Sprintf("%s: the mean is known worse than to a third; about %d quadrats would bring it within 30 %%.", groupLabel(g), w.Enough),
				Lead: "The mean is known worse than to a third; so many quadrats would bring it within 30 %:", Detail: fmt.Sprintf("%s (%d)", groupLabel(g), w.Enough)})
		}
	}
	return out
}

// pairSentences say of each comparison which side is cleaner.
func (c *quadratsCounted) pairSentences() []string {
	if c.Compare && len(c.Pairs) == 0 {
		return []string{"There are no two zones counted on one date in one way, so there is nothing to compare."}
	}
	var out []string
	for i := range c.Pairs {
		out = append(out, verdict(&c.Pairs[i]))
	}
	return out
}

func (c *quadratsCounted) pairTable() report.Table {
	t := report.Table{Title: "Side by side", Keys: 1,
		Columns: []report.Column{{Head: "Compared"}, {Head: "Ratio of densities", Band: true}, {Head: "Sure it is cleaner", Unit: "%", Right: true},
			{Head: "More quadrats a side", Unit: "to settle it", Right: true}}}
	for i := range c.Pairs {
		p := &c.Pairs[i]
		more := "settled"
		switch {
		case p.More > 0:
			more = quadrats.Value(float64(p.More))
		case p.More < 0:
			more = "cannot be said"
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{fmt.Sprintf("%s %s: %s over %s", p.Cleaner.Day.Short(), spoken(p.Cleaner.Kind), p.Cleaner.Zone,
			p.Other.Zone),
			ratioWords(p.Ratio, "–"), strconv.Itoa(int(100 * p.Sure)), more}})
	}
	return t
}

func (c *quadratsCounted) pairObjects() []report.Object {
	out := []report.Object{}
	for i := range c.Pairs {
		p := &c.Pairs[i]
		out = append(out, report.Object{{"date", p.Cleaner.Day.String()}, {"kind", p.Cleaner.Kind}, {"zone", p.Cleaner.Zone}, {"other", p.Other.Zone},
			{"ratio", ends(p.Ratio)}, {"cleaner", p.Sure}, {"more_quadrats", orNull(moreOf(p.More))}})
	}
	return out
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
func verdict(p *study.Pair) string {
	cleaner, other, ratio, more := p.Cleaner, p.Other, p.Ratio, p.More
	where := fmt.Sprintf("%s, %s: ", cleaner.Day.Short(), spoken(cleaner.Kind))
	if math.IsNaN(ratio.Value) {
		return where + fmt.Sprintf("nothing was found in %s or in %s: these counts cannot tell them apart.", cleaner.Zone, other.Zone)
	}
	by := fmt.Sprintf("It has %s times the density (%s to %s).", upTo(ratio.Value), upTo(ratio.Low), upTo(ratio.High))
	if ratio.Value == 0 {
		by = "Nothing was found in it."
		if !math.IsInf(ratio.High, 1) {
			by = fmt.Sprintf("Nothing was found in it; its density is at most %s times the other's (%s %% sure).", upTo(ratio.High), brief(50*(1+cleaner.Fit.Level), 3))
		}
	}
	surely := fmt.Sprintf("%d %% sure", int(100*p.Sure))
	switch {
	case more == 0:
		return where + fmt.Sprintf("%s really is cleaner than %s, as far as counts can tell (%s). %s", cleaner.Zone, other.Zone, surely, by)
	case more > 0 && p.Fewest < study.FewestToSettle:
		return where + fmt.Sprintf("%s may be cleaner than %s (%s). %s Fewer than %d quadrats a side settle nothing: they do not show how patchy the weed is. "+
			"Count about %s more quadrats on each side; that settles it in half of such cases.", cleaner.Zone, other.Zone, surely, by, study.FewestToSettle,
			quadrats.Value(float64(more)))
	case more > 0:
		return where + fmt.Sprintf("%s may be cleaner than %s, but these quadrats do not settle it (%s). %s About %s more quadrats on each side would settle it "+
			"in half of such trials.",
			cleaner.Zone, other.Zone, surely, by, quadrats.Value(float64(more)))
	}
	return where + fmt.Sprintf("these counts cannot tell %s and %s apart. %s", cleaner.Zone, other.Zone,
		strings.Replace(by, "It has", sentence(cleaner.Zone)+" has", 1))
}

func (c *quadratsCounted) pictures() []report.Picture {
	var pictures []report.Picture
	var kinds []string
	for _, g := range c.Groups {
		if !slices.Contains(kinds, g.Kind) {
			kinds = append(kinds, g.Kind)
		}
	}
	slices.Sort(kinds)
	for _, kind := range kinds {
		f := &figure.Counts{Caption: figure.Caption{Title: c.Name + ": " + spoken(kind), Note: "Each dot is a quadrat; bars are means with intervals.",
			Provenance: builtLine(c.From)},
			Y: figure.Scale{Name: sentence(spoken(kind)), Unit: "per m²", Kind: figure.Linear}}
		for i := range c.Groups {
			g := &c.Groups[i]
			if g.Kind != kind {
				continue
			}
			group := figure.CountGroup{Date: g.Day.Short(), Zone: g.Zone,
				Mean: figure.Interval{Value: g.Fit.MeanPerM2.Value, Low: g.Fit.MeanPerM2.Low, High: g.Fit.MeanPerM2.High}}
			for _, q := range g.Quadrats {
				group.Counts = append(group.Counts, float64(q.N)/q.AreaM2)
			}
			f.Groups = append(f.Groups, group)
		}
		pictures = append(pictures, report.Picture{Name: "counts-" + kind, Figure: f})
	}
	return pictures
}

func (c *quadratsCounted) document(answer *report.Answer, warnings []report.Warning) report.Object {
	var groups []report.Object
	for _, g := range c.Groups {
		groups = append(groups, report.Object{{"date", g.Day.String()}, {"zone", g.Zone}, {"kind", g.Kind}, {"depth_cm", orNull(g.Depth())},
			{"quadrats", g.Fit.Quadrats}, {"area_m2", g.Fit.AreaM2},
			{"mean_per_m2", ends(g.Fit.MeanPerM2)}, {"k", ends(g.Fit.K)}, {"variance_to_mean", orNull(g.Fit.VarToMean)}, {"empty", g.Fit.Empty},
			{"quadrats_for_20_percent", g.Fit.Needed(0.2)}})
	}
	return report.Object{{"format", CountsFormat}, {"file", c.Name}, {"answer", answer.Object()}, {"level", c.Level}, {"version", c.From.Version},
		{"provenance", c.From.Object()},
		{"warnings", report.WarningObjects(warnings)}, {"groups", groups}, {"comparisons", c.pairObjects()}}
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

// ProvenanceDocument is provenance.json of counts.
func (c CountsRun) ProvenanceDocument() report.Object {
	return report.Object{{"format", "rundown.provenance/1"}, {"command", "counts"}, {"file", c.Name}, {"version", c.From.Version}, {"provenance", c.From.Object()}}
}

// CountsCSV writes the groups tidily.
func CountsCSV(w io.Writer, c CountsRun) error {
	out := report.NewCSV(w)
	// errors come at Error below
	_ = out.Write([]string{"date", "zone", "kind", "depth_cm", "quadrats", "mean_per_m2", "low_per_m2", "high_per_m2", "k", "empty_share"})
	for _, g := range c.Found.Groups {
		m := g.Fit.MeanPerM2
		_ = out.Write([]string{g.Day.String(), g.Zone, g.Kind, report.Cell(g.Depth()), strconv.Itoa(g.Fit.Quadrats), report.Cell(m.Value),
			report.Cell(m.Low), report.Cell(m.High), report.Cell(g.Fit.K.Value), report.Cell(g.Fit.Empty)})
	}
	out.Flush()
	return out.Error()
}
