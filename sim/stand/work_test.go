package stand

import (
	"math"
	"testing"

	"rundown/params/date"
)

// crowd is 300 plants per m² up in autumn on a hectare and 40 up in March.
func crowd() *Stand {
	var s Stand
	s.Add(Cohort{Day: date.Of(2026, 9, 28), Up: date.Of(2026, 9, 15), N: 300e4, Cover: 1}, 0, 0)
	s.Add(Cohort{Day: date.Of(2027, 3, 4), Up: date.Of(2027, 3, 1), N: 40e4, Cover: 1}, 0, 0)
	return &s
}

func all(x float64) Sizes { return Sizes{x, x, x} }

// Work at its limits: what is not set goes with its plant, what is set stays where the
// plant does.
func TestWorkAtItsLimits(t *testing.T) {
	p, season := typical(), SeasonOf(2027, false, 1)
	young, ripe := Ripe{Tall: 1, Up: 1}, Ripe{Tall: 1, Up: 1, Set: 1}
	for _, c := range []struct {
		name  string
		how   Way
		kill  float64
		heads float64
		ripe  Ripe
		want  float64
	}{
		{"a spray on young heads", Loosen, 0.7, 0, young, 0.3},
		{"a spray on ripe ones", Loosen, 0.7, 0, ripe, 1},
		{"a burn-off of young heads", Bare, 0.9, 0, young, 0},
		{"a burn-off of ripe ones", Bare, 0.9, 0, ripe, 1},
		{"patches, young", Patch, 0.8, 0.85, young, 0.15},
		{"patches, ripe", Patch, 0.8, 0.85, ripe, 1},
		{"patches that kill every plant", Patch, 1, 0.85, young, 0.15},
		{"a cut before shoots stand", Cut, 0, 0.9, Ripe{Regrows: 1}, 1},
		{"a cut of young heads", Cut, 0.2, 0.9, young, 0.08},
		{"a cut of ripe ones", Cut, 0.2, 0.9, ripe, 0.1},
		{"a cut that grows again", Cut, 0, 0.9, Ripe{Tall: 1, Regrows: 1}, 0.82},
		{"topping young heads", Top, 0.2, 0.9, young, 0.08},
		{"topping ripe ones", Top, 0.2, 0.9, ripe, 1},
		{"pulling before heads are out", Pull, 0, 0.85, Ripe{Tall: 1}, 1},
		{"pulling ripe heads", Pull, 0, 0.85, ripe, 0.15},
	} {
		s := crowd()
		got := s.Meet(p, &Work{How: c.how, Kill: all(c.kill), Heads: c.heads, Today: date.Of(2027, 6, 16), Heat: 3000, Season: &season, Ripe: c.ripe})
		if math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %.4f is left, expected %.4f", c.name, got, c.want)
		}
		for i := range s.Cohorts {
			k := &s.Cohorts[i]
			if sum := k.alive + k.killed + k.died; math.Abs(sum-1) > 1e-12 {
				t.Errorf("%s: shares of a cohort add to %v", c.name, sum)
			}
		}
	}
}

// mean heads of a stand that is counted, of 200 draws.
func meanHeads(t *testing.T, p *Params, season *Season, w *Work) float64 {
	t.Helper()
	var sum float64
	for k := range int32(200) {
		s := crowd()
		var tally Tally
		if w != nil {
			s.Meet(p, w)
		}
		c := chance(30000 + k)
		s.Count(c, &tally)
		var h Heads
		h.Form(s, p, season, 1e4, c)
		sum += float64(h.Total()) / 200
	}
	return sum
}

// Heads follow what is borne: once room is settled, heads fall by what work takes, in
// a crowd too; killed on 1 May, half the plants relieve the others, as the hyperbola
// says; in patches they do not. 200 draws of 600,000 heads or more: 0.5 % is beyond
// five standard errors.
func TestRoomOfTheDead(t *testing.T) {
	p, season := typical(), SeasonOf(2027, false, 1)
	whole := meanHeads(t, p, &season, nil)
	e := 300*1 + 40.0/6
	x := p.HeadsPerPlant * e / p.MaxHeadsPerM2
	for _, c := range []struct {
		name string
		work Work
		want float64
	}{
		{"half killed in mid-June", Work{How: Loosen, Kill: all(0.5), Ripe: Ripe{Room: 1}}, 0.5},
		{"half killed on 1 May", Work{How: Loosen, Kill: all(0.5), Ripe: Ripe{}}, 0.5 * (1 + x) / (1 + x/2)},
		{"half killed in patches on 1 May", Work{How: Patch, Kill: all(0.5), Heads: 0.5}, 0.5},
		{"killed when a third is set", Work{How: Loosen, Kill: all(1), Ripe: Ripe{Set: 1.0 / 3, Room: 1}}, 1.0 / 3},
		{"cut in mid-June", Work{How: Cut, Heads: 0.9, Ripe: Ripe{Tall: 1, Room: 1}}, 0.1},
	} {
		c.work.Today, c.work.Heat, c.work.Season = date.Of(2027, 5, 1), 3000, &season
		if got := meanHeads(t, p, &season, &c.work) / whole; math.Abs(got/c.want-1) > 0.005 {
			t.Errorf("%s: %.4f of the heads, expected %.4f", c.name, got, c.want)
		}
	}
}

// What outlives a burn-off starts afresh: sprayed on 1 December, half-killed plants of
// September bear as those that come up on that day; sprayed in September, as before.
func TestSurvivorsStartAfresh(t *testing.T) {
	p, season := typical(), SeasonOf(2027, false, 1)
	for _, c := range []struct {
		today date.Day
		want  float64
	}{{date.Of(2026, 9, 14), 0.5}, {date.Of(2026, 12, 1), 0.5 * math.Pow(p.RhoFebruary, 77.0/139)}} {
		var s Stand
		s.Add(Cohort{Day: date.Of(2026, 9, 10), Up: date.Of(2026, 9, 10), N: 1000, Cover: 1}, 0, 0)
		got := s.Meet(p, &Work{How: Bare, Kill: all(0.5), Today: c.today, Heat: 500, Season: &season, Ripe: Ripe{Regrows: 1}})
		if math.Abs(got-c.want) > 1e-9 {
			t.Errorf("sprayed on %v: %.3f is left, expected %.3f", c.today, got, c.want)
		}
	}
}

// What comes up late heads less: all of its fecundity on 18 May, half on 1 June, none
// from mid-June.
func TestLateComersHeadLess(t *testing.T) {
	p, season := typical(), SeasonOf(2027, false, 1)
	for _, c := range []struct {
		day  date.Day
		want float64
	}{{date.Of(2027, 5, 18), 1}, {date.Of(2027, 6, 1), 0.5}, {date.Of(2027, 6, 15), 0}, {date.Of(2027, 7, 20), 0}} {
		if got := p.fecundity(c.day, &season) / p.RhoFebruary; math.Abs(got-c.want) > 1e-12 {
			t.Errorf("up on %v: %.3f of the fecundity of March, expected %.3f", c.day, got, c.want)
		}
	}
}
