package herbicide

import (
	"math"
	"testing"
)

func active() Active {
	a := Active{ResidualParams: ResidualParams{SeasonControl: 0.7, DryEffect: -1.2, DoseSlope: 1, HalfLifeD: 40, Q10: 2.2, SeasonSiteSD: 0.53}}
	a.Set(math.Log(9)) // 0.90 just after spraying
	return a
}

// What is left halves in a half-life, and B = 1 makes the odds of killing fall
// with it; a degree colder ages it less, by Q10.
func TestDecay(t *testing.T) {
	a := active()
	odds := func(p float64) float64 { return p / (1 - p) }
	fresh, old := odds(a.Kill(0, 0, 8, 0)), odds(a.Kill(0, 40, 8, 0))
	if math.Abs(old/fresh-0.5) > 1e-12 {
		t.Errorf("odds fall to %.4f in a half-life, expected 0.5", old/fresh)
	}
	if got := a.Days8C(10, 18) / a.Days8C(10, 8); math.Abs(got-2.2) > 1e-12 {
		t.Errorf("ten degrees more age it %.3f times as fast, expected Q10 = 2.2", got)
	}
	if got := a.Days8C(10, 8); got != 10 {
		t.Errorf("ten days at 8 °C count for %v", got)
	}
}

// A bone-dry fortnight costs 1.2 on the logit scale, and only the fortnight counts.
func TestDrySeedbed(t *testing.T) {
	wet, dry := Application{}, Application{}
	wet.Start([]Active{active()}, nil, 0)
	dry.Start([]Active{active()}, nil, 0)
	for range 14 {
		wet.Day(0)
		dry.Day(1)
	}
	for range 30 {
		wet.Day(1)
		dry.Day(0)
	}
	w, d := wet.Step(0, 8, Up{0.5, 8}), dry.Step(0, 8, Up{0.5, 8})
	logit := func(survive float64) float64 { return math.Log((1 - survive) / survive) }
	if got := logit(w) - logit(d); math.Abs(got-1.2) > 1e-9 {
		t.Errorf("dryness costs %.4f logits, expected 1.2", got)
	}
}

// Actives of a programme multiply their survivals; resistance takes a share of
// each one's efficacy.
func TestProgramme(t *testing.T) {
	var a Application
	a.Start([]Active{active(), active()}, nil, 0)
	if got := a.Step(0, 8, Up{0.5, 8}); math.Abs(got-0.01) > 1e-9 {
		t.Errorf("two actives at 0.90 let %.4f live, expected 0.01", got)
	}
	a.Start([]Active{active(), active()}, []float64{0.5, 0}, 0)
	if got := a.Step(0, 8, Up{0.5, 8}); math.Abs(got-0.055) > 1e-9 {
		t.Errorf("with half of one lost %.4f live, expected 0.055", got)
	}
}

// Solve finds the efficacy that gives the season's control.
func TestSolve(t *testing.T) {
	a := active()
	season := []Met{{5, 5, 14}, {3, 20, 11}, {1, 60, 6}, {1, 120, 4}}
	a.Solve(season, 0.3)
	var killed, all float64
	for _, s := range season {
		killed += s.Share * a.Kill(0.3, s.Age, s.TempC, 0)
		all += s.Share
	}
	if math.Abs(killed/all-0.7) > 1e-9 {
		t.Errorf("season control %.6f, expected 0.7", killed/all)
	}
	if !(a.Kill(0, 0, 8, 0) > 0.7) {
		t.Error("efficacy just after spraying must be above the season's")
	}
}

// Odds that are carried from step to step are those of the age that the steps
// add up to: in the middle of each, to 1e-8, through dry days and moist, warm and cold.
func TestStepsAddUp(t *testing.T) {
	var a Application
	p := active()
	a.Start([]Active{p}, nil, 0.3)
	age := 0.0
	for k := range 40 {
		for range 5 {
			a.Day(float64(k%3) / 2)
		}
		temp := float64(k % 18)
		older := p.Days8C(5, temp)
		want := 1 - p.Kill(a.dryness(), age+older/2, temp, 0.3)
		if got := a.Step(5, temp, Up{0.5, temp}); math.Abs(got/want-1) > 1e-8 {
			t.Fatalf("step %d lets %.12f live, expected %.12f", k, got, want)
		}
		age += older
	}
}

// On the day of spraying, seedlings that are just up are taken as those that are coming up, by
// the share that they are within reach; on colder soil more of either, since they stay longer in
// what was treated: proportional uptake doubles the dose from 8 to 4 °C.
func TestNowAndInTheCold(t *testing.T) {
	p := active()
	p.SlowEmergence, p.JustUp = 1, 0.9
	p.Set(p.Base)
	var a Application
	a.Start([]Active{p}, nil, 0.2)
	if got, want := a.Now(0.3, 8), 0.9*p.Kill(0.3, 0, 8, 0.2); math.Abs(got-want) > 1e-12 {
		t.Errorf("%.6f of seedlings just up are killed, expected %.6f", got, want)
	}
	logit := func(k float64) float64 { return math.Log(k / (1 - k)) }
	if got, want := logit(p.Kill(0, 0, 4, 0))-logit(p.Kill(0, 0, 8, 0)), p.DoseSlope*math.Ln2; math.Abs(got-want) > 1e-9 {
		t.Errorf("from 8 to 4 °C the log odds rise by %.4f, expected %.4f", got, want)
	}
	a.Lost = []float64{1}
	if got := a.Now(0.3, 8); got != 0 {
		t.Errorf("a weed that is wholly resistant loses %.3f of its seedlings", got)
	}
}
