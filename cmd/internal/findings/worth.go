package findings

import (
	"fmt"
	"math"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim/study"
)

// WorthFormat names the JSON that worth writes. Within a format keys are only added.
const WorthFormat = "rundown.worth/1"

// WorthRun is what the report of what a rule is worth is made from.
type WorthRun struct {
	Run
	Found *study.Worth
}

// worthMethod says how values are taken.
const worthMethod = "Money is the value a year: the equal yearly sum with the present value of the plan's margins, less what the seed left behind " +
	"costs later. " +
	"What is chosen (best fixed plan, thresholds, quadrats) is chosen on runs of its own and valued on the runs of a forecast, run by run under the same " +
	"luck, so that it is not the luckiest. " +
	"The value of looking is the expected value of sample information among rules of this form (Raiffa & Schlaifer 1961), with the threshold chosen anew " +
	"for each number of quadrats. " +
	"Seeing what is there is sight of that day's density alone: not of the weather to come, nor of the field's values. A value may come out below 0. " +
	"Errors are half-widths of 95 % intervals of the mean."

// Worth assembles the report of what a rule is worth.
func Worth(r WorthRun) *report.Report {
	out := &report.Report{
		Title:    fmt.Sprintf("%s: what the rule for %s is worth", r.Calendar.Name, spoken(r.Found.Ruling.Of)),
		Subtitle: forecastSubtitle(r.Run) + fmt.Sprintf(" Chosen on %s of their own. ", runsOf(r.Found.Choosing)) + worthBehind(r),
		Answer:   worthAnswer(r),
		Short:    looksTable(r),
		Lines:    40,
		Tables:   []report.Table{looksTable(r), writtenTable(r), thresholdTable(r), fixedTable(r)},
		Pictures: worthPictures(r),
		Warnings: worthWarnings(r),
		Cautions: Cautions(),
		Method:   worthMethod,
		Document: worthDocument(r),
		Made:     r.made(r.Replicates),
		Plans:    plansOf(r.Run),
	}
	out.Page = func() *report.Page { return worthPage(r, out) }
	return out
}

// worthBehind says what is grown behind the plan, which decides what seed costs.
func worthBehind(r WorthRun) string {
	all, err := r.Calendar.Continued(rotations.Behind{})
	if err != nil {
		return "" // it was run, so it can be continued
	}
	return fmt.Sprintf("Behind the plan %s grown: what the weed takes of %s yield there is what the seed left costs.", cropsBehind(all), itsOrTheir(all.After))
}

// money a year, to one digit behind the point below 10.
var yearMoney = report.Form{Digits: 2, Least: 0.1}

func (r WorthRun) unit() string { return perArea(r.Calendar) + " a year" }

// per is an estimate of money over land as it is shown.
func (r WorthRun) per(e study.Estimate) study.Estimate {
	e.Mean, e.Error = r.Calendar.Area.Per(e.Mean), r.Calendar.Area.Per(e.Error)
	return e
}

// withError writes a difference with its sign and error.
func (r WorthRun) withError(e study.Estimate) string {
	e = r.per(e)
	return fmt.Sprintf("%s (±%s)", plusMinus(e.Mean), yearMoney.Value(e.Error))
}

func plusMinus(x float64) string {
	text := yearMoney.Value(math.Abs(x))
	switch {
	case math.Abs(x) < yearMoney.Least:
		return "0"
	case x < 0:
		return "-" + text
	}
	return "+" + text
}

// looksName is a number of quadrats in words.
func looksName(n int) string {
	switch n {
	case study.Truth:
		return "what is there"
	case 0:
		return "no look"
	case 1:
		return "1 quadrat"
	}
	return fmt.Sprintf("%d quadrats", n)
}

// boundWords is a threshold in words.
func boundWords(b study.Bound) string {
	switch {
	case b.Always:
		return "always"
	case b.Never:
		return "never"
	}
	return report.Shortest(b.X)
}

func looksTable(r WorthRun) report.Table {
	w := r.Found
	t := report.Table{Title: "What a better look is worth", Keys: 1, Apart: true, Tight: true,
		Columns: []report.Column{{Head: "Seen by"}, {Head: "Threshold", Unit: quantityUnit(w.Ruling.What), Right: true}, {Head: "Worth", Unit: r.unit(),
			Right: true},
			{Head: "Cost", Unit: r.unit(), Right: true}, {Head: "Less its cost", Unit: r.unit(), Right: true}, {Head: ""}},
		Legend: "Against always or never, whichever earns more with no look. The threshold is the best for each number of quadrats.",
		Foot:   lookedForNothing(w),
	}
	for i, l := range w.By {
		mark := ""
		switch {
		case l.Quadrats != 0 && held(l.Threshold):
			continue // nobody looks: the foot says so
		case i == w.BestLook:
			mark = "best"
		case l.AsGood && l.Quadrats != study.Truth:
			mark = "as good"
		}
		cells := []string{looksName(l.Quadrats), boundWords(l.Threshold), r.withError(l.Value), yearMoney.Value(r.Calendar.Area.Per(l.Cost)),
			r.withError(l.Net), mark}
		if l.Quadrats == 0 {
			cells[2], cells[4] = "0", "0"
		}
		t.Rows = append(t.Rows, report.Row{Cells: cells})
	}
	return t
}

// writtenTable is what a better look is worth where the threshold stays as it is.
func writtenTable(r WorthRun) report.Table {
	w := r.Found
	fewest := looksName(w.By[1].Quadrats)
	t := report.Table{Title: fmt.Sprintf("A better look with the threshold of %s that you wrote", report.Shortest(w.Ruling.Threshold)), Keys: 1, Apart: true,
		Columns: []report.Column{{Head: "Seen by"}, {Head: "Worth", Unit: r.unit(), Right: true}, {Head: "Than " + fewest, Unit: r.unit(), Right: true}},
		Legend: "Before the cost of counting, against always or never. With a threshold that is not the best a better look may be worth less: it only keeps " +
			"to it more closely."}
	for _, l := range w.By[1:] {
		than := r.withError(l.Fewest)
		if l.Quadrats == w.By[1].Quadrats {
			than = "–"
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{looksName(l.Quadrats), r.withError(l.Written), than}})
	}
	return t
}

// lookedForNothing says of which numbers of quadrats no threshold is better than not to look.
func lookedForNothing(w *study.Worth) string {
	var names []string
	truth := ""
	for _, l := range w.By[1:] {
		switch {
		case !held(l.Threshold):
		case l.Quadrats == study.Truth:
			truth = "even what is there"
		default:
			names = append(names, fmt.Sprint(l.Quadrats))
		}
	}
	if len(names) > 0 {
		truth = strings.TrimSuffix(strings.Join(names, ", ")+" quadrats, "+truth, ", ")
	}
	if truth == "" {
		return ""
	}
	return fmt.Sprintf("Seen by %s: no threshold is better than %s, so nobody need look.", truth, boundWords(w.By[0].Threshold))
}

// held tells whether a rule holds whatever is seen, or never.
func held(b study.Bound) bool { return b.Always || b.Never }

// quantityUnit is the unit of what is counted.
func quantityUnit(what string) string {
	return map[string]string{"heads_per_m2": "heads/m²", "plants_per_m2": "plants/m²", "seed_per_m2": "seedlings/m²"}[what]
}

func thresholdTable(r WorthRun) report.Table {
	w := r.Found
	t := report.Table{Title: "Which threshold pays", Keys: 1, Apart: true,
		Columns: []report.Column{{Head: "Threshold", Unit: quantityUnit(w.Ruling.What), Right: true}, {Head: "Value", Unit: r.unit(), Right: true},
			{Head: "Than the best", Unit: r.unit(), Right: true}, {Head: "Margin", Unit: r.unit(), Right: true}, {Head: "Seed at the end",
				Unit: "per m²", Right: true}, {Head: ""}},
		Legend: "With the plan's own counting, which is paid for. Margin is the plan's own, without what its seed costs later; seed counts what was shed last. " +
			"The best was chosen on other runs, so that another may come out a little above it here. Thresholds that decide alike in every run share a row.",
	}
	for _, g := range stretches(w.Points) {
		p := w.Points[g.from]
		mark := ""
		switch {
		case g.from <= w.BestPoint && w.BestPoint <= g.to:
			mark = "best"
		case p.AsGood:
			mark = "as good"
		}
		less, name := r.withError(p.Less), boundWords(p.Bound)
		if mark == "best" {
			less = "–"
		}
		if g.from < g.to {
			name += " to " + boundWords(w.Points[g.to].Bound)
		}
		money := func(x float64) string { return perMargin(r.Calendar.Area, x) }
		t.Rows = append(t.Rows, report.Row{Cells: []string{name, money(p.Value.Mean), less, money(p.Margin),
			forms[seedMetric].Value(p.Seed), mark}})
	}
	return t
}

// stretch is of points beside each other.
type stretch struct{ from, to int }

// stretches are the points, those beside each other that decide alike in every run together.
func stretches(points []study.ThresholdPoint) []stretch {
	var out []stretch
	for i := range points {
		if n := len(out) - 1; n >= 0 && points[i].DecidesAs(&points[out[n].from]) {
			out[n].to = i
			continue
		}
		out = append(out, stretch{i, i})
	}
	return out
}

func fixedTable(r WorthRun) report.Table {
	t := report.Table{Title: "Plans that never look", Keys: 1, Apart: true,
		Columns: []report.Column{{Head: "Plan"}, {Head: "Value", Unit: r.unit(), Right: true}},
		Legend:  "On the runs that the best was chosen on.",
	}
	for _, f := range r.Found.Fixed {
		t.Rows = append(t.Rows, report.Row{Cells: []string{f.Words, fmt.Sprintf("%s (±%s)", perMargin(r.Calendar.Area, f.Value.Mean),
			yearMoney.Value(r.Calendar.Area.Per(f.Value.Error)))}})
	}
	return t
}

func worthPictures(r WorthRun) []report.Picture {
	w := r.Found
	caption := func(title string) figure.Caption {
		return figure.Caption{Title: r.Calendar.Name + ": " + title, Subtitle: forecastSubtitle(r.Run),
			Note: "Means with their 95 % intervals.", Provenance: provenanceLine(r.Run)}
	}
	looks := &figure.Dots{Caption: caption("what a better look is worth, before its cost and less it"), Bars: true,
		X: figure.Scale{Name: "Against always or never", Unit: r.unit()}, Main: "before the cost of counting", Also: "less it"}
	for _, l := range w.By[1:] {
		under := "threshold " + boundWords(l.Threshold)
		if held(l.Threshold) {
			under = boundWords(l.Threshold) + ", without a look"
		}
		row := figure.DotRow{Name: looksName(l.Quadrats), Under: under, Main: r.meanInterval(l.Value)}
		if l.Quadrats != study.Truth {
			net := r.meanInterval(l.Net)
			row.Also = &net
		}
		looks.Rows = append(looks.Rows, row)
	}
	points := &figure.Dots{Caption: caption("what a threshold costs against the best"),
		X: figure.Scale{Name: "Against the best threshold", Unit: r.unit()}}
	for _, g := range stretches(w.Points) {
		p := w.Points[g.from]
		name := thresholdName(w, p.Bound)
		if g.from < g.to {
			name += " to " + boundWords(w.Points[g.to].Bound)
		}
		points.Rows = append(points.Rows, figure.DotRow{Name: name, Main: r.meanInterval(p.Less)})
	}
	return []report.Picture{{Name: "looking", Figure: looks}, {Name: "threshold", Figure: points}}
}

func (r WorthRun) meanInterval(e study.Estimate) figure.Interval {
	e = r.per(e)
	return figure.Interval{Value: e.Mean, Low: e.Mean - e.Error, High: e.Mean + e.Error}
}

func thresholdName(w *study.Worth, b study.Bound) string {
	if b.Always || b.Never {
		return boundWords(b)
	}
	side := "below "
	if w.Ruling.Above {
		side = "above "
	}
	return side + report.Shortest(b.X)
}
