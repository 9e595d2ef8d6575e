package report

import (
	"fmt"
	"math"
	"slices"

	"rundown/sim"
	"rundown/sim/decide"
)

// page is what the page of a drilling sweep says beyond its text.
func (s *sweep) page(r *Report) *Page {
	c, best := s.Calendar, s.best
	at := s.planned()
	planned := s.Run
	planned.Outcome = s.Outcomes[at]
	moved, err := c.WithDrilling(s.Season, s.Dates[at])
	if err == nil { // it was run, so it can be made
		planned.Calendar = moved
	}
	var seasons []season
	for i := range planned.Calendar.Seasons {
		seasons = append(seasons, summarise(planned, i))
	}
	told := len(r.Sentences)
	if len(s.Sides) > 0 {
		told-- // the crossover has a chapter of its own
	}
	p := &Page{
		Field:    fieldLine(s.Run),
		Question: fmt.Sprintf("When should %s for harvest %d be drilled?", s.crop, c.Seasons[s.Season].HarvestYear),
		Answer:   []Verdict{s.dateVerdict(), s.missedVerdict()},
		Main:     &r.Pictures[0],
		Keys: []KeyNumber{
			{Name: "Best median margin" + s.goesIn(best.Best), Value: dayOfYear(s.Dates[best.Best])},
			{Name: "As good, as far as these runs can tell", Value: s.span(&best)},
			{Name: "Planned", Value: dayOfYear(c.Seasons[s.Season].Courses[0].Drill.On)},
		},
		Chapters: []Chapter{
			{ID: "dates", Title: "Date by date", Words: append([]string{"Every row is a day for which drilling is planned; the ground may make it later."}, r.Sentences[:told]...),
				Pictures: r.Pictures[1:2], Tables: r.Tables[:2]},
		},
		Assumed: assumedChapter(planned),
	}
	if at := s.usable(); at >= 0 && at != best.Best {
		p.Keys = slices.Insert(p.Keys, 0, KeyNumber{Name: fmt.Sprintf("Best that goes in in more than %.0f of 100 runs", 100*(1-oftenMissed)), Value: dayOfYear(s.Dates[at])})
	}
	if len(s.Sides) > 0 {
		p.Chapters = append(p.Chapters, Chapter{ID: "infestation", Title: "At other infestations", Words: []string{
			"How heavy the infestation is moves the best date." + s.fewerRuns(), r.Sentences[told]},
			Pictures: r.Pictures[2:], Tables: r.Tables[2:]})
	}
	p.Chapters = append(p.Chapters, planChapter(planned, seasons))
	return p
}

// fewerRuns says that the other infestations had fewer runs, where they had.
func (s *sweep) fewerRuns() string {
	if s.SideReplicates == s.Replicates {
		return ""
	}
	return " Fewer runs were made here; the differences between dates are taken run by run, and so are known well enough."
}

// planned is the date of the sweep nearest to the one in the plan.
func (s *DrillingSweep) planned() int {
	want, at := s.Calendar.Seasons[s.Season].Courses[0].Drill.On, 0
	for i, d := range s.Dates {
		if math.Abs(float64(d-want)) < math.Abs(float64(s.Dates[at]-want)) {
			at = i
		}
	}
	return at
}

// dateVerdict sets the best date against the planned one, run by run.
func (s *sweep) dateVerdict() Verdict {
	at, best := s.planned(), s.best
	write := func(x float64) string { return forms[sim.Margin].Value(rounded10(x)) }
	earned := fmt.Sprintf("%s %s over %s", write(best.Medians[best.Best]), s.money(), s.horizon())
	if usable := s.lead(); usable != best.Best {
		return Verdict{fmt.Sprintf("%s is the best date on which %s mostly goes in", dayOfYear(s.Dates[usable]), s.crop), fmt.Sprintf(": %s %s over %s. Planned for %s%s, the best median of all dates is %s, but %s then goes in in %s of 100 runs only; in the others %s.",
			write(best.Medians[usable]), s.money(), s.horizon(), dayOfYear(s.Dates[best.Best]), s.tooLate(", "), write(best.Medians[best.Best]), s.crop, rest(s.missed(best.Best)), s.fallback())}
	}
	if at == best.Best {
		return Verdict{"The planned date is best", fmt.Sprintf(": %s, with a median margin of %s%s; %s is as good, within 1 %% or the error of these runs.",
			s.Dates[at].Short(), earned, s.goesIn(at), s.span(&best))}
	}
	if at >= best.From && at <= best.To {
		return Verdict{"The planned date is as good as any", fmt.Sprintf(": %s; the best median margin, %s, is that of %s, within 1 %% or the error of these runs.",
			s.Dates[at].Short(), earned, dayOfYear(s.Dates[best.Best]))}
	}
	a, b := s.onward[best.Best], s.onward[at]
	gain, more := band(decide.Differences(a, b)), decide.Wins(a, b)
	return Verdict{fmt.Sprintf("%s is %s to earn more", dayOfYear(s.Dates[best.Best]), likelihood(more, s.Replicates)), fmt.Sprintf(" than %s%s: the best median margin of all dates, %s, which is %s more%s, and more in %s of 100 runs.",
		dayOfYear(s.Dates[at]), s.tooLate(", though "), earned, write(gain.P50), nineInTen(write(gain.P05), write(gain.P95)), Of100(more))}
}

// lead is the date that the page speaks for: the best, or where the crop often
// does not go in then the best of those on which it mostly does.
func (s *sweep) lead() int {
	if usable := s.usable(); usable >= 0 && s.missed(s.best.Best) >= oftenMissed {
		return usable
	}
	return s.best.Best
}

// goesIn says beside a date how often the crop goes in, where it often does not.
func (s *sweep) goesIn(date int) string {
	if s.missed(date) < oftenMissed {
		return ""
	}
	return fmt.Sprintf("; %s goes in in %s of 100 runs only", s.crop, rest(s.missed(date)))
}

// missedVerdict says what the date of the first verdict risks and what it does to the weed.
func (s *sweep) missedVerdict() Verdict {
	at, best := s.planned(), s.lead()
	missed := decide.Missed(s.Outcomes[best], s.Season)
	heads := func(i int) string {
		return forms[sim.Heads].Value(decide.Median(s.Outcomes[i].Column(sim.Heads, s.Season)))
	}
	word := sentence(likelihood(missed, s.Replicates)) + " to miss the season"
	if at == best {
		return Verdict{word, fmt.Sprintf(": drilling fails in %s of 100 runs; heads stand at %s per m² (median).", Of100(missed), heads(at))}
	}
	return Verdict{word, fmt.Sprintf(": drilling fails in %s of 100 runs, against %s for %s; heads stand at %s per m², against %s (medians).",
		Of100(missed), Of100(decide.Missed(s.Outcomes[at], s.Season)), dayOfYear(s.Dates[at]), heads(best), heads(at))}
}
