package ensemble_test

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"rundown/params/sheet"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
)

// onPlace is a plan with some seasons on a field.
func onPlace(field, seasons string) string {
	return "field: {area_ha: 12, " + field + "}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 40}\nseasons: [" + seasons + "]\n"
}

// Weather is shared by what makes it: each model here loads a library of its own, and
// one of them differs in a crop, another in a soil.
func TestModelsOfOneWeatherShareIt(t *testing.T) {
	const eastern = "soil: clay, climate: east-lowland"
	first := model(t, onPlace(eastern, "{crop: winter-wheat}"))
	dir := t.TempDir()
	if err := os.MkdirAll(filepath.Join(dir, "crops"), 0o755); err != nil {
		t.Fatal(err)
	}
	own := "name: winter-wheat\nvalues:\n  price: {value: 210, spread: fixed, grade: assumed, source: invented}\n"
	if err := os.WriteFile(filepath.Join(dir, "crops", "winter-wheat.yaml"), []byte(own), 0o644); err != nil {
		t.Fatal(err)
	}
	lib, m := simtest.Library(t), sheet.Mistakes{}
	lib.Overlay(dir, &m)
	if m.Len() > 0 {
		t.Fatal(&m)
	}
	dearer, err := sim.New(simtest.Calendar(t, lib, onPlace(eastern, "{crop: winter-wheat}")))
	if err != nil {
		t.Fatal(err)
	}
	if a, b := first.Calendar().Library.SHA256(), dearer.Calendar().Library.SHA256(); a == b {
		t.Fatal("the two libraries have one sum")
	}
	for name, x := range map[string]struct {
		m     *sim.Model
		share bool
	}{
		"a library with another price": {dearer, true},
		"another crop":                 {model(t, onPlace(eastern, "{crop: spring-barley}")), true},
		"another soil":                 {model(t, onPlace("soil: loam, climate: east-lowland", "{crop: winter-wheat}")), true},
		"another climate":              {model(t, onPlace("soil: clay, climate: west-maritime", "{crop: winter-wheat}")), false},
		"a longer plan":                {model(t, onPlace(eastern, "{crop: winter-wheat}, {crop: winter-wheat}")), false},
	} {
		if got := x.m.SharesSky(first); got != x.share || first.SharesSky(x.m) != got {
			t.Errorf("%s: weather shared: %v", name, got)
		}
	}
	const n = 20
	together := runAll(t, ensemble.Options{Replicates: n, Seed: 3}, first, dearer,
		model(t, onPlace("soil: clay, climate: west-maritime", "{crop: winter-wheat}")),
		model(t, onPlace("soil: clay, climate: west-maritime", "{crop: winter-beans}")))
	for i, o := range together {
		same(t, fmt.Sprintf("model %d", i), o, runAll(t, ensemble.Options{Replicates: n, Seed: 3}, o.Model)[0])
	}
}

// same fails where two outcomes differ in a bit.
func same(t *testing.T, what string, a, b *ensemble.Outcome) {
	t.Helper()
	for s := range a.Model.Seasons() {
		for k := range sim.MetricCount {
			x, y := a.Column(k, s), b.Column(k, s)
			if len(x) != len(y) {
				t.Fatalf("%s: %d replicates, %d", what, len(x), len(y))
			}
			for r := range x {
				if math.Float64bits(x[r]) != math.Float64bits(y[r]) {
					t.Fatalf("%s: %s of season %d differs in replicate %d: %v, %v", what, sim.Metrics[k].Name, s+1, r, x[r], y[r])
				}
			}
		}
	}
}

// BenchmarkCompared is four plans of one field compared, as a ratio to four single
// runs: by turns, least of each, since a machine is not equally quiet for long.
func BenchmarkCompared(b *testing.B) {
	var models []*sim.Model
	for _, file := range []string{"early-wheat", "late-wheat", "wheat-and-oats", "two-springs"} {
		text, err := os.ReadFile("../../examples/" + file + ".yaml")
		if err != nil {
			b.Fatal(err)
		}
		models = append(models, model(b, string(text)))
	}
	with := ensemble.Options{Replicates: 300, Seed: 1, Jobs: 1}
	took := func(models ...*sim.Model) time.Duration {
		from := time.Now()
		if _, err := ensemble.Run(context.Background(), models, with); err != nil {
			b.Fatal(err)
		}
		return time.Since(from)
	}
	least := [2]time.Duration{math.MaxInt64, math.MaxInt64}
	for b.Loop() {
		var single time.Duration
		for _, m := range models {
			single += took(m)
		}
		least[0], least[1] = min(least[0], single), min(least[1], took(models...))
	}
	b.ReportMetric(float64(least[1])/float64(least[0]), "of-single-runs")
	b.ReportMetric(float64(least[1].Nanoseconds())/float64(with.Replicates*4*models[0].Seasons()), "ns/season")
}
