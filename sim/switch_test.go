package sim_test

import (
	"math"
	"testing"
	"time"

	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
)

// looks are watches on days of every kind: between steps and on the turn of
// years, while seed falls, on the day of a count and of a harvest.
func looks() []sim.Watch {
	var w []sim.Watch
	for _, d := range []date.Day{
		date.Of(2026, time.October, 19), date.Of(2026, time.December, 31), date.Of(2027, time.April, 1), date.Of(2027, time.June, 15),
		date.Of(2027, time.July, 1), date.Of(2027, time.July, 20), date.Of(2027, time.August, 30), date.Of(2028, time.February, 29), date.Of(2028, time.June, 20),
	} {
		for _, q := range []sim.Quantity{sim.WatchPlants, sim.WatchHeads, sim.WatchSeeds, sim.WatchFresh, sim.WatchEmerged, sim.WatchTopWater} {
			w = append(w, sim.Watch{Day: d, What: q})
		}
		w = append(w, sim.Watch{Day: d, What: sim.WatchTop, DepthCM: 7})
	}
	return w
}

// replay is one replicate of the starter plan.
func replay(t *testing.T, m *sim.Model, luck uint32, turn sim.Switch, until date.Day, w []sim.Watch) *sim.Record {
	t.Helper()
	worker, err := m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	sky, rec, theta := m.NewSky(), m.NewRecord(len(w)), m.Calendar().Space.Central()
	worker.DrawTheta(1, luck, theta)
	sky.FillSwitched(m, 1, luck, turn)
	if err := worker.Run(sim.Replicate{Seed: 1, Streams: sim.StreamsOf(luck), Theta: theta, Switch: turn, Until: until}, sky, w, rec); err != nil {
		t.Fatal(err)
	}
	return rec
}

// same tells whether two values are the same to the bit; two NaN are.
func same(a, b float64) bool { return math.Float64bits(a) == math.Float64bits(b) }

// seasonsDiffer is the first season in which two records differ; −1: none.
func seasonsDiffer(a, b *sim.Record) int {
	for s := range a.Seasons {
		for k := range a.Seasons[s] {
			if !same(a.Seasons[s][k], b.Seasons[s][k]) {
				return s
			}
		}
	}
	return -1
}

// Looking changes nothing: a run that is watched is the run that is not.
func TestWatchingChangesNothing(t *testing.T) {
	m := model(t, string(rotations.Starter()))
	for luck := range uint32(5) {
		plain, watched := replay(t, m, luck, sim.Switch{}, 0, nil), replay(t, m, luck, sim.Switch{}, 0, looks())
		if s := seasonsDiffer(plain, watched); s >= 0 {
			t.Errorf("luck %d: season %d differs because it was watched", luck, s)
		}
		for i, x := range watched.Watched {
			if math.IsNaN(x) {
				t.Errorf("luck %d: nothing was seen by %+v", luck, looks()[i])
			}
		}
	}
}

// A turn to the same luck changes no bit; a turn to another keeps all that came
// before and changes what comes after.
func TestTurn(t *testing.T) {
	m, w := model(t, string(rotations.Starter())), looks()
	for luck := range uint32(4) {
		plain := replay(t, m, luck, sim.Switch{}, 0, w)
		for i := range w {
			day := w[i].Day + 1 // the day after a count
			if i > 0 && w[i-1].Day == w[i].Day {
				continue
			}
			same1 := replay(t, m, luck, sim.Switch{Day: day, Streams: sim.StreamsOf(luck)}, 0, w)
			if s := seasonsDiffer(plain, same1); s >= 0 {
				t.Fatalf("luck %d, turned to itself on %v: season %d differs", luck, day, s)
			}
			other := replay(t, m, luck, sim.Switch{Day: day, Streams: sim.StreamsOf(luck + 1000)}, 0, w)
			for k := range w {
				if w[k].Day < day && !same(plain.Watched[k], other.Watched[k]) {
					t.Errorf("luck %d, turned on %v: what %+v saw is %v, before %v", luck, day, w[k], other.Watched[k], plain.Watched[k])
				}
			}
			if last := len(plain.Seasons) - 1; same(plain.Seasons[last][sim.Heads], other.Seasons[last][sim.Heads]) {
				t.Errorf("luck %d, turned on %v: the last season is as before", luck, day)
			}
		}
	}
}

// A turned sky is the old one before the day and the new one after it, but for
// the state of the autoregression, which is forgotten by the next year.
func TestTurnedSky(t *testing.T) {
	m := model(t, string(rotations.Starter()))
	day := date.Of(2028, time.June, 21)
	old, next, turned := m.NewSky(), m.NewSky(), m.NewSky()
	old.Fill(m, 1, 3)
	next.Fill(m, 1, 8)
	turned.FillSwitched(m, 1, 3, sim.Switch{Day: day, Streams: sim.StreamsOf(8)})
	differ := 0
	for i := range old.Days.MeanC {
		switch d := old.Days.Start + date.Day(i); {
		case d < day:
			if !same(old.Days.TmaxC[i], turned.Days.TmaxC[i]) || !same(old.Days.RainMM[i], turned.Days.RainMM[i]) || old.Grid[i] != turned.Grid[i] {
				t.Fatalf("%v, before the turn, is not as it was", d)
			}
		case d >= date.Of(2029, time.March, 1):
			if !same(next.Days.RainMM[i], turned.Days.RainMM[i]) || math.Abs(next.Days.TmaxC[i]-turned.Days.TmaxC[i]) > 1e-9 {
				t.Fatalf("%v, long after the turn, is not the new luck's", d)
			}
		case !same(old.Days.TmaxC[i], turned.Days.TmaxC[i]):
			differ++
		}
	}
	if differ < 240 {
		t.Errorf("only %d days after the turn have other weather", differ)
	}
	// Ripening that had begun by the turn keeps its mean: dormancy was drawn on it.
	k := 2028 - old.Days.Start.Year()
	if !same(old.Ripe[k], turned.Ripe[k]) || same(old.Ripe[k+1], turned.Ripe[k+1]) {
		t.Errorf("mean of ripening in 2028 and 2029: %v and %v, before %v and %v", turned.Ripe[k], turned.Ripe[k+1], old.Ripe[k], old.Ripe[k+1])
	}
	// The residuals carry over: the day after the turn is nearer to the day
	// before than two days of a summer are that know nothing of each other (sd of
	// a day some 3 °C, lag-one correlation 0.6; 300 skies, five standard errors).
	jump, free := 0.0, 0.0
	const n = 300
	for luck := range uint32(n) {
		turned.FillSwitched(m, 1, luck, sim.Switch{Day: day, Streams: sim.StreamsOf(luck + 5000)})
		next.Fill(m, 1, luck+5000)
		i := int(day - turned.Days.Start)
		jump += math.Pow(turned.Days.TmaxC[i]-turned.Days.TmaxC[i-1], 2) / n
		free += math.Pow(next.Days.TmaxC[i]-turned.Days.TmaxC[i-1], 2) / n
	}
	if jump > 0.75*free {
		t.Errorf("mean square step over the turn %.1f °C², between skies that do not know each other %.1f", jump, free)
	}
}

// A run that ends early gives the seasons that were over.
func TestUntil(t *testing.T) {
	m := model(t, string(rotations.Starter()))
	until := date.Of(2028, time.June, 20)
	plain, short := replay(t, m, 2, sim.Switch{}, 0, looks()), replay(t, m, 2, sim.Switch{}, until, looks())
	for k := range plain.Seasons[0] {
		if !same(plain.Seasons[0][k], short.Seasons[0][k]) {
			t.Errorf("%s of the first season is %v, in the whole run %v", sim.Metrics[k].Name, short.Seasons[0][k], plain.Seasons[0][k])
		}
	}
	for i := range plain.Watched {
		if !same(plain.Watched[i], short.Watched[i]) {
			t.Errorf("%+v saw %v, in the whole run %v", looks()[i], short.Watched[i], plain.Watched[i])
		}
	}
	if !math.IsNaN(short.Seasons[5][sim.Heads]) {
		t.Error("a season after the end has heads")
	}
}

// Seed in the top of the soil is that of the layers it holds.
func TestWatchTop(t *testing.T) {
	m := model(t, string(rotations.Starter()))
	day := date.Of(2027, time.March, 3)
	w := []sim.Watch{{Day: day, What: sim.WatchSurface}, {Day: day, What: sim.Watch0to5}, {Day: day, What: sim.Watch5to10}, {Day: day, What: sim.WatchSeeds},
		{Day: day, What: sim.WatchTop}, {Day: day, What: sim.WatchTop, DepthCM: 5}, {Day: day, What: sim.WatchTop, DepthCM: 7.5},
		{Day: day, What: sim.WatchTop, DepthCM: 20}}
	x := replay(t, m, 0, sim.Switch{}, 0, w).Watched
	for i, want := range []float64{x[0], x[0] + x[1], x[0] + x[1] + x[2]/2, x[3]} {
		if math.Abs(x[4+i]-want) > 1e-9*want {
			t.Errorf("top %g cm: %v seeds per m², layers hold %v", w[4+i].DepthCM, x[4+i], want)
		}
	}
}
