package ensemble_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
)

// The longest plan that may be written: 60 harvests, all of them reached, with
// a ledger that balances and no value but finite ones.
func TestSixtySeasons(t *testing.T) {
	simtest.NotRacing(t)
	text := "field: {area_ha: 5, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 10}\n" +
		"seasons: [{crop: winter-wheat}, {crop: spring-barley, cover: {mix: oats-legumes, sow: 12 Oct, destroy: 25 Jan}}]\nrepeat: 30\n"
	m := model(t, text)
	if n := m.Seasons(); n != 60 {
		t.Fatalf("%d seasons", n)
	}
	o := runAll(t, ensemble.Options{Replicates: 6, Seed: 1}, m)[0]
	for s := range 60 {
		balance(t, o, s, 50_000, text)
		for r, x := range o.Column(sim.LedgerEnd, s) {
			if math.IsNaN(x) {
				t.Fatalf("season %d, replicate %d has no ledger", s, r)
			}
			if s > 0 && o.Column(sim.LedgerStart, s)[r] != o.Column(sim.LedgerEnd, s-1)[r] {
				t.Fatalf("replicate %d: season %d does not begin with what the one before left", r, s)
			}
		}
	}
}

// The largest: 10,000 ha at 100,000 seeds per m² in one layer, 1e13 whole seeds, and at the
// most that can be stated, six times 1e14. Counts stay whole and the ledger closes to
// the seed. At the start they are Poisson: within 6 standard deviations, once in
// 500 million.
func TestVeryLargeField(t *testing.T) {
	const areaM2 = 1e8
	const head = "field: {area_ha: 10000, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-07-05, %s}\nseasons: [{crop: " +
		"winter-wheat}, {crop: spring-barley}, {crop: fallow, herbicides: []}]\n"
	for stated, seeds := range map[string]float64{
		"seedbank_per_m2: {0-5: 1e5}": 1e13,
		"import_per_m2: 10000, seedbank_per_m2: {surface: 1e6, 0-5: 1e6, 5-10: 1e6, 10-15: 1e6, 15-20: 1e6, fresh: 1e6}": 6e14,
		"heads_per_m2: 10000": 0, // as many as were set
	} {
		text := fmt.Sprintf(head, stated)
		o := runAll(t, ensemble.Options{Replicates: 20, Seed: 1}, model(t, text))[0]
		for s := range 3 {
			for r := range o.Replicates {
				var net int64 // whole seeds: their sum is exact, which that of float64 would not be beyond 9e15
				for m, sign := range map[sim.Metric]int64{sim.LedgerStart: 1, sim.LedgerShed: 1, sim.LedgerBroughtIn: 1, sim.LedgerEnd: -1, sim.LedgerDied: -1,
					sim.LedgerEaten: -1, sim.LedgerFatal: -1, sim.LedgerEmerged: -1, sim.LedgerCarriedOff: -1} {
					x := o.Column(m, s)[r] * areaM2
					if !(x >= 0 && x < 1e15) {
						t.Fatalf("%s: season %d, replicate %d: %s is %v seeds", stated, s, r, sim.Metrics[m].Name, x)
					}
					net += sign * int64(math.Round(x))
				}
				if net != 0 {
					t.Fatalf("%s: season %d, replicate %d: the ledger is off by %d seeds", stated, s, r, net)
				}
				if x := o.Column(sim.LedgerStart, 0)[r] * areaM2; seeds > 0 && math.Abs(x-seeds) > 6*math.Sqrt(seeds) {
					t.Errorf("%s: replicate %d starts with %v seeds, %v were stated", stated, r, x, seeds)
				}
			}
		}
	}
}

// What cannot be counted is refused in words, not left to overflow.
func TestStartBeyondCounting(t *testing.T) {
	const plan = "field: {area_ha: 10000, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, %s}\nseasons: [{crop: " +
		"fallow, herbicides: []}]\n"
	for stated, want := range map[string]string{
		"heads_per_m2: 10000, trend: 0.05":                      "give a trend nearer 1",
		"heads_per_m2: {low: 0.001, high: 10000}":               "heads per m² stand in one run",
		"seedbank_per_m2: {5-10: {low: 0.001, high: 1000000}}":  "at the start a layer holds",
		"seedbank_per_m2: {fresh: {low: 0.001, high: 1000000}}": "at the start a layer holds",
	} {
		_, err := ensemble.Run(context.Background(), []*sim.Model{model(t, fmt.Sprintf(plan, stated))}, ensemble.Options{Replicates: 400, Seed: 1})
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v; expected %q", stated, err, want)
		}
	}
}

// The emptiest: one seed on one square metre. Counts are whole, the field is
// free of the weed exactly when none is left, and both ends happen.
func TestOneSeed(t *testing.T) {
	const n = 200
	m := model(t, "field: {area_ha: 0.0001, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, seedbank_per_m2: "+
		"{0-5: 1}}\nseasons: [{crop: winter-wheat, herbicides: []}]\nrepeat: 3\n")
	o := runAll(t, ensemble.Options{Replicates: n, Seed: 1}, m)[0]
	gone, some, started := 0, 0, 0.0
	for s := range 3 {
		for r := range n {
			for _, k := range []sim.Metric{sim.Plants, sim.Heads, sim.SeedReturn, sim.Seedbank, sim.LedgerStart, sim.LedgerEnd} {
				if x := o.Column(k, s)[r]; x != math.Round(x) || x < 0 {
					t.Fatalf("season %d, replicate %d: %s is %v on one square metre", s, r, sim.Metrics[k].Name, x)
				}
			}
			switch left := o.Column(sim.LedgerEnd, s)[r]; o.Column(sim.Extinct, s)[r] {
			case 1:
				gone++
				if left != 0 {
					t.Fatalf("season %d, replicate %d: died out with %v seeds left", s, r, left)
				}
			case 0:
				some++
			}
		}
	}
	for _, x := range o.Column(sim.LedgerStart, 0) {
		started += x
	}
	// The start is Poisson about 1: the sum of n is n ± 4.5 √n, once in 150,000.
	if gone == 0 || some == 0 || math.Abs(started-n) > 4.5*math.Sqrt(n) {
		t.Errorf("%d seasons without the weed, %d with it; %v seeds in %d fields at the start", gone, some, started, n)
	}
}

// Weather at the ends of what a record may hold — a year without rain at 60 °C,
// one of 1,000 mm a day, one of −60 °C, and days that leap between them — gives a
// run whose ledger balances. Where no seed could ever germinate (too
// dry, too cold, under water on clay), the plan is refused.
func TestExtremeWeather(t *testing.T) {
	simtest.NotRacing(t)
	const text = "field: {area_ha: 1, soil: %s, weather: {file: w.csv, units: {temperature: C, rain: mm}}}\nweed: {species: black-grass, start: " +
		"2026-08-01, heads_per_m2: 20}\n" +
		"seasons: [{crop: winter-wheat}, {crop: spring-barley, cover: {mix: oats-legumes, sow: 12 Oct, destroy: 25 Jan}}]\n"
	days := map[string][3]float64{"hot": {50, 60, 0}, "wet": {5, 12, 1000}, "cold": {-60, -60, 0}, "same": {10, 10, 0}}
	for _, name := range []string{"hot", "wet", "cold", "same", "leaping"} {
		var record strings.Builder
		record.WriteString("date,tmin_c,tmax_c,rain_mm\n")
		for d := date.Of(2026, 1, 1); d < date.Of(2029, 1, 1); d++ {
			x, ok := days[name]
			if !ok {
				x = days[[]string{"hot", "wet", "cold", "same"}[int(d)%4]]
			}
			fmt.Fprintf(&record, "%s,%g,%g,%g\n", d, x[0], x[1], x[2])
		}
		for _, soil := range []string{"clay", "sand"} {
			plan := fmt.Sprintf(text, soil)
			m, err := modelWith(t, plan, record.String())
			if refused := name == "hot" || name == "cold" || name == "wet" && soil == "clay"; refused != (err != nil) || refused &&
				!strings.Contains(err.Error(), "no seed of black-grass would ever germinate") {
				t.Errorf("%s weather: %v", name, err)
			}
			if err != nil {
				continue
			}
			o := runAll(t, ensemble.Options{Replicates: 3, Seed: 1}, m)[0]
			for s := range 2 {
				balance(t, o, s, 10000, name+" weather\n"+plan)
			}
		}
	}
}

// modelWith is a model of a plan whose weather file holds a text.
func modelWith(t *testing.T, text, record string) (*sim.Model, error) {
	t.Helper()
	return sim.New(simtest.WithWeather(t, simtest.Library(t), text, record))
}
