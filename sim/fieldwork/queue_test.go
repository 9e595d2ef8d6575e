package fieldwork

import (
	"slices"
	"testing"

	"rundown/params/date"
)

const d0 = date.Day(20000)

// fit allows everything; wet nothing that needs the ground.
func fit() *Ground { return &Ground{Fit: [4]bool{true, true, true, true}, Cold: true} }
func wet() *Ground { return &Ground{Fit: [4]bool{true, false, false, false}} }

func jobs() []Job {
	return []Job{
		{Kind: Cultivate, With: 1, Due: d0, Latest: d0 + 5, Needs: Cultivation, After: -1},
		{Kind: SprayOff, With: 2, Due: d0 + 3, Latest: d0 + 10, Needs: Spraying, After: -1},
		{Kind: SprayOff, With: 3, OnDrill: true, Needs: Spraying, After: -1},
	}
}

// A job waits for its day and for the ground; one behind it does not overtake;
// past its own latest day it lapses and the next has its turn.
func TestWaitingAndLapsing(t *testing.T) {
	var q Queue
	q.Start(jobs(), d0-10)
	if j := q.Take(d0-1, fit(), 0); j != nil {
		t.Fatal("done before its day")
	}
	if j := q.Take(d0+4, wet(), 0); j != nil {
		t.Fatal("done on wet ground, or overtaken")
	}
	if j := q.Take(d0+6, fit(), 0); j == nil || j.With != 2 {
		t.Fatal("the spray should follow once the cultivation has lapsed")
	}
	if q.Lapsed != 1 || q.Waited != 1 {
		t.Errorf("lapsed %d, waited %d days; expected 1 and 1", q.Lapsed, q.Waited)
	}
	if j := q.Take(d0+7, fit(), 0); j != nil {
		t.Error("what belongs to drilling was done without it")
	}
	if j := q.Drill(d0 + 12); j == nil || j.With != 3 {
		t.Error("the job of the day of drilling is missing")
	}
}

// What still waits when the crop is drilled lapses.
func TestDrillingEndsTheQueue(t *testing.T) {
	var q Queue
	q.Start(jobs(), d0-10)
	if j := q.Drill(d0 + 12); j == nil || j.With != 3 || q.Lapsed != 2 {
		t.Errorf("lapsed %d of the two jobs before drilling", q.Lapsed)
	}
	if q.Drill(d0+12) != nil {
		t.Error("a job was left")
	}
}

// A burn-off counted back from the drilling is done again on the day when the
// drill comes over a week late, once; not when another has been done since, when
// the day has one of its own, or past a latest day that the plan gives it. One
// that found no fit day is done with the drill.
func TestBurnOffGoesWithTheDrill(t *testing.T) {
	burnOff := Job{Kind: SprayOff, With: 1, Due: d0, Latest: d0 + 40, Needs: Spraying, After: -1, Back: 1}
	second := Job{Kind: SprayOff, With: 2, Due: d0 + 15, Latest: d0 + 25, Needs: Spraying, After: -1}
	onDay := Job{Kind: SprayOff, With: 3, OnDrill: true, Needs: Spraying, After: -1}
	brief := burnOff
	brief.Latest = d0 + 5
	for _, c := range []struct {
		why   string
		jobs  []Job
		g     *Ground
		drill date.Day
		want  []int
	}{
		{"in time", []Job{burnOff}, fit(), d0 + 1, nil},
		{"a week late", []Job{burnOff}, fit(), d0 + 8, nil},
		{"over a week late", []Job{burnOff}, fit(), d0 + 9, []int{1}},
		{"another since", []Job{burnOff, second}, fit(), d0 + 20, nil},
		{"one of the day", []Job{burnOff, onDay}, fit(), d0 + 20, []int{3}},
		{"past its own latest day", []Job{brief}, fit(), d0 + 20, nil},
		{"never fit", []Job{burnOff}, wet(), d0 + 20, []int{1}},
	} {
		var q Queue
		q.Start(c.jobs, d0-10)
		for day := d0; day < c.drill; day++ {
			for q.Take(day, c.g, 0) != nil {
			}
		}
		var got []int
		for j := q.Drill(c.drill); j != nil; j = q.Drill(c.drill) {
			got = append(got, j.With)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: drilled with %v, want %v", c.why, got, c.want)
		}
	}
}

// A job counted from drilling waits for the drilling, then its days, then the ground.
func TestAfterDrilling(t *testing.T) {
	var q Queue
	q.Start([]Job{{Kind: Herbicide, After: 2, Grace: 10, Needs: Spraying}}, d0)
	if q.Take(d0+50, fit(), 0) != nil {
		t.Error("done before the crop was drilled")
	}
	if q.Take(d0+11, fit(), d0+10) != nil {
		t.Error("done a day early")
	}
	if q.Take(d0+12, wet(), d0+10) != nil || q.Take(d0+13, fit(), d0+10) == nil {
		t.Error("should wait a day for the ground, then be done")
	}
}

// A course that starts late leaves out what was due before it.
func TestStartLate(t *testing.T) {
	var q Queue
	q.Start(jobs(), d0+1)
	if j := q.Take(d0+3, fit(), 0); j == nil || j.With != 2 {
		t.Error("the cultivation of the day before should be left out")
	}
}

// A residual for cold soil waits for it.
func TestColdSoil(t *testing.T) {
	var q Queue
	q.Start([]Job{{Kind: Herbicide, Due: d0, Latest: d0 + 60, After: -1, Needs: Spraying, Cold: true}}, d0)
	warm := fit()
	warm.Cold = false
	if q.Take(d0+1, warm, d0-40) != nil || q.Take(d0+2, fit(), d0-40) == nil {
		t.Error("should wait for cold soil and no longer")
	}
}

// A queue is idle on days on which Take has nothing to do, and on no other: it
// neither hands out a job, nor counts a day of waiting, nor lets a job lapse.
func TestIdleIsWhenTakeDoesNothing(t *testing.T) {
	for name, jobs := range map[string][]Job{
		"none":           nil,
		"dated":          {{Due: 10, Latest: 20, Needs: Spraying, After: -1}, {Due: 15, Latest: 30, Needs: Nothing, After: -1}},
		"at drilling":    {{Due: 10, OnDrill: true, After: -1}},
		"after drilling": {{After: 3, Grace: 5, Needs: Spraying}},
		"on cold soil":   {{Due: 12, Latest: 14, Needs: Nothing, Cold: true, After: -1}},
	} {
		for _, fit := range []bool{false, true} {
			for _, drilled := range []date.Day{0, 5} {
				var q Queue
				q.Start(jobs, 1)
				g := Ground{Cold: fit}
				g.Fit[Nothing], g.Fit[Spraying] = true, fit
				for today := date.Day(1); today < 40; today++ {
					idle, before := today < q.Due(drilled), q
					j := q.Take(today, &g, drilled)
					still := j == nil && q.next == before.next && q.Waited == before.Waited && q.Lapsed == before.Lapsed
					if idle && !still || !idle && still {
						t.Errorf("%s, fit %v, drilled %d, day %d: idle %v, but Take does nothing is %v", name, fit, drilled, today, idle, still)
					}
				}
			}
		}
	}
}

// A job counted from the harvest before waits for its days, whenever the harvest was, and
// is kept when a job with a date before it is left out; it has no place after its latest.
func TestAfterHarvest(t *testing.T) {
	jobs := []Job{{Kind: Cultivate, Due: d0 + 3, Latest: d0 + 60, AfterHarvest: 3, Grace: 14, Needs: Cultivation, After: -1}}
	for _, harvest := range []date.Day{d0 - 8, d0, d0 + 11} {
		q := Queue{Harvested: harvest}
		q.Start(jobs, harvest+1)
		if q.Due(0) <= harvest+2 || q.Take(harvest+2, fit(), 0) != nil {
			t.Errorf("harvest %d: done a day early", harvest)
		}
		if q.Due(0) > harvest+3 || q.Take(harvest+3, wet(), 0) != nil || q.Take(harvest+17, fit(), 0) == nil {
			t.Errorf("harvest %d: should wait for the ground, up to its grace, then be done", harvest)
		}
	}
	q := Queue{Harvested: d0 + 59}
	q.Start(jobs, d0+60)
	if q.Take(d0+62, fit(), 0) != nil || q.Lapsed != 1 {
		t.Error("done after its latest day")
	}
}
