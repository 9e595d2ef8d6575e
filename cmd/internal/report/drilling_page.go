package report

import (
	"fmt"
	"math"

	"rundown/sim"
)

// drillingPage is what the page of a drilling sweep says beyond its text.
func drillingPage(s DrillingSweep, best optimum, crop string) *Page {
	c := s.Calendar
	year := c.Seasons[s.Season].HarvestYear
	pictures := drillingPictures(s, best, crop)
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
	return &Page{
		Field:    fieldLine(s.Run),
		Question: fmt.Sprintf("When should %s for harvest %d be drilled?", crop, year),
		Answer:   []Verdict{s.dateVerdict(best), s.missedVerdict(best)},
		Main:     &pictures[0],
		Keys: []KeyNumber{
			{Name: "Best median margin", Value: dayOfYear(s.Dates[best.best]), Range: ""},
			{Name: "No difference that these runs can tell", Value: dayOfYear(s.Dates[best.from]) + " to " + dayOfYear(s.Dates[best.to])},
			{Name: "Planned", Value: dayOfYear(c.Seasons[s.Season].Courses[0].Drill.On)},
		},
		Chapters: []Chapter{
			{ID: "dates", Title: "Date by date", Words: append([]string{"Every row is a day for which drilling is planned; the ground may make it later."}, drillingSentences(s, best)[1:]...),
				Tables: []Table{drillingTable(s)}},
			{ID: "infestation", Title: "At other infestations", Words: []string{
				"How heavy the infestation is moves the best date: the more weed, the more a late date is worth waiting for. Fewer runs were made here."},
				Tables: []Table{sidesTable(s)}},
			planChapter(planned, seasons),
		},
		Assumed: assumedChapter(planned),
	}
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
func (s *DrillingSweep) dateVerdict(best optimum) Verdict {
	at := s.planned()
	money := s.Calendar.Currency + "/ha a year over the plan"
	write := func(x float64) string { return forms[sim.Margin].Value(rounded10(x)) }
	earned := fmt.Sprintf("%s %s", write(best.medians[best.best]), money)
	if at == best.best {
		return Verdict{"The planned date is best", fmt.Sprintf(": %s, with a median margin of %s; from %s to %s these runs can tell no difference.",
			s.Dates[at].Short(), earned, dayOfYear(s.Dates[best.from]), dayOfYear(s.Dates[best.to]))}
	}
	a, b := planMargin(s.Outcomes[best.best]), planMargin(s.Outcomes[at])
	gain := difference(a, b)
	more := share(len(a), func(k int) bool { return a[k] > b[k] })
	return Verdict{fmt.Sprintf("%s is %s to earn more", dayOfYear(s.Dates[best.best]), likelihood(more, s.Replicates)), fmt.Sprintf(" than %s: the best median margin of all dates, %s, which is %s more%s, and more in %s of 100 runs.",
		dayOfYear(s.Dates[at]), earned, write(gain.P50), nineInTen(write(gain.P05), write(gain.P95)), Of100(more))}
}

// missedVerdict says what the best date risks and what it does to the weed.
func (s *DrillingSweep) missedVerdict(best optimum) Verdict {
	missed := s.notDrilled(best.best)
	at := s.planned()
	heads := func(i int) string { return forms[sim.Heads].Value(median(s.Outcomes[i].Column(sim.Heads, s.Season))) }
	if at == best.best {
		return Verdict{sentence(likelihood(missed, s.Replicates)) + " to miss the season", fmt.Sprintf(": drilling fails in %s of 100 runs; heads stand at %s per m² (median).", Of100(missed), heads(at))}
	}
	return Verdict{sentence(likelihood(missed, s.Replicates)) + " to miss the season", fmt.Sprintf(": drilling fails in %s of 100 runs, against %s for %s; heads stand at %s per m², against %s (medians).",
		Of100(missed), Of100(s.notDrilled(at)), dayOfYear(s.Dates[at]), heads(best.best), heads(at))}
}
