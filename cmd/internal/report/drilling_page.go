package report

import (
	"fmt"
	"rundown/sim/study"
	"slices"

	"rundown/sim"
	"rundown/sim/decide"
)

// page is what the page of a drilling sweep says beyond its text.
func (s *sweep) page(r *Report) *Page {
	c, best := s.Run.Calendar, s.Best
	planned, found := s.Run, s.PlannedForecast()
	planned.Calendar = found.Calendar
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
		Assumed: assumedChapter(planned, found),
	}
	if at := s.Usable; at >= 0 && at != best.Best {
		p.Keys = slices.Insert(p.Keys, 0, KeyNumber{Name: fmt.Sprintf("Best that goes in in more than %.0f of 100 runs", 100*(1-study.OftenMissed)), Value: dayOfYear(s.Dates[at])})
	}
	if len(s.Sides) > 0 {
		p.Chapters = append(p.Chapters, Chapter{ID: "infestation", Title: "At other infestations", Words: []string{
			"How heavy the infestation is moves the best date." + s.fewerRuns(), r.Sentences[told]},
			Pictures: r.Pictures[2:], Tables: r.Tables[2:]})
	}
	p.Chapters = append(p.Chapters, planChapter(planned, found.Seasons))
	return p
}

// fewerRuns says that the other infestations had fewer runs, where they had.
func (s *sweep) fewerRuns() string {
	if s.SideReplicates == s.Run.Replicates {
		return ""
	}
	return " Fewer runs were made here; the differences between dates are taken run by run, and so are known well enough."
}

// dateVerdict sets the best date against the planned one, run by run.
func (s *sweep) dateVerdict() Verdict {
	at, best := s.Planned, s.Best
	write := func(x float64) string { return forms[sim.Margin].Value(rounded10(x)) }
	earned := fmt.Sprintf("%s %s over %s", write(best.Medians[best.Best]), s.money(), s.horizon())
	if usable := s.Lead; usable != best.Best {
		return Verdict{fmt.Sprintf("%s is the best date on which %s mostly goes in", dayOfYear(s.Dates[usable]), s.crop), fmt.Sprintf(": %s %s over %s. Planned for %s%s, the best median of all dates is %s, but %s then goes in in %s of 100 runs only; in the others %s.",
			write(best.Medians[usable]), s.money(), s.horizon(), dayOfYear(s.Dates[best.Best]), s.tooLate(", "), write(best.Medians[best.Best]), s.crop, rest(s.Missed[best.Best]), s.fallback())}
	}
	if at == best.Best {
		return Verdict{"The planned date is best", fmt.Sprintf(": %s, with a median margin of %s%s; %s is as good, within 1 %% or the error of these runs.",
			s.Dates[at].Short(), earned, s.goesIn(at), s.span(&best))}
	}
	if at >= best.From && at <= best.To {
		return Verdict{"The planned date is as good as any", fmt.Sprintf(": %s; the best median margin, %s, is that of %s, within 1 %% or the error of these runs.",
			s.Dates[at].Short(), earned, dayOfYear(s.Dates[best.Best]))}
	}
	return Verdict{fmt.Sprintf("%s is %s to earn more", dayOfYear(s.Dates[best.Best]), likelihood(s.More, s.Run.Replicates)), fmt.Sprintf(" than %s%s: the best median margin of all dates, %s, which is %s more%s, and more in %s of 100 runs.",
		dayOfYear(s.Dates[at]), s.tooLate(", though "), earned, write(s.Gain.P50), nineInTen(write(s.Gain.P05), write(s.Gain.P95)), Of100(s.More))}
}

// goesIn says beside a date how often the crop goes in, where it often does not.
func (s *sweep) goesIn(date int) string {
	if s.Missed[date] < study.OftenMissed {
		return ""
	}
	return fmt.Sprintf("; %s goes in in %s of 100 runs only", s.crop, rest(s.Missed[date]))
}

// missedVerdict says what the date of the first verdict risks and what it does to the weed.
func (s *sweep) missedVerdict() Verdict {
	at, best := s.Planned, s.Lead
	missed := s.Missed[best]
	heads := func(i int) string {
		return forms[sim.Heads].Value(decide.Median(s.Outcomes[i].Column(sim.Heads, s.Season)))
	}
	word := sentence(likelihood(missed, s.Run.Replicates)) + " to miss the season"
	if at == best {
		return Verdict{word, fmt.Sprintf(": drilling fails in %s of 100 runs; heads stand at %s per m² (median).", Of100(missed), heads(at))}
	}
	return Verdict{word, fmt.Sprintf(": drilling fails in %s of 100 runs, against %s for %s; heads stand at %s per m², against %s (medians).",
		Of100(missed), Of100(s.Missed[at]), dayOfYear(s.Dates[at]), heads(best), heads(at))}
}
