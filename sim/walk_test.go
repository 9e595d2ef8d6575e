package sim_test

import (
	"fmt"
	"strings"
	"testing"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/simtest"
)

// walked is a small menu with a ley of two years, a crop that often fails, and a choice.
const walked = `
field: {area_ha: 5, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-20, heads_per_m2: {low: 15, high: 60}}
years: 3
menu:
  early wheat: {crop: winter-wheat}
  late wheat: {crop: winter-wheat, drill: {date: 2 Nov, latest: 20 Nov}, otherwise: spring-barley}
  barley: {crop: spring-barley, cover: {mix: mustard, days_after_harvest: 12, destroy: 25 Jan}}
  ley: {crop: grass-ley, years: 2}
  as it looks:
    choose:
      - if: {heads_per_m2: {above: 30}}
        crop: spring-barley
      - crop: winter-wheat
        herbicides:
          - {programme: autumn-residual-stack, days_after_drilling: 2}
          - {programme: spring-contact, date: 10 Mar, if: {plants_per_m2: {above: 3}, seen: 1 Mar}}
economics: {prices: {winter-wheat: {low: 150, high: 220}}}
`

// Every rotation of a menu, walked through its tree, is byte for byte the run of that rotation
// alone, on the same streams; states are handed on between workers that have run something else.
func TestWalkedRotationsAreRunsAlone(t *testing.T) {
	t.Run("held still", func(t *testing.T) { walkedAlone(t, walked) })
	t.Run("evolves", func(t *testing.T) {
		walkedAlone(t, strings.Replace(walked, "high: 60}}", "high: 60}, evolve: yes}", 1))
	})
}

func walkedAlone(t *testing.T, text string) {
	lib := simtest.Library(t)
	c := simtest.Choices(t, lib, text)
	m, err := sim.New(c.Calendar)
	if err != nil {
		t.Fatal(err)
	}
	worker := func(m *sim.Model) *sim.Worker {
		w, err := m.NewWorker()
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	every := simtest.Every(c)
	if int64(len(every)) != c.Allowed.Int64() || len(every) < 60 {
		t.Fatalf("%d rotations, %v allowed", len(every), c.Allowed)
	}
	const runs = 3
	got, stands := map[string]*sim.Record{}, map[string]float64{}
	stack := make([]*sim.Worker, 5)
	for i := range stack {
		stack[i] = worker(m)
	}
	sky, failed := m.NewSky(), 0
	for k := range uint32(runs) {
		r := replicate(stack[0], k)
		sky.FillFor(m, &r)
		if err := stack[0].Begin(r, sky, m.NewRecord(0)); err != nil {
			t.Fatal(err)
		}
		for _, w := range stack[1:] {
			w.Ready(r, sky, m.NewRecord(0))
		}
		var walk func(depth, node int, so rotations.Rotation)
		walk = func(depth, node int, so rotations.Rotation) {
			if len(c.Nodes[node].Steps) == 0 {
				if err := stack[depth].Close(); err != nil {
					t.Fatal(err)
				}
				rec := m.NewRecord(0)
				copy(rec.Seasons, stack[depth].Result().Seasons)
				got[fmt.Sprint(k, so)] = rec
			}
			for _, s := range c.Nodes[node].Steps {
				w := stack[depth+1]
				w.Resume(stack[depth])
				if err := w.Choose(s.Entry, c.Nodes[s.To].Year-c.Nodes[node].Year); err != nil {
					t.Fatal(err)
				}
				stands[fmt.Sprint(k, append(so, s.Entry))] = held(w) // whoever looks changes nothing
				walk(depth+1, s.To, append(so, s.Entry))
			}
		}
		walk(0, 0, nil)
	}
	for _, so := range every {
		alone, err := sim.New(simtest.Rotation(t, lib, c, so))
		if err != nil {
			t.Fatal(err)
		}
		w, sky := worker(alone), alone.NewSky()
		for k := range uint32(runs) {
			r := replicate(w, k)
			sky.FillFor(alone, &r)
			rec := alone.NewRecord(0)
			if err := w.Run(r, sky, nil, rec); err != nil {
				t.Fatal(err)
			}
			for i := range rec.Seasons {
				if rec.Seasons[i][sim.Course] > 0 {
					failed++
				}
			}
			booksBeginSo(t, c, so, rec, func(of rotations.Rotation) float64 { return stands[fmt.Sprint(k, of)] })
			for i := range rec.Seasons { // programmes are numbered by what is sprayed, in the menu or in the plan
				clear(rec.Seasons[i][sim.KillFirst:])
				clear(got[fmt.Sprint(k, so)].Seasons[i][sim.KillFirst:])
			}
			if text := differs(got[fmt.Sprint(k, so)], rec); text != "" {
				t.Fatalf("run %d of %v: %s", k, c.Menu.Names(so), text)
			}
		}
	}
	t.Logf("%d rotations, %d seasons in which the planned crop failed", len(every), failed)
	if failed == 0 {
		t.Error("no crop failed")
	}
}

// replicate is a replicate of a worker's model, drawn.
func replicate(w *sim.Worker, k uint32) sim.Replicate {
	r := sim.Replicate{Seed: 9, Streams: sim.StreamsOf(k), Theta: w.Model().Calendar().Space.Central()}
	w.DrawTheta(r.Seed, k, r.Theta)
	return r
}

// held is the seed where a run stands, on the evening of a harvest.
func held(w *sim.Worker) (sum float64) {
	var pools [sim.Pools]float64
	w.Holds(&pools)
	for _, x := range pools[:sim.Pools-1] {
		sum += x
	}
	return sum
}

// booksBeginSo fails where the books of a season begin with more seed than was held on the evening
// before, or with less than 0.95 of it.
func booksBeginSo(t *testing.T, c *rotations.Choices, so rotations.Rotation, rec *sim.Record, held func(of rotations.Rotation) float64) {
	t.Helper()
	year := 0
	for i, e := range so {
		if year += c.Menu.Entries[e].Years(); year == len(rec.Seasons) {
			break
		}
		if at, next := held(so[:i+1]), rec.Seasons[year][sim.LedgerStart]; !(next <= at && next >= 0.95*at) {
			t.Errorf("%v: %v seeds per m² are held behind season %d, and the books begin with %v", c.Menu.Names(so), at, year, next)
		}
	}
}
