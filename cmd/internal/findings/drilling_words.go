package findings

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/study"
)

// money is the unit of the margin from the season on.
func (s *sweep) money() string {
	if s.onlyTheLast() {
		return perArea(s.Run.Calendar)
	}
	return perArea(s.Run.Calendar) + " a year"
}

// onlyTheLast tells whether nothing comes after the season.
func (s *sweep) onlyTheLast() bool { return s.Season() == len(s.Run.Calendar.Seasons)-1 }

// horizon says over which seasons the mean yearly margin is taken.
func (s *sweep) horizon() string {
	seasons := s.Run.Calendar.Seasons
	first, last := seasons[s.Season()].HarvestYear, seasons[len(seasons)-1].HarvestYear
	if first == last {
		return fmt.Sprintf("harvest %d", first)
	}
	return fmt.Sprintf("harvests %d to %d", first, last)
}

// harvests names those whose drilling is moved.
func (s *sweep) harvests() string {
	var years []int
	for _, i := range s.Seasons {
		years = append(years, s.Run.Calendar.Seasons[i].HarvestYear)
	}
	if len(years) == 1 {
		return fmt.Sprintf("harvest %d", years[0])
	}
	return "harvests " + yearRanges(years)
}

// sentences are what is to be said besides the answer.
func (s *sweep) sentences() []string {
	var out []string
	if at := s.Best.Best; at >= 0 {
		out = append(out, fmt.Sprintf("Best mean margin over %s, of the dates that go in in %s of 100 runs: planned for %s, %s %s.%s", s.horizon(),
			s.asked(), s.tried(at), pounds(s.area(), s.Best.Means[at]), s.money(), s.asGood(&s.Best)))
	}
	if at := s.Now.Best; at >= 0 && s.Season() < len(s.Run.Calendar.Seasons)-1 {
		alone := fmt.Sprintf("For harvest %d alone it is %s, %s %s.%s", s.Run.Calendar.Seasons[s.Season()].HarvestYear, s.tried(at),
			pounds(s.area(), s.Now.Means[at]), perArea(s.Run.Calendar), s.asGood(&s.Now))
		if s.Best.Best >= 0 && s.Now.To < s.Best.From {
			alone += " The later date pays in the seasons after it, by the seed it did not let return."
		}
		out = append(out, alone)
	}
	first, last := 0, len(s.Dates)-1
	plants := func(i int) string {
		return forms[sim.Plants].Value(decide.Median(s.Outcomes[i].Column(sim.Plants, s.Season())))
	}
	out = append(out, fmt.Sprintf("Weed plants in whatever is grown, in the middle run: %s per m² planned for %s, %s for %s. Not drilled in time: in %s and in "+
		"%s of 100 runs.",
		plants(first), dayOfYear(s.Dates[first]), plants(last), dayOfYear(s.Dates[last]), report.Of100(1-s.GoesInShare[first]), report.Of100(1-s.GoesInShare[last])))
	if len(s.Sides) > 0 {
		out = append(out, s.crossing())
	}
	return out
}

// asked is how often the crop is to go in.
func (s *sweep) asked() string { return fmt.Sprintf("at least %.0f", 100*s.GoesIn) }

// asGood names the dates next to a best that these runs do not part from it.
func (s *sweep) asGood(o *decide.Optimum) string {
	if o.From == o.To {
		return ""
	}
	return fmt.Sprintf(" From %s it is as good, as far as these runs can tell.", s.span(o))
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

// span is the dates that are as good as a best: 30 Oct to 19 Nov.
func (s *sweep) span(o *decide.Optimum) string {
	if o.From == o.To {
		return dayOfYear(s.Dates[o.From])
	}
	return dayOfYear(s.Dates[o.From]) + " to " + dayOfYear(s.Dates[o.To])
}

// crossing says at which infestation two dates change places.
func (s *sweep) crossing() string {
	between := fmt.Sprintf("Between %s and %s", dayOfYear(s.Dates[s.Early]), dayOfYear(s.Dates[s.Late]))
	clean := fmt.Sprintf("on clean ground the earlier earns %s %s more", forms[sim.Margin].Value(math.Round(s.area().Per(-s.CleanGain))), s.money())
	if s.CleanGain >= 0 {
		clean = fmt.Sprintf("even on clean ground the later earns %s %s more", forms[sim.Margin].Value(math.Round(s.area().Per(s.CleanGain))), s.money())
	}
	heaviest := s.infestation(s.Sides[len(s.Sides)-1].Infestation)
	switch c := s.Cross; {
	case c.Verdict == decide.First:
		return fmt.Sprintf("%s the earlier earns more at every infestation tried, up to %s; %s (means).", between, heaviest, clean)
	case c.Verdict == decide.Second:
		return fmt.Sprintf("%s the later earns as much or more at every infestation tried, up to %s; %s (means).", between, heaviest, clean)
	case c.Density == 0:
		return fmt.Sprintf("%s the later earns more from the lightest infestation tried, %s; %s (means).", between, s.infestation(s.Between[1].Infestation),
			clean)
	default:
		return fmt.Sprintf("%s the earlier earns more below about %s%s, the later above; %s (means).", between, s.infestation(c.Density), s.crossRange(),
			clean)
	}
}

// crossRange is the range in which these runs place the crossover.
func (s *sweep) crossRange() string {
	write := func(x float64) string { return brief(x, 2) }
	c := s.Cross
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
	if s.Run.Calendar.HasSeedbank {
		return brief(x, 2) + " times the plan's seedbank"
	}
	if x > 0 && x < 1 {
		return fmt.Sprintf("%s heads per m² counted before the start, one in %s m²", brief(x, 2), brief(1/x, 2))
	}
	return brief(x, 2) + " heads per m² counted before the start"
}

func (s *sweep) warnings() []report.Warning {
	var out []report.Warning
	if s.Starter {
		out = append(out, starterWarning())
	}
	var plain []study.Warning
	for _, w := range s.Warnings {
		if w.Code == study.NoFallback {
			out = append(out, s.noFallback(w))
			continue
		}
		plain = append(plain, w)
	}
	for _, w := range allInWords(s.Run, nil, plain) {
		w.Season = 0 // rows are dates
		out = append(out, w)
	}
	c := s.Run.Calendar
	if c.ByOwnHeads && len(s.Sides) > 0 {
		out = append(out, report.Warning{Code: "first-season-decided", Text: fmt.Sprintf("What the plan decides in its first season it decides by its own %s heads "+
			"per m² of last June, at other infestations too.", brief(c.Heads.Central, 2))})
	}
	if slices.ContainsFunc(c.MovesAlong(s.Season(), !s.Alone), func(o rotations.Operation) bool {
		return o.Action == rotations.Cultivate && o.With.Name != "plough"
	}) {
		out = append(out, stubblePasses)
	}
	drill := c.Seasons[s.Season()].Courses[0].Drill
	return append(out,
		report.Warning{Code: "work-moves-along", Text: s.moved()},
		report.Warning{Code: "given-up-after", Text: fmt.Sprintf("Drilling is given up after %s, the plan's latest day, whatever the date; a date beyond "+
			"it has ten days of its own. Then %s.",
			dayOfYear(drill.Latest), s.fallback())})
}

// noFallback says from which date on the crop is missed too often to go without a crop
// to follow it.
func (s *sweep) noFallback(w study.Warning) report.Warning {
	last := s.Dates[len(s.Dates)-1]
	missed := fmt.Sprintf("planned for %s that is %s of 100 runs", dayOfYear(w.From), report.Of100(w.X))
	if last != w.From {
		missed += fmt.Sprintf(", for %s %s", dayOfYear(last), report.Of100(w.Y))
	}
	return report.Warning{Code: string(w.Code), Text: fmt.Sprintf("The plan names nothing to grow where %s cannot be drilled in time: %s; the field then "+
		"lies fallow. With a crop after otherwise: waiting costs less.", s.crop, missed)}
}

// moved says what keeps its distance to the drilling.
func (s *sweep) moved() string {
	on := s.PlannedDay()
	var work []string
	spray := ""
	for _, o := range s.Run.Calendar.MovesAlong(s.Season(), !s.Alone) {
		distance := fmt.Sprintf("%d days before", on-o.On)
		if on-o.On == 1 {
			distance = "1 day before"
		}
		work = append(work, "the "+spoken(o.With.Name)+" "+distance)
		if o.Action == rotations.SprayOff {
			spray = " The last spray before drilling goes on " + distance + " it, whatever the date."
		}
	}
	if s.Alone {
		if len(work) == 0 {
			return "Only the drilling moves; the work before it stays on its day."
		}
		return "Besides the drilling moves what the plan counts back from it: " + strings.Join(work, ", ") + ". Everything else stays on its day."
	}
	if len(work) == 0 {
		return "No work of the plan moves with the drilling: none is planned for the six weeks before it."
	}
	return "What moves with the drilling date: " + strings.Join(work,
		", ") + "; it is never done before the season opens. Everything else stays on its day." + s.aloneWords() + spray
}

// aloneWords part what the date earns from what the work earns that moves with it.
func (s *sweep) aloneWords() string {
	a := s.Found.Answer
	if math.IsNaN(a.Alone) {
		return ""
	}
	var names []string
	for _, o := range s.Found.Along() {
		if name := "the " + spoken(o.With.Name); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	its := "its"
	if len(s.Found.Along()) > 1 {
		its = "their"
	}
	best := dayOfYear(s.Dates[a.Best])
	more := "more"
	if a.Alone < 0 {
		more = "less"
	}
	return fmt.Sprintf(" With %s left on %s day %s earns about %s %s %s than planned.", strings.Join(names, " and "), its, best,
		pounds(s.area(), math.Abs(a.Alone)), s.yearly(), more)
}

// fallback says what is grown where the crop could not be drilled.
func (s *sweep) fallback() string {
	courses := s.Run.Calendar.Seasons[s.Season()].Courses
	if len(courses) < 2 || courses[1].Drill == nil {
		return "the field lies fallow"
	}
	return spoken(courses[1].Crop.Name) + " is grown instead"
}
