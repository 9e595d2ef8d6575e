package study

import (
	"math"
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/sim/simtest"
	particles "rundown/sim/update"
)

// What is set against the start is the last harvest of the start's kind within the last
// course of crops; worked out by hand.
func TestEnds(t *testing.T) {
	lib := simtest.Library(t)
	const head = "field: {name: Far Piece, area_ha: 1, soil: clay, climate: east-lowland, last_crop: LAST}\n" +
		"weed: {species: black-grass, start: 2026-08-20, heads_per_m2: 20}\nseasons: [SEASONS]\n"
	const wheat, barley, ley, fallow = "{crop: winter-wheat}", "{crop: spring-barley}", "{crop: grass-ley, years: 2}", "{crop: fallow}"
	join := func(s ...string) string { return strings.Join(s, ", ") }
	for _, x := range []struct {
		last, seasons string
		counted       string // day of the last count; "": none
		from, to      int
		course        int
		unlike        bool
	}{
		{"winter-wheat", join(wheat, wheat, wheat), "", 0, 2, 1, false},
		{"winter-wheat", join(barley, wheat, barley, wheat), "", 0, 3, 2, false},
		{"winter-wheat", join(wheat, barley, wheat, barley), "", 0, 2, 2, false},
		{"spring-barley", join(barley, wheat, barley, wheat), "", 0, 2, 2, false},
		{"winter-wheat", join(wheat, wheat, barley, barley), "", 0, 1, 0, false}, // no course: the whole plan
		{"winter-wheat", join(barley, barley), "", 0, 1, 1, true},
		{"winter-wheat", join(wheat, barley, barley, barley), "", 0, 0, 0, false},
		{"winter-wheat", ley, "", 0, 1, 1, true},
		{"grass-ley", join(ley, wheat), "", 0, 1, 0, false},
		{"winter-wheat", join(fallow, wheat, fallow, fallow), "", 0, 1, 0, false},
		{"winter-wheat", join(wheat, barley, wheat, barley), "2028-06-10", 2, 3, 2, false}, // after the barley that was counted
		{"winter-wheat", join(wheat, barley, wheat, barley), "2027-11-20", 1, 2, 2, false}, // in the June of that year wheat stood
		{"winter-wheat", join(wheat, wheat), "2028-06-10", 0, 1, 1, false},                 // nothing is left after the last year counted
	} {
		c := simtest.Calendar(t, lib, strings.NewReplacer("LAST", x.last, "SEASONS", x.seasons).Replace(head))
		var p *particles.Posterior
		if x.counted != "" {
			day, err := date.ParseDay(x.counted)
			if err != nil {
				t.Fatal(err)
			}
			p = &particles.Posterior{Last: day}
		}
		e := endsOf(c, p, len(c.Seasons)-1)
		if e.From != x.from || e.To != x.to || e.Course != x.course || e.Unlike != x.unlike {
			t.Errorf("%s, then %s, counted %q: from %d to %d, course %d, unlike %v; want %d to %d, %d, %v", x.last, x.seasons, x.counted,
				e.From, e.To, e.Course, e.Unlike, x.from, x.to, x.course, x.unlike)
		}
	}
}

// The interval of Wilson for 8 of 10, and the bounds of the words: the milder one
// while the interval holds the bound.
func TestVerdictOf(t *testing.T) {
	// Agresti & Coull 1998 (from memory) give 0.490 to 0.943 for 8 of 10.
	if low, high := wilson(0.8, 10); math.Abs(low-0.490) > 5e-4 || math.Abs(high-0.943) > 5e-4 {
		t.Errorf("8 of 10: %.4f to %.4f", low, high)
	}
	for _, x := range []struct {
		share float64
		runs  int
		want  Verdict
	}{
		{1, 2000, Down}, {0.92, 2000, Down}, {0.91, 2000, LikelyDown}, {0.70, 2000, LikelyDown}, {0.67, 2000, EitherWay}, {0.5, 2000, EitherWay},
		{0.32, 2000, EitherWay}, {0.30, 2000, LikelyUp}, {0.09, 2000, LikelyUp}, {0.08, 2000, Up}, {0, 2000, Up},
		{1, 1, EitherWay}, {1, 7, EitherWay}, {1, 8, LikelyDown}, {1, 34, LikelyDown}, {1, 35, Down}, {0, 35, Up},
	} {
		if got := verdictOf(x.share, x.runs); got != x.want {
			t.Errorf("%v of %d runs: %s, want %s", x.share, x.runs, got, x.want)
		}
	}
}
