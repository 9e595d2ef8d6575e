package study_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/simtest"
	"rundown/sim/study"
)

const choosing = `field: {name: Far Piece, area_ha: 10, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 30}
counting: {quadrats: 20, quadrat_m2: 0.25}
seasons:
  - crop: winter-wheat
    harvest: {with: seed-control, if: {heads_per_m2: {above: 40}}}
  - choose:
      - if: {heads_per_m2: {above: 60}}
        crop: spring-barley
      - crop: winter-wheat
        drill: {date: 1 Nov, latest: 5 Nov, with: tine-drill}
        otherwise: spring-barley
`

// Weed-seed control at harvest has its line in the work: called for where the heads of June
// were many, done in all of those runs, on the day of the harvest, and never in the others.
func TestSeedControlIsWork(t *testing.T) {
	f, records := forecastOf(t, 200, choosing)
	for i := range f.Seasons[0].Work {
		w := &f.Seasons[0].Work[i]
		if w.Is != sim.SeedControlled {
			continue
		}
		if w.AskedFor < 0.1 || w.AskedFor > 0.9 || w.Done != 1 || w.If == nil || w.With.Name != "seed-control" {
			t.Errorf("called for in %v, done in %v of those", w.AskedFor, w.Done)
		}
		at := 0
		for id, x := range f.Outcome.Model.Work() {
			if x == w.Work {
				at = id
			}
		}
		for k, rec := range records {
			cost := f.Outcome.Column(sim.Looking, 0)[k]
			if why := rec.Work[at].Why; why != sim.Made && why != sim.NotAsked || cost != 0 {
				t.Fatalf("run %d: %v, looking cost %v", k, why, cost)
			}
		}
		return
	}
	t.Error("weed-seed control has no line")
}

// A crop that could not be drilled is told of the runs that planned it: the warning, the
// branch's own share and a count of the runs say the same.
func TestMissedOfThoseThatPlannedIt(t *testing.T) {
	f, _ := forecastOf(t, 300, choosing)
	course, branch := f.Outcome.Column(sim.Course, 1), f.Outcome.Column(sim.Branch, 1)
	planned, missed := 0.0, 0.0
	for k := range course {
		if branch[k] == 1 {
			planned++
			if course[k] != 0 {
				missed++
			}
		}
	}
	for _, w := range f.Warnings {
		if (w.Code == study.NotDrilled || w.Code == study.NoFallback) && w.Season == 2 && w.Of.Crop == "winter-wheat" {
			if math.Abs(w.X-missed/planned) > 1e-12 || math.Abs(1-w.Of.Drilled.Share-w.X) > 1e-12 {
				t.Errorf("%v of the runs that planned it could not drill it; the warning says %v, the branch %v", missed/planned, w.X, 1-w.Of.Drilled.Share)
			}
			return
		}
	}
	t.Errorf("no warning, though %v of %v could not drill", missed, planned)
}

// Plans end on one crop only where each of them ends on that crop alone.
func TestEndsThatAreChosen(t *testing.T) {
	lib := simtest.Library(t)
	wheat := strings.Replace(choosing, choosing[strings.Index(choosing, "  - choose"):], "  - crop: winter-wheat\n", 1)
	for _, c := range []struct {
		name string
		plan string
		same bool
	}{{"chosen", choosing, false}, {"wheat", wheat, true},
		{"wheat in both", strings.Replace(choosing, "crop: spring-barley\n      -", "crop: winter-wheat\n      -", 1), true}} {
		q := &study.CompareRequest{Calendars: []*rotations.Calendar{simtest.Calendar(t, lib, wheat), simtest.Calendar(t, lib, c.plan)}, Replicates: 20, Seed: 1}
		given, _, err := study.Answer(context.Background(), q, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := q.Find(given).SameCrop; got != c.same {
			t.Errorf("%s: one crop at the end: %v", c.name, got)
		}
	}
}
