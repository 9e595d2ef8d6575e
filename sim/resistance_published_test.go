package sim_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/params"
	"rundown/params/sheet"
	"rundown/sim"
	"rundown/sim/biotype"
	"rundown/sim/simtest"
)

// killer is a contact spray of a group with a kill that is known exactly, for protocols.
func killer(name, hrac string, kill float64) string {
	var values strings.Builder
	for _, key := range []string{"kill_below_one_leaf", "kill_two_leaves_to_six_tillers", "kill_beyond_six_tillers"} {
		fmt.Fprintf(&values, "  %s: {value: %g, spread: fixed, grade: assumed, source: \"of a protocol\"}\n", key, kill)
	}
	for _, key := range []string{"on_italian_rye_grass", "on_wild_oat", "on_sterile_brome"} {
		fmt.Fprintf(&values, "  %s: {value: 0, spread: fixed, grade: assumed, source: \"of a protocol\"}\n", key)
	}
	return fmt.Sprintf("name: %s\nrole: contact\nhrac: %q\ncrops: [winter-wheat]\nabout: \"Of a protocol.\"\nvalues:\n%s"+
		"  under_cover_factor: {value: 1, spread: fixed, grade: assumed, source: \"of a protocol\"}\n  cost: {value: 0, spread: fixed, grade: "+
		"assumed, source: \"of a protocol\"}\n", name, hrac, values.String())
}

// protocol is a plan under a library with sprays and values of its own.
type protocol struct {
	weed, field, start string
	genes              map[string]float64 // of the weed, fixed
	sprays             []string           // files of killers
	disc               float64            // kill of a shallow disc on all plants; 0: that of the library
	seasons            string
}

func (p *protocol) model(t *testing.T) *sim.Model {
	t.Helper()
	dir := t.TempDir()
	write := func(kind, name, text string) {
		if err := os.MkdirAll(filepath.Join(dir, kind), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, kind, name+".yaml"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, s := range p.sprays {
		name, _, _ := strings.Cut(strings.TrimPrefix(s, "name: "), "\n")
		write("herbicides", name, s)
	}
	genes := fmt.Sprintf("name: %s\nvalues:\n", p.weed)
	for key, x := range p.genes {
		genes += fmt.Sprintf("  %s: {value: %g, spread: fixed, grade: assumed, source: \"of a protocol\"}\n", key, x)
	}
	write("genes", p.weed, genes)
	if p.disc > 0 {
		disc := "name: shallow-disc\nvalues:\n"
		for key, x := range map[string]float64{"seedling_kill_dry": p.disc, "seedling_kill_wet": p.disc, "large_plant_kill": 1} {
			disc += fmt.Sprintf("  %s: {value: %g, spread: fixed, grade: assumed, source: \"of a protocol\"}\n", key, x)
		}
		write("implements", "shallow-disc", disc)
	}
	lib, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	var m sheet.Mistakes
	if lib.Overlay(dir, &m); m.Len() > 0 {
		t.Fatal(m.Error())
	}
	field := p.field
	if field == "" {
		field = "area_ha: 1"
	}
	text := fmt.Sprintf("field: {%s, soil: clay, climate: east-lowland, work: on-its-day}\nweed: {species: %s, %s, evolve: yes}\nseasons:\n%s", field,
		p.weed, p.start, p.seasons)
	model, err := sim.New(simtest.Calendar(t, lib, text))
	if err != nil {
		t.Fatal(err)
	}
	return model
}

// each runs n replicates, and tells of each with the worker as it stands at the end.
func (p *protocol) each(t *testing.T, n int, f func(k int, rec *sim.Record, w *sim.Worker)) {
	t.Helper()
	m := p.model(t)
	w, err := m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	for k := range n {
		r := sim.Replicate{Seed: 11, Streams: sim.StreamsOf(uint32(k)), Theta: m.Calendar().Space.Central()}
		w.DrawTheta(11, uint32(k), r.Theta)
		f(k, record(t, m, w, r), w)
	}
}

// tineWheat and ploughWheat are seasons of wheat with sprays on 15 March, all at once.
func tineWheat(sprays ...string) string { return wheatWith("shallow-disc", sprays...) }

func ploughWheat(sprays ...string) string { return wheatWith("plough", sprays...) }

func wheatWith(implement string, sprays ...string) string {
	var list []string
	for _, s := range sprays {
		list = append(list, "{programme: "+s+", date: 15 Mar}")
	}
	return fmt.Sprintf("  - {crop: winter-wheat, cultivate: [{date: 20 Sep, with: %s}], spray_off: [], drill: {date: 1 Oct, latest: 31 Dec, "+
		"with: combination-drill}, herbicides: [%s]}\n",
		implement, strings.Join(list, ", "))
}

// byGenes are the values of a weed whose resistance to groups 1 and 2 is by one gene each.
func byGenes(more map[string]float64) map[string]float64 {
	out := map[string]float64{"target_site_share_1": 1, "target_site_share_2": 1}
	for k, x := range more {
		out[k] = x
	}
	return out
}

// The published table of resistance, in the engine. C3 is a unit test of sim/biotype.
func TestPublishedResistance(t *testing.T) {
	simtest.Stage(t, "long")
	got := map[string]float64{}
	for _, x := range []struct {
		name string
		run  func(*testing.T, map[string]float64)
	}{{"Gill", gillFields}, {"Beckie", beckieFields}, {"Cavan", cavanYears}, {"Diggle", diggleFields}, {"Hull", containers}, {"Neve", sowing},
		{"Comont", mixtures}} {
		t.Run(x.name, func(t *testing.T) { x.run(t, got) })
	}
	if len(got) == len(outcomes(t, "resistance.csv")) { // else only some were asked for
		table := judge(t, "resistance.csv", resistanceGaps, got)
		t.Log("\n" + table)
		readmeBlock(t, "resistance", table)
	} else {
		t.Log(got)
	}
}

// resistanceGaps are rows that this version does not reproduce.
var resistanceGaps = map[string]bool{
	// 3.3 points a year. Sprayed with nothing else, the field goes from 200 to 8,000 seedlings/m² in six years, so that
	// 3–5 % of seedlings are of old seed, where the estimate of 0.8 has a third. Held level by a spray that selects nothing
	// of it, a fifth are, and it loses 1.1–1.7 points.
	"C10b": true,
	// 0.38: on moist clay two passes kill some two thirds of what outlives the spray; the model of the paper has tillage kill
	// all. With a disc that kills 0.8 it is 0.08, with 0.9 it is 0.02.
	"C11a": true,
}

// gillFields: applications until fields are resistant (C1, C2).
func gillFields(t *testing.T, got map[string]float64) {
	for row, x := range map[string]struct {
		hrac   string
		sprays int
	}{"C1": {"2", 4}, "C2": {"1", 7}} {
		const n = 200
		p := protocol{weed: "italian-rye-grass", field: "area_ha: 20", start: "start: 2026-08-01, heads_per_m2: 0.6", genes: byGenes(nil),
			sprays: []string{killer("one", x.hrac, 0.95)}, seasons: strings.Repeat(tineWheat("one"), x.sprays+1)}
		resistant, plants := 0.0, 0.0
		p.each(t, n, func(_ int, rec *sim.Record, _ *sim.Worker) {
			plants += rec.Seasons[0][sim.PlantsEmerged] / n
			if 1-rec.Seasons[x.sprays][sim.KillFirst] > 0.2 {
				resistant += 1.0 / n
			}
		})
		t.Logf("%s: %.1f plants/m² come up in the first season", row, plants)
		got[row] = resistant
	}
}

// beckieFields: a selfing weed after one spray, and in mixture (C4, C5). C3 is worked out as in sim/biotype. The spray
// is of 1 May, when nine in ten of the wild-oats are up: a kill of 0.97 is of the weed. As first run it was of 15 March and
// met half of them; the others bore nearly all the seed, and C4 was 0.10.
func beckieFields(t *testing.T, got map[string]float64) {
	const n = 100
	run := func(seasons int, sprays ...string) (first, second, last float64) {
		p := protocol{weed: "wild-oat", start: `start: 2026-08-15, seedbank_per_m2: {"0-5": 100, fresh: 100}, resistance: {2: {survived: 0.0975, by: one-gene}}`,
			genes:   byGenes(map[string]float64{"protection": 0.98, "heritability_30": 0}),
			sprays:  []string{killer("one", "2", 0.97), killer("partner", "30", 0.97)},
			seasons: strings.ReplaceAll(strings.Repeat(tineWheat(sprays...), seasons), "15 Mar", "1 May")}
		fresh := 0.0
		p.each(t, n, func(_ int, rec *sim.Record, _ *sim.Worker) {
			first += rec.Seasons[0][sim.Carriers2] / n
			second += rec.Seasons[1][sim.Carriers2] / n
			last += rec.Seasons[seasons-1][sim.Carriers2] / n
			fresh += rec.Seasons[0][sim.PlantsEmerged] / n
		})
		t.Logf("sprays %v: carriers %.3f, %.3f, at the end %.3f; %.1f plants/m² at first", sprays, first, second, last, fresh)
		return first, second, last
	}
	first, second, single := run(5, "one")
	_, _, mixed := run(5, "one", "partner")
	got["C4"] = second
	got["C5"] = (mixed - first) / (single - first)
	got["C3"] = twoPools(0.965)
}

// twoPools is the recurrence of C3 at a kill.
func twoPools(kill float64) float64 {
	after := func(f, x float64) float64 { return (1-x)*f + x*f/(f+(1-f)*(1-kill)) }
	x := (0.29 - 0.05) / (after(0.05, 1) - 0.05)
	f := 0.05
	for range 4 {
		f = after(f, x)
	}
	return f
}

// cavanYears: years to 10 surviving plants/m² (C6–C8), from 100 seeds/m² on a field large enough to hold carriers.
func cavanYears(t *testing.T, got map[string]float64) {
	const years, n = 60, 60
	plain := map[string]float64{"start_share_1": 1e-6, "start_share_2": 1e-6, "mutation_rate": 1e-6, "protection": 1, "dominance_1": 1, "dominance_2": 1,
		"cost_share": 0, "pollen_outside": 0, "heritability_30": 0, "heritability_12": 0, "outcrossing": 0.97}
	start := `start: 2026-08-15, seedbank_per_m2: {"0-5": 100}`
	other := otherKill(t, plain)
	run := func(kill float64, seasons func(year int) string) float64 {
		p := protocol{weed: "black-grass", field: "area_ha: 100", start: start, genes: byGenes(plain), sprays: []string{killer("one", "2", kill),
			killer("two", "1", kill),
			killer("three", "12", kill), killer("other", "30", other)}}
		for y := range years {
			p.seasons += seasons(y)
		}
		mean := 0.0
		p.each(t, n, func(_ int, rec *sim.Record, _ *sim.Worker) {
			when := float64(years)
			for y := years - 1; y >= 0; y-- {
				if rec.Seasons[y][sim.Plants] >= 10 && y > 0 {
					when = float64(y + 1)
				}
			}
			mean += when / n
		})
		return mean
	}
	turn := func(names ...string) func(int) string {
		return func(y int) string { return tineWheat(names[y%len(names)], "other") }
	}
	one := run(0.90, turn("one"))
	plough := run(0.90, func(int) string { return ploughWheat("one", "other") })
	fourth := run(0.90, func(y int) string {
		if y%4 == 3 {
			return ploughWheat("one", "other")
		}
		return tineWheat("one", "other")
	})
	single, two, three := run(0.95, turn("one")), run(0.95, turn("one", "two")), run(0.95, turn("one", "two", "three"))
	t.Logf("other kill %.3f; years: tine %.1f, plough %.1f, one year in four %.1f; kill 0.95: one group %.1f, two in turn %.1f, three %.1f", other,
		one, plough, fourth, single, two, three)
	got["C6"], got["C7"], got["C8a"], got["C8b"] = plough/one, fourth/one, two/single, three/two
}

// otherKill finds the kill that lets a plant which resists multiply 3.4-fold a year under tines.
func otherKill(t *testing.T, genes map[string]float64) float64 {
	growth := func(kill float64) float64 {
		p := protocol{weed: "black-grass", field: "area_ha: 100", start: `start: 2026-08-15, seedbank_per_m2: {"0-5": 0.01}`, genes: byGenes(genes),
			sprays: []string{killer("other", "30", kill)}, seasons: strings.Repeat(tineWheat("other"), 6)}
		sum, n := 0.0, 40
		p.each(t, n, func(_ int, rec *sim.Record, _ *sim.Worker) {
			sum += math.Log(rec.Seasons[5][sim.PlantsEmerged]/rec.Seasons[2][sim.PlantsEmerged]) / 3 / float64(n)
		})
		return math.Exp(sum)
	}
	low, high := 0.0, 0.99
	for range 8 {
		if mid := (low + high) / 2; growth(mid) > 3.4 {
			low = mid
		} else {
			high = mid
		}
	}
	t.Logf("with the other kill %.3f it grows %.2f-fold", (low+high)/2, growth((low+high)/2))
	return (low + high) / 2
}

// diggleFields: double resistance within 50 years (C9).
func diggleFields(t *testing.T, got map[string]float64) {
	const years, n = 50, 30
	run := func(ha int, together bool) float64 {
		p := protocol{weed: "italian-rye-grass", field: fmt.Sprintf("area_ha: %d", ha), start: `start: 2026-08-15, seedbank_per_m2: {"0-5": 100}`,
			genes:  byGenes(map[string]float64{"start_share_1": 1e-6, "start_share_2": 1e-6, "pollen_outside": 0, "cost_share": 0}),
			sprays: []string{killer("one", "1", 0.97), killer("two", "2", 0.97)}}
		for y := range years {
			switch {
			case together:
				p.seasons += tineWheat("one", "two")
			case y%2 == 0:
				p.seasons += tineWheat("one")
			default:
				p.seasons += tineWheat("two")
			}
		}
		double := 0.0
		p.each(t, n, func(_ int, _ *sim.Record, w *sim.Worker) {
			if _, _, both, seeds, _ := w.Inherited(); seeds > 0 && both > 0.2 {
				double += 1.0 / n
			}
		})
		return double
	}
	got["C9a"], got["C9b"], got["C9c"] = run(100, true), run(100, false), run(1, false)
	t.Logf("together at 1 ha: %.2f", run(1, true))
}

// containers: a residual of group 15 each year (C10).
func containers(t *testing.T, got map[string]float64) {
	got["C10a"] = containerFall(0.9, 0.12, 0.97)
	const n = 200
	run := func(other float64, more string) float64 {
		p := protocol{weed: "black-grass", start: "start: 2026-08-01, heads_per_m2: 20", sprays: []string{killer("other", "30", other)},
			genes: map[string]float64{"heritability_15": 0.12, "heritability_30": 0}}
		p.seasons = strings.Repeat("  - {crop: winter-wheat, cultivate: [], spray_off: [{days_before_drilling: 1}], drill: {date: 10 Oct, latest: "+
			"31 Dec, with: disc-drill}, herbicides: [{programme: autumn-residual-single, days_after_drilling: 2}"+more+"]}\n", 6)
		fall, first, last := 0.0, 0.0, 0.0
		m := p.model(t)
		at := -1
		for i, e := range m.Programmes() {
			if e.Name == "autumn-residual-single" {
				at = i
			}
		}
		p.each(t, n, func(_ int, rec *sim.Record, _ *sim.Worker) {
			k := sim.KillFirst + sim.Metric(at)
			fall += 100 * (rec.Seasons[0][k] - rec.Seasons[5][k]) / 5 / n
			first, last = first+rec.Seasons[0][sim.PlantsEmerged]/n, last+rec.Seasons[5][sim.PlantsEmerged]/n
		})
		t.Logf("other kill %.2f: %.2f points a year; %.0f plants/m² come up at first, %.0f at last", other, fall, first, last)
		return fall
	}
	got["C10b"] = run(0.5, "")
	for _, other := range []float64{0.9, 0.95} { // a field that is held level, shown and not counted
		run(other, ", {programme: other, date: 15 Mar}")
	}
}

// sowing: glyphosate before sowing for 30 years (C11).
func sowing(t *testing.T, got map[string]float64) {
	const years, n = 30, 60
	run := func(cultivate, drill, on string, disc float64) float64 {
		p := protocol{weed: "italian-rye-grass", field: "area_ha: 10", start: "start: 2026-08-01, heads_per_m2: 20", disc: disc,
			sprays: []string{killer("other", "30", 0.9)}, genes: map[string]float64{"heritability_30": 0}}
		p.seasons = strings.Repeat(fmt.Sprintf("  - {crop: winter-wheat, cultivate: [%s], spray_off: [{days_before_drilling: 1}], drill: {date: "+
			"%s, latest: 31 Dec, with: %s}, herbicides: [{programme: other, date: 15 Mar}]}\n",
			cultivate, on, drill), years)
		resistant, last := 0.0, 0.0
		p.each(t, n, func(_ int, rec *sim.Record, _ *sim.Worker) {
			fallen := false
			for y := range years {
				fallen = fallen || rec.Seasons[y][sim.KillFirst] < 0.8
			}
			last += rec.Seasons[years-1][sim.KillFirst] / n
			if fallen {
				resistant += 1.0 / n
			}
		})
		t.Logf("%s on %s, disc %g: kill at the end %.3f, below 0.80 in %.2f", drill, on, disc, last, resistant)
		return resistant
	}
	const disc = "{date: 10 Oct, with: shallow-disc}"
	got["C11a"] = run(disc, "combination-drill", "10 Oct", 0)
	got["C11b"] = run("", "disc-drill", "1 Nov", 0) - got["C11a"]
	for _, kill := range []float64{0.8, 0.9} { // shown and not counted
		run(disc, "combination-drill", "10 Oct", kill)
	}
}

// containerFall is the points of kill that one active loses a year, on average over five, where every plant
// is of the last rain and meets it.
func containerFall(kill, h2, outcrossing float64) float64 {
	u := biotype.Trait{Variance: h2}
	first := u.Kill(kill, 1-h2)
	for range 5 {
		u.Survive(kill, 1-h2)
		u.Variance = biotype.Seed(u.Variance, h2, 1-outcrossing)
	}
	return 100 * (first - u.Kill(kill, 1-h2)) / 5
}
