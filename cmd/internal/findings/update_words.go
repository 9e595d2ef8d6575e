package findings

import (
	"fmt"
	"math"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/counts"
	"rundown/sim/study"
)

func (u *updated) sentences() []string {
	var out []string
	for _, v := range u.verdicts() {
		out = append(out, v.Word+v.Text)
	}
	if text := u.disagreeing(); text != "" {
		out = append(out, text)
	}
	out = append(out, u.seedSentence(), u.movedSentence(), u.methodSentence())
	if u.Posterior != "" {
		out = append(out, fmt.Sprintf("'rundown forecast', 'compare' and 'drilling' go on from here with --posterior %s.", u.Posterior))
	}
	return out
}

// disagreeing names the counts whose own range and the range after all counts have
// nothing in common; "" for none.
func (u *updated) disagreeing() string {
	var names []string
	for i := range u.Counts {
		m, after := u.Result.Seen[i].Counted.MeanPerM2, u.Result.Seen[i].Posterior
		if m.High < after.P05 || m.Low > after.P95 {
			names = append(names, u.label(i))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return fmt.Sprintf("Model and quadrats still disagree after all counts on: %s.", strings.Join(names, "; "))
}

// verdicts are the answer. Where a count lies beyond what the model can give, that
// comes first, and nothing is called better known.
func (u *updated) verdicts() []report.Verdict {
	for i := range u.Counts {
		if w := u.outside(i); len(w) > 0 {
			c, s := u.last()
			state := fmt.Sprintf(": on %s the model's field has %s %s per m² with these counts; the quadrats alone say %s.",
				c.Watch.Day.Short(), within(density, report.Band(s.Posterior)), countKinds[c.Kind][1], quadratsSay(s.Counted.MeanPerM2))
			future := u.futureVerdict()
			future.Word = "What follows is not to be relied on"
			return []report.Verdict{{Word: "A count lies beyond the model", Text: ": " + w[0].Text}, {Word: "Model and field stand apart", Text: state}, future}
		}
	}
	return []report.Verdict{u.stateVerdict(), u.futureVerdict()}
}

// within is a middle and a 90 % range: 29 (21 to 39).
func within(f report.Form, q report.Band) string {
	return f.Value(q.P50) + fromTo(f.Value(q.P05), f.Value(q.P95))
}

func fromTo(low, high string) string {
	if low == high {
		return ""
	}
	return " (" + low + " to " + high + ")"
}

// quadratsSay is a density with its interval, as far as it has one.
func quadratsSay(x counts.Interval) string { return upTo(x.Value) + fromTo(upTo(x.Low), upTo(x.High)) }

// directionWords say how the field stands to what was expected of it.
var directionWords = map[study.Direction]string{
	study.More: "More weed than was forecast", study.Less: "Less weed than was forecast", study.AsForecast: "Within the forecast",
}

// stateVerdict is what the field had on the day of the last count.
func (u *updated) stateVerdict() report.Verdict {
	c, s := u.last()
	before, after := report.Band(s.Prior), report.Band(s.Posterior)
	v := report.Verdict{Word: directionWords[u.Direction],
		Text: fmt.Sprintf(": on %s the model now puts %s %s per m²%s; the forecast had %s, the quadrats alone say %s.",
			c.Watch.Day.Short(), density.Value(after.P50), countKinds[c.Kind][1], nineInTen(density.Value(after.P05), density.Value(after.P95)), within(density, before),
			quadratsSay(s.Counted.MeanPerM2))}
	if all, ok := u.headsInAll(); ok {
		v.Text += fmt.Sprintf(" Those are the heads that are out that day, now of %s in all, in the forecast of %s.", all.after, all.before)
	}
	return v
}

// openness is how far the heads at the plan's end are known, against what was thought before.
type openness int

const (
	asOpen openness = iota
	better
	onFew // better, on few histories
	wider
)

func (u *updated) openness() openness {
	switch r := u.Narrower; {
	case r > 0.2 && u.Result.Families >= fewFamilies:
		return better
	case r > 0.2:
		return onFew
	case r < -0.2:
		return wider
	}
	return asOpen
}

// futureVerdict is what that makes of the heads at the plan's end.
func (u *updated) futureVerdict() report.Verdict {
	n := len(u.after) - 1
	before, after := u.before[n].Bands[sim.Heads], u.after[n].Bands[sim.Heads]
	word := "Heads at the plan's end " + map[openness]string{asOpen: "are as open as before", better: "are better known, for their size",
		onFew: "look better known, on few histories", wider: "are less certain than before"}[u.openness()]
	return report.Verdict{Word: word, Text: fmt.Sprintf(": %s heads per m² at harvest %d%s, where the forecast had %s. %s", density.Value(after.P50),
		u.after[n].HarvestYear,
		nineInTen(density.Value(after.P05), density.Value(after.P95)), within(density, before), factors(before, after))}
}

// factors says how far the ends of a range lie apart, before and now.
func factors(before, after report.Band) string {
	switch {
	case after.P05 == 0:
		return fmt.Sprintf("In %s of 100 runs none are left; it was %s.", report.Of100(after.Zero), report.Of100(before.Zero))
	case before.P05 == 0:
		return fmt.Sprintf("In %s of 100 runs of the forecast none were left.", report.Of100(before.Zero))
	}
	return fmt.Sprintf("The upper end of that range is now %s times its lower; it was %s times.", whole(after.P95/after.P05), whole(before.P95/before.P05))
}

func whole(x float64) string { return report.Form{Digits: 2, Least: 0.1}.Value(x) }

func (u *updated) seedSentence() string {
	i := u.Ahead
	before, after := u.before[i].Bands[sim.SeedAfter], u.after[i].Bands[sim.SeedAfter]
	form := forms[sim.SeedbankJune]
	return fmt.Sprintf("Seed of harvest %d, what lay in the soil and what was shed that year: %s per m²%s; the forecast had %s.", u.after[i].HarvestYear,
		form.Value(after.P50), nineInTen(form.Value(after.P05), form.Value(after.P95)), within(form, before))
}

func (u *updated) movedSentence() string {
	moved := u.Moved
	if len(moved) == 0 {
		return "No single uncertain value moved beyond the method's own noise: the counts tell what this field has, not why."
	}
	var names []string
	for _, m := range moved[:min(3, len(moved))] {
		way := "up"
		if m.Shift < 0 {
			way = "down"
		}
		names = append(names, fmt.Sprintf("%s %s by %.1f", valueName(m.Value), way, math.Abs(m.Shift)))
	}
	return fmt.Sprintf("The counts moved %s beyond noise, in standard deviations of what was thought before: %s.", plural(len(moved), "uncertain value"),
		strings.Join(names, "; "))
}

// scheme is how the counts were let in.
const scheme = "iterated batch importance sampling, tempered, with resample-move"

// schemeReferences are the scheme's sources in full.
var schemeReferences = []string{
	"Chopin 2002, Biometrika 89:539–552",
	"Neal 2001, Statistics and Computing 11:125–139",
	"Del Moral, Doucet & Jasra 2006, Journal of the Royal Statistical Society B 68:411–436",
	"Gilks & Berzuini 2001, Journal of the Royal Statistical Society B 63:127–146",
	"Cotter, Roberts, Stuart & White 2013, Statistical Science 28:424–446",
}

func (u *updated) methodSentence() string {
	drawn := 0
	for _, s := range u.Result.Steps {
		if s.Drawn {
			drawn++
		}
	}
	drew := "None had to be drawn anew"
	if drawn > 0 {
		drew = fmt.Sprintf("They were drawn anew and moved %s, and come from %s of the first: bands rest on so many lines", times(drawn),
			report.Counted(u.Result.Families))
	}
	return fmt.Sprintf("Of %s histories, the effective sample size was at least %s on the way and is %s at the end by weight. %s.",
		report.Counted(u.Replicates), report.Counted(int(u.LeastESS)), report.Counted(int(u.Result.Effective+0.5)), drew)
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return report.Counted(n) + " times"
}

// few are the quadrats and the families below which a result is thin.
const (
	fewQuadrats  = 10
	fewFamilies  = 30
	fewEffective = 50
	stuck        = 0.02 // share of moves taken
)

func (u *updated) warnings() []report.Warning {
	var out []report.Warning
	for i := range u.Counts {
		out = append(out, u.outside(i)...)
		if n := u.Result.Seen[i].Counted.Quadrats; n < fewQuadrats {
			out = append(out, report.Warning{Code: "few-quadrats",
				Text: fmt.Sprintf("%s: %s say little about a patchy weed.", sentence(u.label(i)), plural(n, "quadrat")),
				Lead: fmt.Sprintf("Fewer than %d quadrats say little about a patchy weed:", fewQuadrats), Detail: u.label(i)})
		}
	}
	if len(u.Zones) > 1 {
		out = append(out, report.Warning{Code: "zones-together",
			Text: fmt.Sprintf("The quadrats of the zones %s are taken together: a plan is of one field. Where they differ, use one with --zone.",
				strings.Join(u.Zones, ", "))})
	}
	if len(u.LeftOut) > 0 {
		out = append(out, report.Warning{Code: "zones-left-out", Text: fmt.Sprintf("Left out: the zones %s.", strings.Join(u.LeftOut, ", "))})
	}
	if u.Result.Strayed >= 0.05 {
		out = append(out, report.Warning{Code: "histories-set-aside",
			Text: fmt.Sprintf("In %s of 100 runs of the forecast a planned crop could not be drilled in time. The plan says what was done until the last "+
				"count, so those runs are set aside; with your own weather in the plan fewer would be.", report.Of100(u.Result.Strayed))})
	}
	if u.Result.Families < fewFamilies || u.LeastESS < fewEffective {
		out = append(out, report.Warning{Code: "few-histories",
			Text: fmt.Sprintf("The histories at the end descend from %d of %s, with an effective sample size that fell to %s: bands and shifts are rough. "+
				"More --replicates make them steadier.", u.Result.Families, report.Counted(u.Replicates), report.Counted(int(u.LeastESS)))})
	}
	for _, s := range u.Result.Steps {
		if s.Drawn && s.Values < stuck && s.Luck < stuck {
			out = append(out, report.Warning{Code: "histories-stuck", Text: "Hardly any history could be moved after drawing anew: the bands may be too narrow."})
			break
		}
	}
	if u.Starter {
		out = append(out, starterWarning())
	}
	var asked []study.Warning
	for _, w := range u.After.Warnings {
		if w.Code == study.WorkNotDone || w.Code == study.Resistance {
			asked = append(asked, w)
		}
	}
	return append(out, allInWords(u.Run, u.after, asked)...)
}

func (u *updated) label(i int) string {
	return fmt.Sprintf("%s on %s", countKinds[u.Counts[i].Kind][1], u.Counts[i].Watch.Day.Short())
}

// outside warns of a count that the model cannot give: not from what was known
// before, or not from what the counts before it had left.
func (u *updated) outside(i int) []report.Warning {
	s := &u.Result.Seen[i]
	const missing = "the model, or the count, is missing something"
	how := func(tail float64) string {
		if tail < 0.5 {
			return "fewer"
		}
		return "more"
	}
	counted := fmt.Sprintf("%s: %s per m² were counted", sentence(u.label(i)), density.Value(s.Counted.MeanPerM2.Value))
	switch {
	case u.Outside[i] == study.OutsideAll && s.Prior.P95 == 0 && s.PriorTail > 0.5:
		return []report.Warning{{Code: "outside-forecast",
			Text: fmt.Sprintf("%s, and the model's field has none on that day. Is the date right? Otherwise %s.", counted, missing)}}
	case u.Outside[i] == study.OutsideAll:
		return []report.Warning{{Code: "outside-forecast",
			Text: fmt.Sprintf("%s, %s than anything the forecast could give (nine in ten of such counts: %s to %s): %s. What follows from it is held to the "+
				"model's limits.",
				counted, how(s.PriorTail), density.Value(s.Expected.P05), density.Value(s.Expected.P95), missing)}}
	case u.Outside[i] == study.OutsideEarlier:
		return []report.Warning{{Code: "outside-earlier-counts",
			Text: fmt.Sprintf("%s, %s than the counts before it leave room for: %s. It is possible in the forecast, but not after those.", counted,
				how(s.BeforeTail), missing)}}
	}
	return nil
}
