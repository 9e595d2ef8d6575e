package findings

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/study"
)

func (s *sweep) answer() *report.Answer {
	a := s.Found.Answer
	best := s.Dates[a.Best].String()
	out := &report.Answer{Verdict: string(a.Choice), Facts: report.Object{{"planned", s.PlannedDay().String()}, {"best", best}, {"goes_in_share",
		s.GoesInShare[a.Best]}, {"heads_ratio", finite(a.HeadsRatio)},
		{"margin_difference_per_ha_year", a.MarginYear}, {"margin_difference_this_season", a.Now},
		{"margin_difference_date_alone", finite(a.Alone)}}}
	if a.Choice == study.Seldom {
		out.Facts[1].Value = nil
	}
	now, heads := s.nowWords(), s.headsWords() // the table has them
	for _, try := range [][2]string{{now, heads}, {"", heads}, {}} {
		out.Sentences = compact(s.choiceWords(), s.lessWords(), s.asGoodWords(), try[0], s.goesInWords(), try[1], s.densityWords(), s.movedWords(),
			noResistance(s.Run))
		if report.AnswerFits(out.Sentences) {
			break
		}
	}
	return out
}

// choiceWords name the date to drill on, and what it earns.
func (s *sweep) choiceWords() string {
	a, c := s.Found.Answer, s.Run.Calendar
	planned, best := dayOfYear(s.PlannedDay()), dayOfYear(s.Dates[a.Best])
	switch a.Choice {
	case study.Seldom:
		return fmt.Sprintf("On no date tried can %s be drilled in %s of 100 runs; most often on %s, in %s.", s.crop, s.asked(), best,
			report.Of100(s.GoesInShare[a.Best]))
	case study.Keep:
		switch {
		case s.Planned != s.Best.Best:
			return fmt.Sprintf("Keep %s for %s: no date tried is surely better.", planned, s.crop)
		case s.seldomEarnsMore():
			return fmt.Sprintf("Keep %s for %s: best of the dates on which it can be drilled in %s of 100 runs.", planned, s.crop, s.asked())
		}
		return fmt.Sprintf("Keep %s for %s: it is the best date tried.", planned, s.crop)
	}
	each := " a year"
	if len(c.Seasons) == 1 {
		each = ""
	}
	word := "Wait: drill"
	if a.Choice == study.Earlier {
		word = "Do not wait: drill"
	}
	if s.paysNoMore() {
		return fmt.Sprintf("%s %s on %s: on %s it can be drilled in fewer than %.0f of 100 runs.", word, s.crop, best, planned, 100*s.GoesIn)
	}
	return fmt.Sprintf("%s %s on %s, not %s: it earns %s %s%s more, %s for the %s.", word, s.crop, best, planned, pounds(c.Area, a.MarginYear), perArea(c),
		each,
		fieldMoney(a.MarginField), sizeOf(c.Area, c.AreaHa))
}

// seldomEarnsMore tells whether a date that may not be called best, since the crop goes in on it
// too seldom, has the higher mean margin.
func (s *sweep) seldomEarnsMore() bool {
	for i, may := range s.May {
		if !may && s.Best.Means[i] > s.Best.Means[s.Best.Best] {
			return true
		}
	}
	return false
}

// paysNoMore tells whether another date is best only because the planned one goes in too
// seldom, and not by what it earns.
func (s *sweep) paysNoMore() bool {
	a := s.Found.Answer
	return (a.Choice == study.Earlier || a.Choice == study.Later) && !s.May[s.Planned] && study.Rounded10(a.MarginYear) <= 0
}

// lessWords say what the best date costs where the planned one is not among those that
// may be called best.
func (s *sweep) lessWords() string {
	a, c := s.Found.Answer, s.Run.Calendar
	switch {
	case !s.paysNoMore():
		return ""
	case study.Rounded10(a.MarginYear) == 0:
		return fmt.Sprintf("%s earns about as much as %s over the plan.", dayOfYear(s.Dates[a.Best]), dayOfYear(s.PlannedDay()))
	}
	each := " a year"
	if len(c.Seasons) == 1 {
		each = ""
	}
	return fmt.Sprintf("It is the best of those dates, but earns %s %s%s less than %s, %s for the %s.", pounds(c.Area, -a.MarginYear), perArea(c), each,
		dayOfYear(s.PlannedDay()), fieldMoney(-a.MarginField), sizeOf(c.Area, c.AreaHa))
}

// asGoodWords are the dates that these runs do not part from the best.
func (s *sweep) asGoodWords() string {
	if s.Best.From >= s.Best.To {
		return ""
	}
	return fmt.Sprintf("As far as these runs can tell, %s is as good.", s.span(&s.Best))
}

// another tells whether another date than the planned one is advised.
func (s *sweep) another() bool {
	a := s.Found.Answer
	return a.Best != s.Planned && (a.Choice == study.Earlier || a.Choice == study.Later)
}

// nowWords are the margin of the season alone and the heads.
func (s *sweep) nowWords() string {
	a := s.Found.Answer
	if !s.another() || len(s.Run.Calendar.Seasons) == 1 { // that is the plan
		return ""
	}
	more := "more"
	if a.Now < 0 {
		more = "less"
	}
	year := s.Run.Calendar.Seasons[s.Season()].HarvestYear
	if pounds(s.area(), math.Abs(a.Now)) == pounds(s.area(), 0) {
		return fmt.Sprintf("At harvest %d alone, %s earns about as much.", year, dayOfYear(s.Dates[a.Best]))
	}
	return fmt.Sprintf("At harvest %d alone, %s earns %s %s %s.", year, dayOfYear(s.Dates[a.Best]), pounds(s.area(), math.Abs(a.Now)), perArea(s.Run.Calendar),
		more)
}

// goesInWords say how often the crop goes in.
func (s *sweep) goesInWords() string {
	a := s.Found.Answer
	planned := report.Of100(s.GoesInShare[s.Planned])
	switch {
	case a.Choice == study.Seldom:
		return fmt.Sprintf("Planned for %s it can be drilled in %s; else %s.", dayOfYear(s.PlannedDay()), planned, s.fallback())
	case !s.another():
		return fmt.Sprintf("It can be drilled in %s.", ofRuns(s.GoesInShare[s.Planned]))
	}
	own := ""
	if s.Beyond(s.Dates[a.Best]) {
		own = fmt.Sprintf(" and ten days of its own (the latest day is %s)", dayOfYear(s.Run.Calendar.Seasons[s.Season()].Courses[0].Drill.Latest))
	}
	if best := report.Of100(s.GoesInShare[a.Best]); best == planned && own == "" {
		return fmt.Sprintf("Planned for either day it can be drilled in %s.", ofRuns(s.GoesInShare[a.Best]))
	}
	return fmt.Sprintf("Planned for %s it can be drilled in %s%s; planned for %s, in %s.", dayOfYear(s.Dates[a.Best]),
		ofRuns(s.GoesInShare[a.Best]), own, dayOfYear(s.PlannedDay()), planned)
}

// headsWords say how many heads the best date has and how many the planned one, by the middle run, as the table has them.
func (s *sweep) headsWords() string {
	a := s.Found.Answer
	if !s.another() || math.IsNaN(a.HeadsRatio) {
		return ""
	}
	best, planned := dayOfYear(s.Dates[a.Best]), dayOfYear(s.PlannedDay())
	when := fmt.Sprintf("At %s", s.harvests())
	if len(s.Seasons) > 1 {
		when = "Over " + s.harvests()
	}
	here, there := forms[sim.Heads].Value(median(s.Heads[a.Best])), forms[sim.Heads].Value(median(s.Heads[s.Planned]))
	if here == there {
		return fmt.Sprintf("%s, %s has as many heads as %s.", when, best, planned)
	}
	return fmt.Sprintf("%s, %s has %s heads per m² where %s has %s.", when, best, here, planned, there)
}

// fewestCounted is the heads per m² below which hardly anyone finds one: one in 10 m² (assumed).
const fewestCounted = 0.1

// densityWords say what the density of the weed has to do with it: which date is best where there is
// little and where there is much, or else which of the two that are set against each other is better.
func (s *sweep) densityWords() string {
	if len(s.Sides) == 0 {
		return ""
	}
	if text := s.bestBySide(); text != "" {
		return text
	}
	early, late := dayOfYear(s.Dates[s.Early]), dayOfYear(s.Dates[s.Late])
	switch c := s.Cross; {
	case c.Verdict == decide.First:
		return fmt.Sprintf("%s earns more than %s at every infestation tried.", early, late)
	case c.Verdict == decide.Second:
		return fmt.Sprintf("%s earns as much as %s or more at every infestation tried.", late, early)
	case c.Density == 0:
		return fmt.Sprintf("Only on clean land does %s earn more than %s.", early, late)
	case !s.Run.Calendar.HasSeedbank && c.Density < fewestCounted:
		return fmt.Sprintf("Even where hardly a head is to be found %s earns more than %s.", late, early)
	default:
		return fmt.Sprintf("Only on cleaner land does %s earn more than %s: under about %s.", early, late, s.briefInfestation(c.Density))
	}
}

// bestBySide names the best dates at the lightest and the heaviest infestation tried, where these
// runs tell them apart.
func (s *sweep) bestBySide() string {
	light, heavy := &s.Sides[0], &s.Sides[len(s.Sides)-1]
	a, b := light.Best, heavy.Best
	if a.Best < 0 || b.Best < 0 || a.Best >= b.From && a.Best <= b.To || b.Best >= a.From && b.Best <= a.To {
		return ""
	}
	for i := range s.Sides { // the lightest from which on the date is the same
		if x := &s.Sides[len(s.Sides)-1-i]; x.Best.Best == b.Best {
			heavy = x
		} else {
			break
		}
	}
	unit, much := " heads per m² in the June before", brief(heavy.Infestation, 2)
	if s.Run.Calendar.HasSeedbank {
		unit, much = " times the plan's seedbank", much+" times"
	}
	if heavy != &s.Sides[len(s.Sides)-1] {
		much += " or more"
	}
	return fmt.Sprintf("%s is best with %s%s, %s with %s.", dayOfYear(s.Dates[a.Best]), brief(light.Infestation, 2), unit, dayOfYear(s.Dates[b.Best]), much)
}

// briefInfestation is an infestation at the start in a few words.
func (s *sweep) briefInfestation(x float64) string {
	switch {
	case s.Run.Calendar.HasSeedbank:
		return brief(x, 2) + " times the plan's seedbank"
	case x < 1:
		return fmt.Sprintf("one head in %s m² in the June before", brief(1/x, 2))
	}
	return brief(x, 2) + " heads per m² in the June before"
}

// movedWords say what moves, and what stays.
func (s *sweep) movedWords() string {
	var names []string
	for _, o := range s.Run.Calendar.MovesAlong(s.Season(), !s.Alone) {
		if name := "the " + spoken(o.With.Name); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	with := "it"
	what := fmt.Sprintf("Harvest %d of %s moves", s.Run.Calendar.Seasons[s.Season()].HarvestYear, s.crop)
	if n := len(s.Seasons); n > 1 {
		with = "them"
		what = fmt.Sprintf("All %d seasons of %s move", n, s.crop)
		if n == 2 {
			what = fmt.Sprintf("Both seasons of %s move", s.crop)
		}
	}
	if s.Run.Calendar.Rules != nil {
		what = strings.Replace(what, " move", ", in every branch, move", 1)
	}
	latest := "the latest day stays " + dayOfYear(s.Run.Calendar.Seasons[s.Season()].Courses[0].Drill.Latest)
	cover := s.Run.Calendar.Seasons[s.Season()].Cover
	if cover != nil && !s.Alone && s.coverMoves(cover.Destroy) {
		names = append(names, "the cover's end")
	}
	if len(names) == 0 {
		return fmt.Sprintf("%s, no other work; %s.", what, latest)
	}
	return fmt.Sprintf("%s, and with %s %s; %s.", what, with, strings.Join(names, " and "), latest)
}

// coverMoves tells whether a date is before the day on which the cover is to go.
func (s *sweep) coverMoves(destroy date.Day) bool { return s.Dates[0] < destroy }
