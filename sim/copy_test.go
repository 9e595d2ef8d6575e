package sim_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"testing"
	"time"

	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/simtest"
)

// A run that is copied into a worker that has run something else goes on to the same last
// byte, whatever its donor runs from then on: every seventh day of the starter plan, with a
// cover, residues, a turn, and heads before the start; with the field whole, and now and then
// with two patches and two populations in each.
func TestACopiedRunGoesOn(t *testing.T) {
	simtest.NotRacing(t)
	t.Run("whole", func(t *testing.T) { copied(t, 7, 1, 1) })
	t.Run("patches", func(t *testing.T) { copied(t, 35, 1, 0.3, 0.7) })
	t.Run("populations", func(t *testing.T) { copied(t, 70, 2, 0.3, 0.7) })
}

func copied(t *testing.T, every date.Day, populations int, shares ...float64) {
	copiedPlan(t, string(rotations.Starter()), every, populations, shares...)
}

func copiedPlan(t *testing.T, plan string, every date.Day, populations int, shares ...float64) {
	m := model(t, plan)
	worker := func() *sim.Worker {
		w, err := m.NewPatchedWorker(populations, shares...)
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	replicate := func(k uint32) sim.Replicate {
		r := sim.Replicate{Seed: 1, Streams: sim.StreamsOf(k), Theta: m.Calendar().Space.Central()}
		worker().DrawTheta(1, k, r.Theta)
		return r
	}
	r, other := replicate(3), replicate(4)
	r.Switch = sim.Switch{Day: date.Of(2028, time.March, 3), Streams: sim.StreamsOf(100)}
	looks := looks()
	sky, otherSky := m.NewSky(), m.NewSky()
	sky.FillFor(m, &r)
	otherSky.FillFor(m, &other)

	record := func() *sim.Record { // which asks what became of the work, too
		rec := m.NewRecord(len(looks))
		rec.Work = m.NewFates()
		return rec
	}
	want := record()
	if err := worker().Run(r, sky, looks, want); err != nil {
		t.Fatal(err)
	}
	donor, used := worker(), worker()
	spoil := func(w *sim.Worker) {
		if err := w.Run(other, otherSky, nil, m.NewRecord(0)); err != nil {
			t.Fatal(err)
		}
	}
	first, last := m.Timeline()
	copies := 0
	defer func() { t.Logf("%d copies", copies) }()
	for day := first; day < last; day += every {
		copies++
		if err := donor.RunTo(day, r, sky, looks, record()); err != nil {
			t.Fatal(err)
		}
		spoil(used)
		got := record()
		used.CopyFrom(donor, got)
		spoil(donor)
		if err := used.GoOn(); err != nil {
			t.Fatal(err)
		}
		if text := differs(got, want); text != "" {
			t.Fatalf("copied on %v: %s", day, text)
		}
	}
}

// differs says where a record is not another, to the bit; nothing where it is.
func differs(got, want *sim.Record) string {
	for s := range want.Seasons {
		for q := range want.Seasons[s] {
			if x, y := got.Seasons[s][q], want.Seasons[s][q]; !same(x, y) {
				return fmt.Sprintf("season %d: %s is %v, expected %v", s, sim.Metrics[q].Name, x, y)
			}
		}
	}
	for i := range want.Watched {
		if x, y := got.Watched[i], want.Watched[i]; !same(x, y) {
			return fmt.Sprintf("watch %d is %v, expected %v", i, x, y)
		}
	}
	for i := range want.Work {
		if x, y := got.Work[i], want.Work[i]; x != y {
			return fmt.Sprintf("work %d is %+v, expected %+v", i, x, y)
		}
	}
	return ""
}

// Whoever looks changes nothing of what is told of the work.
func TestLooksChangeNoWork(t *testing.T) {
	m := model(t, string(rotations.Starter()))
	w, err := m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	r := sim.Replicate{Seed: 1, Streams: sim.StreamsOf(3), Theta: m.Calendar().Space.Central()}
	sky := m.NewSky()
	sky.FillFor(m, &r)
	var work [2][]sim.Fate
	for i, looks := range [][]sim.Watch{nil, looks()} {
		rec := m.NewRecord(len(looks))
		rec.Work = m.NewFates()
		if err := w.Run(r, sky, looks, rec); err != nil {
			t.Fatal(err)
		}
		work[i] = rec.Work
	}
	if !slices.Equal(work[0], work[1]) {
		t.Errorf("unseen %+v, watched %+v", work[0], work[1])
	}
}

// A large field in two patches that are alike has the densities of the whole, but for
// chance: 10,000 ha hold 4·10⁹ heads at the start. Its ledgers balance, or the run fails.
func TestPatchesAddUp(t *testing.T) {
	m := model(t, regexp.MustCompile(`area_ha: \d+`).ReplaceAllString(string(rotations.Starter()), "area_ha: 10000"))
	if ha := m.Calendar().AreaHa; ha != 10000 {
		t.Fatalf("the field has %v ha", ha)
	}
	r := sim.Replicate{Seed: 1, Streams: sim.StreamsOf(5), Theta: m.Calendar().Space.Central()}
	run := func(shares ...float64) *sim.Record {
		w, err := m.NewPatchedWorker(1, shares...)
		if err != nil {
			t.Fatal(err)
		}
		sky, rec := m.NewSky(), m.NewRecord(0)
		sky.FillFor(m, &r)
		if err := w.Run(r, sky, nil, rec); err != nil {
			t.Fatal(err)
		}
		return rec
	}
	whole, parted, one := run(1), run(0.4, 0.6), run(1)
	if text := differs(one, whole); text != "" {
		t.Fatal(text)
	}
	if differs(parted, whole) == "" {
		t.Error("two patches have the luck of one")
	}
	for s := range whole.Seasons {
		for q, x := range whole.Seasons[s] {
			y := parted.Seasons[s][q]
			if far := math.Abs(y - x); far > 2e-3*math.Abs(x)+1e-6 || math.IsNaN(x) != math.IsNaN(y) {
				t.Errorf("season %d: %s is %v in patches, %v in the whole field", s, sim.Metrics[q].Name, y, x)
			}
		}
	}
}

// A field among others shares weather with those of its climate, and has its own luck.
func TestAFieldAmongOthers(t *testing.T) {
	run := func(name string) *sim.Record {
		m := model(t, string(rotations.Starter()))
		m.NameField(name)
		w, err := m.NewWorker()
		if err != nil {
			t.Fatal(err)
		}
		r := sim.Replicate{Seed: 1, Streams: sim.StreamsOf(5), Theta: m.Calendar().Space.Central()}
		looks := []sim.Watch{{Day: date.Of(2026, time.October, 5), What: sim.WatchTopWater}, {Day: date.Of(2026, time.October, 5), What: sim.WatchSeeds}}
		sky, rec := m.NewSky(), m.NewRecord(len(looks))
		sky.FillFor(m, &r)
		if err := w.Run(r, sky, looks, rec); err != nil {
			t.Fatal(err)
		}
		return rec
	}
	alone, near, far := run(""), run("Near Piece"), run("Far Piece")
	if near.Watched[0] != far.Watched[0] {
		t.Errorf("soil water %v, %v, %v: fields have weathers of their own", alone.Watched[0], near.Watched[0], far.Watched[0])
	}
	if alone.Watched[1] == near.Watched[1] || near.Watched[1] == far.Watched[1] {
		t.Errorf("seeds %v, %v, %v: two fields have one luck", alone.Watched[1], near.Watched[1], far.Watched[1])
	}
	if again := run("Far Piece"); differs(again, far) != "" {
		t.Error("a field is not itself")
	}
}
