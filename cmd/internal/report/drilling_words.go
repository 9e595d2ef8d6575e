package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/decide"
)

// money is the unit of the margin from the season on.
func (s *sweep) money() string {
	if s.Season == len(s.Calendar.Seasons)-1 {
		return s.Calendar.Currency + "/ha"
	}
	return s.Calendar.Currency + "/ha a year"
}

// horizon says over which seasons the mean yearly margin is taken.
func (s *sweep) horizon() string {
	seasons := s.Calendar.Seasons
	first, last := seasons[s.Season].HarvestYear, seasons[len(seasons)-1].HarvestYear
	if first == last {
		return fmt.Sprintf("harvest %d", first)
	}
	return fmt.Sprintf("harvests %d to %d", first, last)
}

func (s *sweep) sentences() []string {
	first, last := 0, len(s.Dates)-1
	pounds := func(x float64) string { return forms[sim.Margin].Value(rounded10(x)) }
	if s.best.From == 0 && s.best.To == last && last > 0 {
		return s.alike(pounds)
	}
	best := fmt.Sprintf("Best median margin over %s: planned for %s%s, %s %s%s.", s.horizon(), dayOfYear(s.Dates[s.best.Best]), s.tooLate(", "), pounds(s.best.Medians[s.best.Best]), s.money(), s.butMissed())
	if s.best.From < s.best.To {
		best += fmt.Sprintf(" From %s it is as good, within 1 %% or the error of these runs%s.", s.span(&s.best), s.missedInSpan())
	}
	switch s.best.Best {
	case first:
		best += " It is the first date that was tried: an earlier one may be better still."
	case last:
		best += " It is the last date that was tried: a later one may be better still."
	}
	out := []string{best}
	for _, text := range []string{s.mostlySown(pounds), s.byFallback()} {
		if text != "" {
			out = append(out, text)
		}
	}
	if s.Season < len(s.Calendar.Seasons)-1 {
		alone := fmt.Sprintf("For that one season alone the best date is %s, %s %s/ha", s.tried(s.season.Best), pounds(s.season.Medians[s.season.Best]), s.Calendar.Currency)
		if s.season.From < s.season.To {
			alone += ", and " + s.span(&s.season) + " is as good"
		}
		if s.season.To < s.best.From {
			alone += "; the later date pays in the seasons after it, by the seed it did not let return"
		}
		out = append(out, alone+".")
	}
	return s.weedAndCrossing(out)
}

// tried is a date, with a word where it is the first or the last of the sweep: beyond
// it nothing is known.
func (s *sweep) tried(i int) string {
	switch i {
	case 0:
		return dayOfYear(s.Dates[i]) + ", the first tried"
	case len(s.Dates) - 1:
		return dayOfYear(s.Dates[i]) + ", the last tried"
	}
	return dayOfYear(s.Dates[i])
}

// alike are the sentences of a sweep whose dates are all as good.
func (s *sweep) alike(pounds func(float64) string) []string {
	return s.weedAndCrossing([]string{fmt.Sprintf("These runs cannot tell the dates apart: from %s the median margin over %s is %s %s or so, within 1 %% or the error.",
		s.span(&s.best), s.horizon(), pounds(s.best.Medians[s.best.Best]), s.money())})
}

// weedAndCrossing adds what the dates do to the weed, and where early and late change places.
func (s *sweep) weedAndCrossing(out []string) []string {
	first, last := 0, len(s.Dates)-1
	plants := func(i int) string {
		return forms[sim.Plants].Value(decide.Median(s.Outcomes[i].Column(sim.Plants, s.Season)))
	}
	out = append(out, fmt.Sprintf("Weed plants in whatever is grown (medians): %s per m² planned for %s, %s for %s. Not drilled in time: in %s and in %s of 100 runs.",
		plants(first), dayOfYear(s.Dates[first]), plants(last), dayOfYear(s.Dates[last]), Of100(s.missed(first)), Of100(s.missed(last))))
	if len(s.Sides) > 0 {
		out = append(out, s.crossing())
	}
	return out
}

// oftenMissed is the share of runs from which on a date is as much a choice of
// the fallback as of the crop.
const oftenMissed = 0.2

// span is the flat part of an optimum in words: 30 Oct to 19 Nov.
func (s *sweep) span(o *decide.Optimum) string {
	return dayOfYear(s.Dates[o.From]) + " to " + dayOfYear(s.Dates[o.To])
}

// tooLate says, after a lead, that the best date is after the last day on which the
// plan would still drill; "" where it is not.
func (s *sweep) tooLate(lead string) string {
	latest := s.Calendar.Seasons[s.Season].Courses[0].Drill.Latest
	if s.Dates[s.best.Best] <= latest {
		return ""
	}
	return lead + "after the plan's latest day, " + dayOfYear(latest)
}

// missed is the share of runs in which the crop planned for a date is not drilled.
func (s *sweep) missed(date int) float64 { return decide.Missed(s.Outcomes[date], s.Season) }

// butMissed says how often the crop fails to go in on the best date; "" where
// it nearly always does.
func (s *sweep) butMissed() string {
	missed := s.missed(s.best.Best)
	if missed < oftenMissed {
		return ""
	}
	return fmt.Sprintf("; but %s then goes in in %s of 100 runs only; in the others %s", s.crop, rest(missed), s.fallback())
}

// missedInSpan says how often the crop goes in on the last of the dates that are as
// good as the best; "" where nearly always, or where it is said of the best itself.
func (s *sweep) missedInSpan() string {
	if s.missed(s.best.Best) >= oftenMissed || s.missed(s.best.To) < oftenMissed {
		return ""
	}
	return fmt.Sprintf("; planned for the last of them, %s goes in in %s of 100 runs only", s.crop, rest(s.missed(s.best.To)))
}

// rest is what a share leaves of 100, as rounded beside it.
func rest(share float64) string {
	if n := math.Round(100 * share); n > 0 && n < 100 {
		return fmt.Sprint(100 - int(n))
	}
	return Of100(1 - share)
}

// mostlySown names the best of the dates on which the crop mostly goes in, where
// that is another than the best of all.
func (s *sweep) mostlySown(money func(float64) string) string {
	at := s.usable()
	if at < 0 || at == s.best.Best {
		return ""
	}
	return fmt.Sprintf("Of the dates on which %s goes in in more than %.0f of 100 runs the best is %s, %s %s.", s.crop, 100*(1-oftenMissed), dayOfYear(s.Dates[at]), money(s.best.Medians[at]), s.money())
}

// usable is the best of the dates on which the crop mostly goes in; -1 where
// there is none.
func (s *sweep) usable() int {
	at := -1
	for i, m := range s.best.Medians {
		if s.missed(i) < oftenMissed && (at < 0 || m > s.best.Medians[at]) {
			at = i
		}
	}
	return at
}

// byFallback says how much of the best date's gain is the fallback's; "" where
// the crop nearly always goes in, or the best date is the planned one.
func (s *sweep) byFallback() string {
	at, best := s.planned(), s.best.Best
	if at == best || s.missed(best) < oftenMissed {
		return ""
	}
	var in, out []float64
	then, now := s.Outcomes[best].Column(sim.Course, s.Season), s.Outcomes[at].Column(sim.Course, s.Season)
	for k, d := range decide.Differences(s.onward[best], s.onward[at]) {
		switch {
		case now[k] > 0:
		case then[k] == 0:
			in = append(in, d)
		default:
			out = append(out, d)
		}
	}
	if len(in) == 0 || len(out) == 0 {
		return ""
	}
	gain := func(x []float64) string { return forms[sim.Margin].Value(rounded10(decide.Median(x))) }
	return fmt.Sprintf("Run by run the median gain of %s over %s is %s %s (not the difference of two medians): %s where %s goes in, %s where it does not.", dayOfYear(s.Dates[best]), dayOfYear(s.Dates[at]),
		gain(decide.Differences(s.onward[best], s.onward[at])), s.money(), gain(in), s.crop, gain(out))
}

// crossing says at which infestation two dates change places.
func (s *sweep) crossing() string {
	between := fmt.Sprintf("Between %s and %s", dayOfYear(s.Dates[s.early]), dayOfYear(s.Dates[s.late]))
	clean := fmt.Sprintf("on clean ground the earlier earns %s %s more", forms[sim.Margin].Value(math.Round(-s.clean)), s.money())
	if s.clean >= 0 {
		clean = fmt.Sprintf("even on clean ground the later earns %s %s more", forms[sim.Margin].Value(math.Round(s.clean)), s.money())
	}
	heaviest := s.infestation(s.Sides[len(s.Sides)-1].Infestation)
	switch c := s.cross; {
	case c.Verdict == decide.First:
		return fmt.Sprintf("%s the earlier earns more at every infestation tried, up to %s; %s (means).", between, heaviest, clean)
	case c.Verdict == decide.Second:
		return fmt.Sprintf("%s the later earns as much or more at every infestation tried, up to %s; %s (means).", between, heaviest, clean)
	case c.Density == 0:
		return fmt.Sprintf("%s the later earns more from the lightest infestation tried, %s; %s (means).", between, s.infestation(s.Between[1].Infestation), clean)
	default:
		return fmt.Sprintf("%s the earlier earns more below about %s%s, the later above; %s (means).", between, s.infestation(c.Density), s.crossRange(), clean)
	}
}

// crossRange is the range in which these runs place the crossover.
func (s *sweep) crossRange() string {
	write := func(x float64) string { return brief(x, 2) }
	c := s.cross
	switch {
	case c.Low == 0 && math.IsInf(c.High, 1):
		return " (these runs cannot place it)"
	case c.Low == 0:
		return " (at most " + write(c.High) + ")"
	case math.IsInf(c.High, 1):
		return " (at least " + write(c.Low) + ")"
	}
	return " (" + write(c.Low) + " to " + write(c.High) + ")"
}

// infestation is an infestation at the start in words.
func (s *sweep) infestation(x float64) string {
	if s.Calendar.HasSeedbank {
		return brief(x, 2) + " times the plan's seedbank"
	}
	if x > 0 && x < 1 {
		return fmt.Sprintf("%s heads per m² counted before the start, one in %s m²", brief(x, 2), brief(1/x, 2))
	}
	return brief(x, 2) + " heads per m² counted before the start"
}

func (s *sweep) warnings() []Warning {
	var out []Warning
	run := Run{Calendar: s.Calendar, Outcome: s.Outcomes[0], Replicates: s.Replicates, Starter: s.Starter}
	for _, w := range forecastWarnings(run, []season{summarise(run, s.Season)}) {
		if slices.Contains([]string{"resistance", "starter-plan", "return-not-met", "few-histories"}, w.Code) {
			out = append(out, Warning{Code: w.Code, Text: w.Text})
		}
	}
	out = appendIf(out, s.noFallback())
	drill := s.Calendar.Seasons[s.Season].Courses[0].Drill
	return append(out,
		Warning{Code: "work-moves-along", Text: s.moved()},
		Warning{Code: "given-up-after", Text: fmt.Sprintf("Drilling is given up after %s, the plan's latest day, or ten days after the planned date where that is later; then %s.",
			dayOfYear(drill.Latest), s.fallback())})
}

// moved says what keeps its distance to the drilling.
func (s *sweep) moved() string {
	on := s.Calendar.Seasons[s.Season].Courses[0].Drill.On
	var work []string
	spray := ""
	for _, o := range s.Calendar.MovesAlong(s.Season) {
		distance := fmt.Sprintf("%d days before", on-o.On)
		if on-o.On == 1 {
			distance = "1 day before"
		}
		work = append(work, spoken(o.With.Name)+" "+distance)
		if o.Action == rotations.SprayOff {
			spray = " The last spray before drilling goes on " + distance + " it, whatever the date."
		}
	}
	if len(work) == 0 {
		return "No work of the plan moves with the drilling: none is planned for the six weeks before it."
	}
	return "What moves with the drilling date: " + strings.Join(work, ", ") + "; it is never done before the season opens. Everything else stays on its day, the drilling of later seasons too." + spray
}

// fallback says what is grown where the crop could not be drilled.
func (s *sweep) fallback() string {
	courses := s.Calendar.Seasons[s.Season].Courses
	if len(courses) < 2 || courses[1].Drill == nil {
		return "the field lies fallow"
	}
	return spoken(courses[1].Crop.Name) + " is grown instead"
}
