package findings

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/drivers"
	"rundown/sim/study"
)

func (f *found) sentences() []string {
	if f.Empty() {
		return []string{fmt.Sprintf("%s does not differ between runs, so there is no spread to share out.", sentence(sim.Metrics[f.Analysis.Metric].Label))}
	}
	return []string{f.splitSentence(), f.leaders(), f.evidence(), f.weights(), f.together(), f.cost()}
}

// splitSentence shares the spread among the four kinds, with 95 % intervals.
func (f *found) splitSentence() string {
	var parts []string
	split := &f.Splits[f.Analysis.Season]
	for k, b := range f.Kinds() {
		verb := " "
		if k == 0 {
			verb = " by itself makes "
		}
		parts = append(parts, f.name(b)+verb+percentBand(split.Kinds[k], f.x.First[b].Low, f.x.First[b].High))
	}
	return fmt.Sprintf("Of the spread of %s at harvest %d, %s; acting together they make %s (95 %% intervals in brackets).%s",
		sim.Metrics[f.Analysis.Metric].Label, f.year(f.Analysis.Season), strings.Join(parts, ", "),
		percentBand(split.Together, 1-split.Sum.High, 1-split.Sum.Low), brought(split.All))
}

// brought says that shares were brought to 100 %, and from what; "" where they were not.
func brought(all float64) string {
	if math.Abs(all-1) <= 0.005 {
		return ""
	}
	return fmt.Sprintf(" They are brought to 100 %% from estimates that add up to %.0f %% where those below 0 are taken as 0: there are too few rows.", 100*all)
}

// percentBand is a share with its interval, as far as it lies within 0 and 1: 48 % (41–55).
func percentBand(value, low, high float64) string {
	return fmt.Sprintf("%s %% (%s–%s)", percentOf(value), percentOf(low), percentOf(high))
}

// percentOf is a share in per cent.
func percentOf(x float64) string { return fmt.Sprintf("%.0f", 100*math.Min(1, math.Max(0, x))) }

// leaders names what moves the answer most.
func (f *found) leaders() string {
	var parts []string
	for _, b := range f.ranked[:min(3, len(f.ranked))] {
		parts = append(parts, fmt.Sprintf("%s, total index %s", f.name(b), indexBand(f.x.Total[b])))
	}
	if len(parts) == 0 {
		return "No value was given an index of its own."
	}
	return "It hangs most on: " + strings.Join(parts, "; ") + "."
}

// evidence says which of the leading inputs rest on judgement or memory.
func (f *found) evidence() string {
	leading := f.Leading()
	var weak []string
	for _, b := range leading {
		if f.Weak(b) {
			weak = append(weak, fmt.Sprintf("%s: %s", f.name(b), f.Grade(b)))
		}
	}
	switch len(weak) {
	case 0:
		return fmt.Sprintf("None of the first %d rests on judgement or memory.", len(leading))
	case 1:
		return fmt.Sprintf("Of the first %d, one rests on judgement or memory: %s. A better number there would help most.", len(leading), weak[0])
	}
	if len(weak) == len(leading) {
		return fmt.Sprintf("All of the first %d rest on judgement or memory: %s. A better number there would help most.", len(leading), strings.Join(weak, "; "))
	}
	return fmt.Sprintf("Of the first %d, %d rest on judgement or memory: %s. A better number there would help most.", len(leading), len(weak),
		strings.Join(weak, "; "))
}

// weights says on what evidence the values rest, by what they make of the spread.
func (f *found) weights() string {
	e := f.Evidence
	var parts []string
	for _, g := range append(slices.Clone(drivers.Grades), "") {
		if share := e.Share[g]; share >= 0.0005 {
			name := cmp.Or(string(g), "your plan")
			parts = append(parts, fmt.Sprintf("%s %s ± %s %%", name, percentOf(share), percentOf(e.Error[g])))
		}
	}
	return "By what they make of the spread, the values rest on: " + strings.Join(parts, ", ") +
		" (share of all total indices; values without an index of their own by their effects in the screening)."
}

// together says how much of the spread single inputs make each for itself.
func (f *found) together() string {
	sum := f.Sum
	if sum.Value >= 1 {
		return fmt.Sprintf("First-order indices of all the rows below add up to %s, which is more than there is: there are too few rows to say what "+
			"inputs make together.", indexBand(sum))
	}
	return fmt.Sprintf("First-order indices of all the rows below add up to %s; what is missing to 1 is inputs acting together.", indexBand(sum))
}

// cost says what it took and how many runs would do.
func (f *found) cost() string {
	text := fmt.Sprintf("The widest interval is ±%s, from %s rows of %d runs.", index(f.Widest), report.Counted(f.x.Rows), f.PerRow)
	if f.doubts.RowsForWidth > f.x.Rows {
		text += fmt.Sprintf(" About %s rows would bring every one within ±0.05 (--replicates %d).", report.Counted(f.doubts.RowsForWidth), f.doubts.RowsForWidth)
	}
	return text
}

func (f *found) warnings() []report.Warning {
	var out []report.Warning
	if f.Starter {
		out = append(out, starterWarning())
	}
	for _, w := range f.Warnings {
		out = append(out, f.inWords(w))
	}
	if f.Calendar.Genes != nil {
		out = append(out, report.Warning{Code: string(study.Resistance), Text: resistanceWords(f.Calendar, nil)})
	}
	return out
}

func (f *found) inWords(w study.Warning) report.Warning {
	out := report.Warning{Code: string(w.Code)}
	switch w.Code {
	case study.OwnReturn:
		return *ownReturn(f.Calendar.Weed, w.Own)
	case study.NothingVaries:
		out.Text = "All runs give the same; no index can be formed."
	case study.RowsLeftOut:
		out.Text = fmt.Sprintf("%s of %s rows were left out, because a run in them has no value (the planned crop was not grown): the indices are of the rest.",
			report.Counted(int(w.X)), report.Counted(int(w.Y)))
	case study.OtherCrop:
		var crops []string
		for _, g := range f.Instead {
			crops = append(crops, spoken(g.Name))
		}
		s := f.Calendar.Seasons[f.Analysis.Season]
		out.Text = fmt.Sprintf("In %s of 100 runs harvest %d is of %s, for the %s did not go in in time: part of this spread lies between "+
			"crops.", percentOf(w.X), s.HarvestYear, strings.Join(crops, " or "), spoken(s.Courses[0].Crop.Name))
	case study.OrderOpen:
		return f.orderOpen()
	case study.NegativeIndex:
		odd := f.impossible()
		out.Usual = fmt.Sprintf("By itself an input makes at least nothing and at most its total, yet for %d it comes out otherwise: there are too few rows to "+
			"tell. That goes for every table and picture; --full names them.", len(odd))
		out.Text = fmt.Sprintf("A first-order index is at least 0 and at most its total, yet these are not: %s. There are too few rows to tell; that "+
			"goes for every table and picture here.", strings.Join(odd, "; "))
	}
	return out
}

// impossible names the first-order indices that cannot be what they come out as.
func (f *found) impossible() []string {
	var odd []string
	for _, x := range f.Impossible() {
		text := f.name(x.Block) + " " + index(f.x.First[x.Block].Value)
		if x.Above {
			text += " above " + index(f.x.Total[x.Block].Value)
		}
		odd = append(odd, text)
	}
	return odd
}

// orderOpen says which of the leading inputs cannot be put in order.
func (f *found) orderOpen() report.Warning {
	var pairs []string
	for _, t := range f.doubts.Tied {
		pairs = append(pairs, fmt.Sprintf("%s and %s", f.name(t[0]), f.name(t[1])))
	}
	more := "how many rows would settle it these cannot tell"
	if n := f.doubts.RowsForOrder; n > 0 {
		more = fmt.Sprintf("about %s rows would settle it", report.Counted(n))
	}
	var ranks []string
	for _, t := range f.doubts.Tied {
		at := slices.Index(f.ranked, t[0]) + 1
		ranks = append(ranks, fmt.Sprintf("%d and %d", at, at+1))
	}
	return report.Warning{Code: "order-open", Usual: fmt.Sprintf("Neighbours among the first %d whose order these runs cannot tell: %s; %s.",
		drivers.Leading, strings.Join(ranks, ", "), more),
		Text: fmt.Sprintf("Neighbours among the first %d whose order these runs cannot tell: %s; %s.", drivers.Leading, strings.Join(pairs, "; "), more)}
}

// remarks say what the single inputs are in full: path, sentence, middle and range of
// what is drawn, with the unit. The path can be pasted after --sweep where it is a value's.
func (f *found) remarks() []report.Term {
	var out []report.Term
	for k, b := range f.ranked {
		out = append(out, report.Term{Name: fmt.Sprint(k + 1), Text: f.key(b) + " – " + f.name(b) + ": " + drawnWords(f.input(b))})
	}
	return out
}
