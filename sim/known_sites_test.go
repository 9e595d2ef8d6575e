package sim_test

import (
	"fmt"
	"os"
	"testing"

	"rundown/params"
	"rundown/sim"
	"rundown/sim/simtest"
)

// Whatever a site is made of is in the key under which it is kept: with any one value
// of its weed, soil, climate, reference crop, tillage or sprays moved a little, a model
// made beside the unmoved one gives the bits of one of which nothing was kept. (RUNDOWN_SLOW=1: every value.)
func TestEveryValueOfASiteIsInItsKey(t *testing.T) {
	lib := simtest.Library(t)
	every := 4
	switch {
	case os.Getenv("RUNDOWN_SLOW") != "": // half a minute
		every = 1
	case testing.Short():
		every = 24
	}
	const plan = "field: {area_ha: 1, soil: %s, climate: %s}\nweed: {species: %s, start: 2026-08-01, heads_per_m2: 10}\nseasons: [{crop: winter-wheat}]\n"
	for _, on := range [][3]string{{"clay", "east-lowland", "black-grass"}, {"loam", "west-maritime", "wild-oat"}} {
		make := func() *sim.Record {
			m, err := sim.New(simtest.Calendar(t, lib, fmt.Sprintf(plan, on[0], on[1], on[2])))
			if err != nil {
				return nil // a value that cannot be so
			}
			return recordOf(t, m)
		}
		tried := 0
		try := func(v *params.Value, to func(by float64)) {
			tried++
			if tried%every != 0 {
				return
			}
			sim.Forget()
			make()
			to(1.02)
			beside := make()
			sim.Forget()
			alone := make()
			to(1 / 1.02)
			if (beside == nil) != (alone == nil) {
				t.Fatalf("%s: one of the two models could not be made", v.Path)
			}
			for k := range sim.MetricCount {
				if beside != nil && !same(beside.Seasons[0][k], alone.Seasons[0][k]) {
					t.Errorf("%s moved: %s is %v beside the unmoved, %v alone", v.Path, sim.Metrics[k].Name, beside.Seasons[0][k], alone.Seasons[0][k])
					return
				}
			}
		}
		for _, of := range [][2]string{{"weeds", on[2]}, {"soils", on[0]}, {"climates", on[1]}, {"crops", "winter-wheat"}, {"implements", "shallow-disc"},
			{"implements", "tine-drill"}, {"herbicides", "spray-off"}} {
			e := lib.Find(of[0], of[1])
			for _, key := range e.Keys {
				v := e.Value(key)
				if key == "movement" { // its rows add up to 1
					continue
				}
				try(v, mover(v))
			}
		}
		if tried < 80 {
			t.Errorf("%d values were tried", tried)
		}
	}
}

// mover moves a value by a factor, and by one below 1 back, to the bit.
func mover(v *params.Value) func(by float64) {
	before, row := v.Central, append([]float64(nil), v.Row...)
	return func(by float64) {
		if by < 1 {
			v.Central = before
			copy(v.Row, row)
			return
		}
		v.Central = min(v.High, v.Central*by)
		for i := range v.Row {
			v.Row[i] *= by
		}
	}
}

// recordOf is one replicate of a model.
func recordOf(t *testing.T, m *sim.Model) *sim.Record {
	t.Helper()
	w, err := m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	r, sky, rec := sim.Replicate{Seed: 1, Streams: sim.StreamsOf(3), Theta: m.Calendar().Space.Central()}, m.NewSky(), m.NewRecord(0)
	w.DrawTheta(1, 3, r.Theta)
	sky.FillFor(m, &r)
	if err := w.Run(r, sky, nil, rec); err != nil {
		t.Fatal(err)
	}
	return rec
}
