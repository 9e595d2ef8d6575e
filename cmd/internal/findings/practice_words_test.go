package findings

import (
	"testing"

	"rundown/sim/study"
)

// Counts are told as counts, by the season, and days as days.
func TestPracticeWords(t *testing.T) {
	work := func(here, there float64, seasons int, steady bool) study.Practice {
		return study.Practice{Kind: study.WorkDone, Crop: "winter-wheat", What: "spring-contact", Here: here, There: there, Seasons: [2]int{seasons, seasons},
			Steady: steady}
	}
	alone, plough, cover := work(1, 0, 6, true), work(1.0/6, 0, 6, false), work(1, 2, 3, true)
	alone.Alone = true
	plough.What, plough.Instead = "plough", "shallow-disc"
	years := plough
	years.Alone = true
	cover.ButEnders = true
	for want, p := range map[string]study.Practice{
		"the plough instead of the shallow disc in 1 of 6 years":                                   years,
		"a spring contact every year":                                                              alone,
		"a spring contact in every winter wheat":                                                   work(1, 0, 3, true),
		"a spring contact in winter wheat":                                                         work(1, 0, 1, true),
		"one more spring contact in every winter wheat":                                            work(2, 1, 3, true),
		"one spring contact fewer in every winter wheat, not counting the one that ends the cover": cover,
		"no spring contact in any winter wheat":                                                    work(0, 2, 3, true),
		"the spring contact in 1 of 3 seasons of winter wheat, not 0":                              work(1.0/3, 0, 3, false),
		"the plough instead of the shallow disc in 1 of 6 seasons of winter wheat":                 plough,
		"the last burn-off in winter wheat 1 day earlier": {Kind: study.WorkDay, Crop: "winter-wheat", What: "spray-off",
			Nth: 2, Of: 2, There: 1, Steady: true},
		"spring barley instead of winter wheat in 3 of 6 years": {Kind: study.CropsGrown, What: "spring-barley", Instead: "winter-wheat", Here: 0.5,
			Seasons: [2]int{6, 6}},
	} {
		if got := practiceWords(p); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
