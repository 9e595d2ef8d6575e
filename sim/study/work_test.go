package study_test

import (
	"context"
	"math"
	"slices"
	"sync"
	"testing"

	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
	"rundown/sim/study"
)

const decemberPlough = `field: {name: Far Piece, area_ha: 10, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 20}
seasons:
  - crop: spring-barley
    cultivate: [{date: 20 Dec, with: plough}]
    spray_off: [{days_before_drilling: 1}]
    drill: {date: 18 Mar, latest: 20 Apr, with: tine-drill}
    herbicides: [{programme: spring-residual, days_after_drilling: 2}]
  - crop: winter-wheat
    spray_off: [7 Oct]
    drill: {date: 25 Oct, latest: 5 Nov, with: tine-drill}
    herbicides: [{programme: autumn-residual-stack, days_after_drilling: 2}, {programme: spring-contact, date: 10 Mar}]
    otherwise: spring-barley
`

// forecastOf is the forecast of a plan, and every record that it is made of, by run.
func forecastOf(t *testing.T, n int, plan string) (*study.Forecast, []*sim.Record) {
	t.Helper()
	q := &study.ForecastRequest{Calendar: simtest.Calendar(t, simtest.Library(t), plan), Replicates: n, Seed: 3}
	asked, err := q.Runs(nil)
	if err != nil || !asked[0].Work {
		t.Fatalf("a forecast asks what became of the work: %v", err)
	}
	m, err := sim.New(q.Calendar)
	if err != nil {
		t.Fatal(err)
	}
	o, err := ensemble.Run(context.Background(), []*sim.Model{m}, ensemble.Options{Replicates: n, Seed: 3, Work: true})
	if err != nil {
		t.Fatal(err)
	}
	records, lock := make([]*sim.Record, n), sync.Mutex{}
	_, err = ensemble.Run(context.Background(), []*sim.Model{m}, ensemble.Options{Replicates: n, Seed: 3, Work: true, Sink: func(_, k int, rec *sim.Record) error {
		lock.Lock()
		defer lock.Unlock()
		records[k] = &sim.Record{Seasons: slices.Clone(rec.Seasons), Work: slices.Clone(rec.Work)}
		return nil
	}})
	if err != nil {
		t.Fatal(err)
	}
	return q.Find([]study.Outcomes{o}), records
}

// Shares of what became of the work are those counted from the records one by one, they add
// up, and those that grew the crop are told apart.
func TestSharesOfTheWork(t *testing.T) {
	const n = 250
	f, records := forecastOf(t, n, decemberPlough)
	list := f.Outcome.Model.Work()
	for s := range f.Seasons {
		for i := range f.Seasons[s].Work {
			w := &f.Seasons[s].Work[i]
			id := slices.Index(list, w.Work)
			called, done, grew, made := 0, 0, 0, 0
			var killed []float64
			for _, rec := range records {
				fate := rec.Work[id]
				if fate.Why == sim.NotCalled {
					continue
				}
				called++
				if fate.Why == sim.Made {
					done++
				}
				if int(rec.Seasons[s][sim.Course]) == w.Course {
					grew++
					if fate.Day != 0 {
						made++
					}
				}
				if fate.Met >= 1 {
					killed = append(killed, fate.Killed/fate.Met)
				}
			}
			near := func(what string, got, want float64) {
				if !(math.Abs(got-want) < 1e-9) && !(math.IsNaN(got) && math.IsNaN(want)) {
					t.Errorf("season %d, %+v: %s is %v, counted %v", s+1, w.Work, what, got, want)
				}
			}
			near("called", w.Called, float64(called)/n)
			if called == 0 {
				continue
			}
			near("done", w.Done, float64(done)/float64(called))
			near("done where grown", w.OfGrown, float64(made)/float64(grew))
			sum := w.Done
			for _, x := range w.Lapsed {
				sum += x
			}
			near("sum of the shares", sum, 1)
			if w.Killed.N != len(killed) {
				t.Errorf("season %d, %+v: killed over %d runs, counted %d", s+1, w.Work, w.Killed.N, len(killed))
			}
			if want := bands.Summarise(killed).P50; len(killed) > 0 && math.Abs(w.Killed.P50-want) > 1e-4 {
				t.Errorf("season %d, %+v: kills %v, counted %v", s+1, w.Work, w.Killed.P50, want)
			}
		}
	}
}

// A plough planned for 20 December finds wet clay: it is warned of, and named in the answer.
// What goes in as planned is not, nor is what lapses with a crop that was not grown.
func TestADecemberPloughIsWarnedOf(t *testing.T) {
	f, _ := forecastOf(t, 250, decemberPlough)
	var warned []study.Undone
	for _, w := range f.Warnings {
		if w.Code == study.WorkNotDone {
			warned = append(warned, w.Undone...)
		}
	}
	if len(warned) != 1 || warned[0].With.Name != "plough" || warned[0].Mostly != sim.BadGround || warned[0].Low > 0.5 || warned[0].High != warned[0].Low {
		t.Errorf("warned of %+v", warned)
	}
	if a := f.Answer.Undone; a == nil || a.With.Name != "plough" {
		t.Errorf("the answer names %+v", a)
	}
	late := f.Seasons[1].Work
	at := slices.IndexFunc(late, func(w study.Work) bool { return w.Op != nil && w.With.Name == "autumn-residual-stack" })
	if w := late[at]; !(w.Lapsed[sim.NoCrop] > 0.03) || w.OfGrown < 0.9 || math.Abs(w.Lapsed[sim.NoCrop]+f.Seasons[1].Drilled.Share-1) > 1e-9 {
		t.Errorf("the residual lapses with the wheat in %v of the runs, which is drilled in %v; where it is grown it is done in %v", w.Lapsed[sim.NoCrop],
			f.Seasons[1].Drilled.Share, w.OfGrown)
	}
}

// A burn-off kills about nine in ten, as its values in the library say of plants of the sizes
// that stand; a residual what its season control says, somewhat more in late autumn; and a
// clean field gives no share.
func TestWhatSpraysKill(t *testing.T) {
	f, _ := forecastOf(t, 250, decemberPlough)
	for _, x := range []struct {
		season    int
		with      string
		low, high float64
	}{{0, "spray-off", 0.82, 0.97}, {1, "spray-off", 0.82, 0.97}, {1, "autumn-residual-stack", 0.6, 0.95}, {0, "spring-residual", 0.2, 0.7}} {
		i := slices.IndexFunc(f.Seasons[x.season].Work, func(w study.Work) bool { return w.Op != nil && w.Course == 0 && w.With.Name == x.with })
		w := &f.Seasons[x.season].Work[i]
		t.Logf("%s in season %d: %.3f (%.3f to %.3f) over %d runs", x.with, x.season+1, w.Killed.P50, w.Killed.P05, w.Killed.P95, w.Killed.N)
		if !(w.Killed.P50 >= x.low && w.Killed.P50 <= x.high) {
			t.Errorf("%s of season %d kills %v, expected %v to %v", x.with, x.season+1, w.Killed.P50, x.low, x.high)
		}
	}
	clean, _ := forecastOf(t, 20, "field: {area_ha: 1, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, "+
		"seedbank_per_m2: {0-5: 0}}\nseasons: [{crop: winter-wheat}]\n")
	for _, w := range clean.Seasons[0].Work {
		if w.Killed.N != 0 {
			t.Errorf("%s kills %v where nothing grows", w.With.Name, w.Killed.P50)
		}
	}
}
