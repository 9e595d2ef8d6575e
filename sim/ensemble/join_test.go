package ensemble_test

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"rundown/params/date"
	"rundown/params/sheet"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/random"
	"rundown/sim/simtest"
)

// lush is a model whose draws often cannot meet what is known of the cycle, so that
// replicates are counted as unmet: heads per plant are put beyond reach.
func lush(t *testing.T) *sim.Model {
	t.Helper()
	dir := t.TempDir()
	if err := os.MkdirAll(filepath.Join(dir, "weeds"), 0o755); err != nil {
		t.Fatal(err)
	}
	own := "name: black-grass\nvalues:\n  heads_per_plant: {value: 150, spread: fixed, grade: assumed, source: invented}\n" +
		"  return_target: {value: 25, spread: fixed, grade: assumed, source: invented}\n"
	if err := os.WriteFile(filepath.Join(dir, "weeds", "black-grass.yaml"), []byte(own), 0o644); err != nil {
		t.Fatal(err)
	}
	lib, mistakes := simtest.Library(t), sheet.Mistakes{}
	lib.Overlay(dir, &mistakes)
	if mistakes.Len() > 0 {
		t.Fatal(&mistakes)
	}
	m, err := sim.New(simtest.Calendar(t, lib, onPlace("soil: clay, climate: east-lowland", "{crop: winter-wheat}, {crop: spring-barley}")))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// alike fails where two outcomes differ in a bit of anything.
func alike(t *testing.T, what string, a, b *ensemble.Outcome, watches int) {
	t.Helper()
	if a.First != b.First || a.Replicates != b.Replicates || a.Unmet() != b.Unmet() {
		t.Fatalf("%s: from %d, %d runs, %d unmet; expected from %d, %d runs, %d unmet", what, a.First, a.Replicates, a.Unmet(), b.First, b.Replicates, b.Unmet())
	}
	if a.KeepsWork() != b.KeepsWork() {
		t.Fatalf("%s: what became of the work is kept by one of them", what)
	}
	for id := 0; a.KeepsWork() && id < len(a.Model.Work()); id++ {
		for k := range a.Replicates {
			if x, y := fmt.Sprint(a.Done(id, k)), fmt.Sprint(b.Done(id, k)); x != y {
				t.Fatalf("%s: work %d of run %d: %s, expected %s", what, id, k, x, y)
			}
		}
	}
	for k := range sim.MetricCount {
		if a.Keeps(k) != b.Keeps(k) {
			t.Fatalf("%s: %s is kept by one of them", what, sim.Metrics[k].Name)
		}
		for s := 0; a.Keeps(k) && s < a.Model.Seasons(); s++ {
			bits(t, fmt.Sprintf("%s: %s of season %d", what, sim.Metrics[k].Name, s+1), a.Column(k, s), b.Column(k, s))
		}
	}
	for i := range watches {
		bits(t, fmt.Sprintf("%s: watch %d", what, i), a.Watched(i), b.Watched(i))
	}
}

func bits(t *testing.T, what string, x, y []float64) {
	t.Helper()
	for r := range y {
		if len(x) != len(y) || math.Float64bits(x[r]) != math.Float64bits(y[r]) {
			t.Fatalf("%s differs in replicate %d of %d", what, r, len(y))
		}
	}
}

// Outcomes of ranges of replicates join to that of the whole, to the bit: in one
// range, two and seven, uneven, in any order, by any number of workers; drawn, with a
// case that turns on the way, and with some metrics alone.
func TestRangesJoinToTheWhole(t *testing.T) {
	const n, first = 61, 3
	watches := []sim.Watch{{Day: date.Of(2027, time.April, 1), What: sim.WatchPlants}, {Day: date.Of(2027, time.June, 20), What: sim.WatchHeads}}
	turn := func(w *sim.Worker, index int, r *sim.Replicate) {
		w.DrawTheta(r.Seed, uint32(index), r.Theta)
		r.Switch = sim.Switch{Day: date.Of(2027, time.March, 1), Streams: sim.StreamsOf(uint32(index + 5000))}
		if index%5 == 0 { // must not be there in the next run
			r.Switch, r.Until = sim.Switch{}, date.Of(2027, time.July, 1)
		}
	}
	const field = "soil: clay, climate: east-lowland"
	beans, unmet := model(t, onPlace(field, "{crop: winter-beans}, {crop: winter-wheat}")), lush(t)
	for name, o := range map[string]ensemble.Options{
		"drawn":         {Watches: watches},
		"work":          {Keep: []sim.Metric{sim.Course}, Work: true},
		"turned":        {Watches: watches, Case: turn},
		"frozen":        {Freeze: [random.Kinds]bool{random.Weather: true}},
		"two metrics":   {Keep: []sim.Metric{sim.Margin, sim.Heads}},
		"watches alone": {Keep: []sim.Metric{}, Watches: watches},
	} {
		models := []*sim.Model{beans, beans}
		if name == "drawn" {
			models[0] = unmet
		}
		o.Replicates, o.First, o.Seed = n, first, 9
		whole := runAll(t, o, models...)
		if name == "drawn" && whole[0].Unmet() == 0 {
			t.Error("no replicate is unmet: the sum of them is not tried")
		}
		for _, cuts := range [][]int{{n}, {17, n}, {1, 2, 20, 21, 34, 50, n}} {
			var parts [][]*ensemble.Outcome
			from := 0
			for i, to := range cuts {
				p := o
				p.First, p.Replicates, p.Jobs = first+from, to-from, 1+i%3
				parts = append(parts, runAll(t, p, models...))
				from = to
			}
			slices.Reverse(parts)
			parts = append(parts[len(parts)/2:], parts[:len(parts)/2]...)
			joined, err := ensemble.JoinAll(parts...)
			if err != nil {
				t.Fatal(err)
			}
			for i := range whole {
				alike(t, fmt.Sprintf("%s, model %d of %d ranges", name, i, len(cuts)), joined[i], whole[i], len(o.Watches))
			}
		}
	}
}

// What cannot be joined is said: a gap, a run twice, other plans, other things kept.
func TestWhatCannotBeJoined(t *testing.T) {
	m := model(t, onPlace("soil: clay, climate: east-lowland", "{crop: winter-wheat}"))
	long := model(t, onPlace("soil: clay, climate: east-lowland", "{crop: winter-wheat}, {crop: winter-wheat}"))
	part := func(m *sim.Model, first, n int, keep ...sim.Metric) *ensemble.Outcome {
		return runAll(t, ensemble.Options{First: first, Replicates: n, Seed: 1, Keep: keep}, m)[0]
	}
	for name, parts := range map[string][]*ensemble.Outcome{
		"nothing":       {},
		"a gap":         {part(m, 0, 3), part(m, 4, 2)},
		"twice":         {part(m, 0, 3), part(m, 2, 2)},
		"another plan":  {part(m, 0, 3), part(long, 3, 2)},
		"another thing": {part(m, 0, 3, sim.Heads), part(m, 3, 2, sim.Plants)},
	} {
		if o, err := ensemble.Join(parts...); err == nil {
			t.Errorf("%s: joined to %d runs", name, o.Replicates)
		}
	}
	if _, err := ensemble.JoinAll([]*ensemble.Outcome{part(m, 0, 1)}, nil); err == nil {
		t.Error("one plan was joined with none")
	}
}

// A sink is given every record once, with the values that would be kept.
func TestSink(t *testing.T) {
	m := model(t, onPlace("soil: clay, climate: east-lowland", "{crop: winter-wheat}"))
	const n, first = 50, 7
	whole := runAll(t, ensemble.Options{First: first, Replicates: n, Seed: 2}, m, m)
	var heads [2][n]float64
	var seen [2][n]int
	o := ensemble.Options{First: first, Replicates: n, Seed: 2, Sink: func(model, index int, rec *sim.Record) error {
		heads[model][index-first] = rec.Seasons[0][sim.Heads]
		seen[model][index-first]++
		return nil
	}}
	if out := runAll(t, o, m, m); out[0].Keeps(sim.Heads) {
		t.Error("what went to the sink is kept as well")
	}
	for i := range heads {
		bits(t, "heads", heads[i][:], whole[i].Column(sim.Heads, 0))
		if slices.Max(seen[i][:]) != 1 || slices.Min(seen[i][:]) != 1 {
			t.Errorf("records were given %v times", seen[i])
		}
	}
	o.Sink = func(int, int, *sim.Record) error { return fmt.Errorf("full") }
	if _, err := ensemble.Run(context.Background(), []*sim.Model{m}, o); err == nil || err.Error() != "full" {
		t.Errorf("an error of the sink came out as %v", err)
	}
}

// BenchmarkKept is the memory that results take, by how many metrics are kept.
func BenchmarkKept(b *testing.B) {
	m := model(b, string(rotations.Starter()))
	for _, keep := range []int{0, 1, 4, int(sim.MetricCount)} {
		b.Run(fmt.Sprintf("metrics=%d", keep), func(b *testing.B) {
			metrics := make([]sim.Metric, keep)
			for k := range metrics {
				metrics[k] = sim.Metric(k)
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := ensemble.Run(context.Background(), []*sim.Model{m}, ensemble.Options{Replicates: 2000, Seed: 1, Keep: metrics}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
