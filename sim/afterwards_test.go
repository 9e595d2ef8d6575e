package sim_test

import (
	"math"
	"strings"
	"testing"

	"rundown/params"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/simtest"
)

// behind is a plan of two seasons on a field with so many heads, continued by four wheats.
func behind(t *testing.T, lib *params.Library, crop, heads string) (*rotations.Calendar, *sim.Model) {
	t.Helper()
	c := simtest.Calendar(t, lib, strings.NewReplacer("CROP", crop, "HEADS", heads).Replace(`
field: {area_ha: 5, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-20, heads_per_m2: HEADS}
seasons: [{crop: winter-wheat}, {crop: CROP}]
`))
	all, err := c.Continued(rotations.Behind{})
	if err != nil {
		t.Fatal(err)
	}
	if all.After != 4 || len(all.Seasons) != 6 {
		t.Fatalf("%d seasons, %d of them afterwards", len(all.Seasons), all.After)
	}
	m, err := sim.New(all)
	if err != nil {
		t.Fatal(err)
	}
	return all, m
}

// multiplied is a replicate whose seed is multiplied when a season opens; by −1 it is left alone.
func multiplied(t *testing.T, w *sim.Worker, luck uint32, season int, by int64) *sim.Record {
	t.Helper()
	m := w.Model()
	r := sim.Replicate{Seed: 3, Streams: sim.StreamsOf(luck), Theta: m.Calendar().Space.Central()}
	w.DrawTheta(r.Seed, luck, r.Theta)
	sky, rec := m.NewSky(), m.NewRecord(0)
	sky.FillFor(m, &r)
	if err := w.Opens(season, r, sky, rec); err != nil {
		t.Fatal(err)
	}
	if by >= 0 {
		w.MultiplySeed(by)
	}
	if err := w.GoOn(); err != nil {
		t.Fatal(err)
	}
	return rec
}

// What the weed takes of the crops that follow a plan is what they would earn more on ground
// that is made clean when the plan is over: the same margin, run by run, to the rounding of a
// sum. So the loss can be read in the one run.
func TestLossAgainstGroundMadeClean(t *testing.T) {
	lib := simtest.Library(t)
	for _, crop := range []string{"winter-wheat", "spring-barley", "winter-oilseed-rape"} {
		_, m := behind(t, lib, crop, "60")
		w, err := m.NewWorker()
		if err != nil {
			t.Fatal(err)
		}
		lost := 0.0
		for k := range uint32(40) {
			dirty, clean := multiplied(t, w, k, 2, -1), multiplied(t, w, k, 2, 0)
			for i := 2; i < 6; i++ {
				d, c := &dirty.Seasons[i], &clean.Seasons[i]
				if c[sim.TakenByWeeds] != 0 {
					t.Fatalf("%s, run %d, season %d: the weed takes %v of clean ground", crop, k, i, c[sim.TakenByWeeds])
				}
				if far := math.Abs(c[sim.Margin] - d[sim.Margin] - d[sim.TakenByWeeds]); far > 1e-9 {
					t.Errorf("%s, run %d, season %d: %v earned on clean ground, %v on dirty, %v taken", crop, k, i, c[sim.Margin], d[sim.Margin], d[sim.TakenByWeeds])
				}
				lost += d[sim.TakenByWeeds]
			}
		}
		if lost /= 40; lost < 50 {
			t.Errorf("%s: %.0f per ha lost in four wheats behind a dirty field", crop, lost)
		}
	}
}

// With the same luck the charge never falls with more seed at the end; a run that ends on
// clean ground is charged nothing.
func TestTheChargeRisesWithSeed(t *testing.T) {
	simtest.NotRacing(t)
	_, m := behind(t, simtest.Library(t), "spring-barley", "20")
	w, err := m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	const runs = 60
	fell := 0
	for k := range uint32(runs) {
		last := 0.0
		for _, by := range []int64{0, 1, 2, 4, 16} {
			rec, sum := multiplied(t, w, k, 2, by), 0.0
			for i := 2; i < 6; i++ {
				sum += rec.Seasons[i][sim.TakenByWeeds]
			}
			if by == 0 && sum != 0 {
				t.Errorf("run %d: clean ground is charged %v", k, sum)
			}
			if sum < last {
				fell++
				t.Logf("run %d: %v where seed is %d-fold, %v before", k, sum, by, last)
			}
			last = sum
		}
	}
	if fell > 0 {
		t.Errorf("the charge falls %d times", fell)
	}
}
