package sim_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/simtest"
)

// yardstick is what BenchmarkYardstick of sim/random does once.
func yardstick() func() {
	normals := rand.New(rand.NewPCG(1, 2))
	x := make([]float64, 1000)
	for i := range x {
		x[i] = normals.NormFloat64()
	}
	return func() {
		sum := 0.0
		for _, v := range x {
			sum += math.Exp(-math.Abs(v))
		}
		yardstickSink = sum
	}
}

var yardstickSink float64

// A model of a known site gives the bits of one of which nothing was kept, and so does
// one made after so many other sites that its own had to go; of no kind is more kept
// than may be.
func TestKnownSites(t *testing.T) {
	lib := simtest.Library(t)
	on := func(soil, climate, weed string) *sim.Model {
		m, err := sim.New(simtest.Calendar(t, lib, fmt.Sprintf("field: {area_ha: 1, soil: %s, climate: %s}\nweed: {species: %s, start: 2026-08-01, "+
			"heads_per_m2: 10}\nseasons: [{crop: winter-wheat}]\n", soil, climate, weed)))
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	record := func(m *sim.Model) *sim.Record { return recordOf(t, m) }
	check := func(what string, got, want *sim.Record) {
		for k, x := range want.Seasons[0] {
			if !same(x, got.Seasons[0][k]) {
				t.Fatalf("%s: %s is %v, expected %v", what, sim.Metrics[k].Name, got.Seasons[0][k], x)
			}
		}
	}
	sim.Forget()
	first := record(on("loam", "west-maritime", "wild-oat"))
	check("known", record(on("loam", "west-maritime", "wild-oat")), first)
	climates, soils, weeds := lib.Names("climates"), lib.Names("soils"), lib.Names("weeds")
	if testing.Short() {
		climates, soils = climates[:2], soils[:3]
	}
	for _, climate := range climates {
		for _, soil := range soils {
			for _, weed := range weeds {
				on(soil, climate, weed)
			}
		}
		held, most := sim.Held()
		for i := range held {
			if held[i] > most[i] {
				t.Fatalf("of kind %d %d are kept, %d may be", i, held[i], most[i])
			}
		}
	}
	held, most := sim.Held()
	t.Logf("kept: fits, sources, reference years, quantile tables: %v of %v", held, most)
	if !testing.Short() && held[2] != most[2] {
		t.Errorf("%d reference years are kept of %d sites: the cap was not tried", held[2], len(climates)*len(soils)*len(weeds))
	}
	check("made again", record(on("loam", "west-maritime", "wild-oat")), first)
	sim.Forget()
	check("forgotten", record(on("loam", "west-maritime", "wild-oat")), first)
}

// BenchmarkNew is the making of a model, in yardsticks taken by turns with it, least of
// each: on a known site; on the first site, of nothing kept; and on another new site,
// when the place against which the weed's cycle is held is known from the first. "far"
// is of a soil, a climate and a weed that are not those of that place.
func BenchmarkNew(b *testing.B) {
	lib := simtest.Library(b)
	near := simtest.Calendar(b, lib, string(rotations.Starter()))
	far := simtest.Calendar(b, lib, strings.NewReplacer("soil: silty-clay-loam", "soil: loam", "east-lowland", "west-maritime", "black-grass",
		"wild-oat").Replace(string(rotations.Starter())))
	create := func(c *rotations.Calendar) {
		if _, err := sim.New(c); err != nil {
			b.Fatal(err)
		}
	}
	for _, x := range []struct {
		name   string
		of     *rotations.Calendar
		before func()
	}{
		{"known", near, func() {}},
		{"known-far", far, func() {}},
		{"first", near, sim.Forget},
		{"first-far", far, sim.Forget},
		{"another", far, func() { sim.Forget(); create(near) }},
	} {
		b.Run(x.name, func(b *testing.B) {
			create(x.of) // so that what is known is known
			least := [2]time.Duration{math.MaxInt64, math.MaxInt64}
			stick := yardstick()
			b.ReportAllocs()
			for b.Loop() {
				for range 20 {
					from := time.Now()
					stick()
					least[0] = min(least[0], time.Since(from))
				}
				x.before()
				from := time.Now()
				create(x.of)
				least[1] = min(least[1], time.Since(from))
			}
			b.ReportMetric(float64(least[1])/float64(least[0]), "yardsticks")
			b.ReportMetric(float64(least[1].Nanoseconds()), "least-ns")
		})
	}
}
