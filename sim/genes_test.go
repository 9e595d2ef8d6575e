package sim_test

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/simtest"
)

// evolving is the starter plan in which resistance to every group evolves.
func evolving(words string) string {
	text := regexp.MustCompile(`resistance: \{[^}]*\}.*`).ReplaceAllString(string(rotations.Starter()), words)
	if !strings.Contains(text, words) {
		panic("the starter has no line for resistance")
	}
	return text
}

// setAll sets values of a model's theta by what their paths contain.
func setAll(t *testing.T, m *sim.Model, theta []float64, values map[string]float64) {
	t.Helper()
	for part, x := range values {
		found := false
		for i, v := range m.Calendar().Space.Values {
			if strings.Contains(v.Path, part) {
				theta[i], found = x, true
			}
		}
		if !found {
			t.Fatalf("no uncertain value has %q in its path", part)
		}
	}
}

// nothing is what makes a weed that can inherit no resistance.
var nothing = map[string]float64{"mutation_rate": 0, "start_share_": 0, "heritability_": 0}

// Where no seed carries anything and no trait is inherited, a run with evolution gives every
// number of the run without, to the bit.
func TestSusceptibleSeedGivesTheFormerBytes(t *testing.T) {
	without, with := model(t, evolving("evolve: no")), model(t, evolving("evolve: yes"))
	a, err := without.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	b, err := with.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	for k := range uint32(12) {
		r := sim.Replicate{Seed: 1, Streams: sim.StreamsOf(k), Theta: make([]float64, len(without.Calendar().Space.Values))}
		a.DrawTheta(1, k, r.Theta)
		want, got := record(t, without, a, r), (*sim.Record)(nil)
		q := r
		q.Theta = make([]float64, len(with.Calendar().Space.Values))
		b.DrawTheta(1, k, q.Theta)
		setAll(t, with, q.Theta, nothing)
		got = record(t, with, b, q)
		for s := range want.Seasons {
			for m := range sim.Carriers1 {
				if x, y := got.Seasons[s][m], want.Seasons[s][m]; !same(x, y) {
					t.Fatalf("run %d, season %d: %s is %v, expected %v", k, s, sim.Metrics[m].Name, x, y)
				}
			}
		}
		for i := range want.Work {
			if x, y := got.Work[i], want.Work[i]; x.Why != y.Why || x.Day != y.Day || math.Abs(x.Killed-y.Killed) > 1e-6*(1+y.Killed) {
				t.Fatalf("run %d, work %d: %+v, expected %+v", k, i, x, y)
			}
		}
	}
}

// record runs one replicate and tells what became of the work.
func record(t *testing.T, m *sim.Model, w *sim.Worker, r sim.Replicate, watches ...sim.Watch) *sim.Record {
	t.Helper()
	sky, out := m.NewSky(), m.NewRecord(len(watches))
	sky.FillFor(m, &r)
	out.Work = m.NewFates()
	if err := w.Run(r, sky, watches, out); err != nil {
		t.Fatal(err)
	}
	return out
}

// With resistance that is common, to one gene and to two, by many genes, and with all of it, books
// balance by class (a run whose books do not is an error), and a run copied on any day
// goes on to the same last byte.
func TestEvolvingRunsBalanceAndCopy(t *testing.T) {
	simtest.NotRacing(t)
	for _, words := range []string{
		"evolve: yes",
		"resistance: {2: {tested: 10, carriers: 5}}\n  evolve: yes\n  import_per_m2: 3",
		"resistance: {2: {survived: 0.5, by: one-gene}, 15: 0.4, 9: 0.2}\n  evolve: yes",
		"resistance: {2: {survived: 0.5, by: many-genes}, 3: {rating: RR}}\n  evolve: yes",
	} {
		text := evolving(words)
		copiedPlan(t, text, 63, 1, 1)
		copiedPlan(t, text, 147, 2, 0.3, 0.7)
	}
}

// oneCrop is a field of a weed under wheat each year, with herbicides as given.
func oneCrop(weed, more, herbicides string, years int) string {
	return fmt.Sprintf(`field: {area_ha: 1, soil: clay, climate: east-lowland, work: on-its-day}
weed: {species: %s, start: 2026-08-01, %s, evolve: yes}
seasons:
  - crop: winter-wheat
    cultivate: [{date: 20 Sep, with: shallow-disc}]
    spray_off: []
    drill: {date: 1 Oct, latest: 31 Dec, with: combination-drill}
    herbicides: [%s]
repeat: %d
`, weed, more, herbicides, years)
}

// The start: a hectare with 100 seeds per m² at a share p of copies holds carriers by Poisson's law.
// An outcrosser has them as plants with one copy, 2p(1 − F) of plants; a selfer mostly with two, so
// fewer of them. Fields without a carrier are counted among 2,000; by the binomial law the count is
// within the 1e-4 tails on each side (one false alarm in 5,000 for each of the two).
func TestFieldsWithoutACarrierAtTheStart(t *testing.T) {
	const n, p, seeds = 2000, 1e-6, 100 * 1e4
	for weed, self := range map[string]float64{"italian-rye-grass": 0, "wild-oat": 0.99} {
		text := oneCrop(weed, `seedbank_per_m2: {"0-5": 100}, resistance: {2: {survived: 0.05, by: one-gene}}`, "{programme: spring-contact, date: 15 Mar}", 1)
		text = strings.Replace(text, "resistance: {2: {survived: 0.05, by: one-gene}}", "import_per_m2: 0", 1)
		m := model(t, text)
		w, err := m.NewWorker()
		if err != nil {
			t.Fatal(err)
		}
		f := self / (2 - self)
		mean := seeds * (1 - (1-p)*(1-p*(1-f)))
		none, fields := 0, 0
		for k := range uint32(n) {
			r := sim.Replicate{Seed: 3, Streams: sim.StreamsOf(k), Theta: m.Calendar().Space.Central()}
			setAll(t, m, r.Theta, map[string]float64{"start_share_2": p, "mutation_rate": 0})
			if self > 0 {
				setAll(t, m, r.Theta, map[string]float64{"/outcrossing": 1 - self})
			}
			sky := m.NewSky()
			sky.FillFor(m, &r)
			if err := w.RunTo(m.Calendar().Start, r, sky, nil, m.NewRecord(0)); err != nil {
				t.Fatal(err)
			}
			if carriers, follows := w.Carriers(); follows {
				fields++
				if carriers == 0 {
					none++
				}
			}
		}
		b := distuv.Binomial{N: float64(fields), P: math.Exp(-mean)}
		low, high := b.CDF(float64(none)), 1-b.CDF(float64(none)-1)
		t.Logf("%s: %d of %d fields hold no carrier, expected %.3f of them", weed, none, fields, b.P)
		if fields < n/8 || low < 1e-4 || high < 1e-4 {
			t.Errorf("%s: %d of %d fields hold no carrier, expected %.3f of them", weed, none, fields, b.P)
		}
	}
}

// What a seed test found comes back: of plants as the plan's own words make them, the
// share that the test's own kill leaves is the one that was said, by one gene and by many, in a
// weed that is outcrossed and one that is selfed.
func TestSeedTestsComeBack(t *testing.T) {
	for _, weed := range []string{"black-grass", "wild-oat"} {
		for _, by := range []string{"one-gene", "many-genes"} {
			for _, x := range []float64{0.1, 0.45, 0.8} {
				m := model(t, oneCrop(weed, fmt.Sprintf("heads_per_m2: 50, resistance: {2: {survived: %g, by: %s}}", x, by),
					"{programme: spring-contact, date: 15 Mar}", 1))
				w, err := m.NewWorker()
				if err != nil {
					t.Fatal(err)
				}
				r := sim.Replicate{Seed: 3, Streams: sim.StreamsOf(1), Theta: m.Calendar().Space.Central()}
				setAll(t, m, r.Theta, map[string]float64{"protection": 1, "dominance_2": 1})
				sky := m.NewSky()
				sky.FillFor(m, &r)
				if err := w.RunTo(m.Calendar().Start-20, r, sky, nil, m.NewRecord(0)); err != nil {
					t.Fatal(err)
				}
				if got := w.SeedTest("2", 0.95); math.Abs(got-x) > 0.005 {
					t.Errorf("%s by %s: %.3f survive, the plan says %g", weed, by, got, x)
				}
			}
		}
	}
}

// Without cost, mutation and foreign pollen, and with a herbicide that kills all classes alike, the share of copies of a gene stays: over 200 runs of
// six years of a field of 400 heads per m² its mean is within four standard errors (one false alarm in 16,000).
func TestCopiesStayWithoutSelection(t *testing.T) {
	text := oneCrop("black-grass", "heads_per_m2: 400, resistance: {2: {survived: 0.3, by: one-gene}}", "{programme: spring-contact, date: 15 Mar}", 6)
	m := model(t, strings.Replace(text, "area_ha: 1,", "area_ha: 0.05,", 1))
	w, err := m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	var first, last []float64
	for k := range uint32(200) {
		r := sim.Replicate{Seed: 3, Streams: sim.StreamsOf(k), Theta: m.Calendar().Space.Central()}
		setAll(t, m, r.Theta, map[string]float64{"mutation_rate": 0, "pollen_outside": 0, "protection": 0, "cost_share": 0})
		rec := record(t, m, w, r)
		first, last = append(first, rec.Seasons[0][sim.Carriers2]), append(last, rec.Seasons[5][sim.Carriers2])
	}
	var mean, squares float64
	for k := range last {
		d := last[k] - first[k]
		mean, squares = mean+d/200, squares+d*d/200
	}
	t.Logf("carriers change by %.5f, standard error %.5f", mean, math.Sqrt(squares/200))
	if math.Abs(mean) > 4*math.Sqrt(squares/200) || squares == 0 {
		t.Errorf("carriers change by %.4f, standard error %.4f", mean, math.Sqrt(squares/200))
	}
}

// Held still, a field keeps its first seed's resistance whatever is sprayed: carriers and kill of the last
// season are those of the first, within the chance of so many seeds. What a spray is stated to kill
// is what it kills of a weed of which nothing resists.
func TestHeldStillStays(t *testing.T) {
	const years = 6
	for _, by := range []string{"one-gene", "many-genes"} {
		for _, survived := range []float64{0.05, 0.35} {
			text := oneCrop("black-grass", fmt.Sprintf("heads_per_m2: 100, resistance: {2: {survived: %g, by: %s}}", survived, by),
				"{programme: spring-contact, date: 15 Mar}", years)
			c := model(t, text).Calendar()
			m, err := sim.New(c.HeldStill())
			if err != nil {
				t.Fatal(err)
			}
			w, err := m.NewWorker()
			if err != nil {
				t.Fatal(err)
			}
			r := sim.Replicate{Seed: 3, Streams: sim.StreamsOf(1), Theta: c.Space.Central()}
			setAll(t, m, r.Theta, map[string]float64{"mutation_rate": 0, "start_share_2": 0})
			seasons := record(t, m, w, r).Seasons
			first, last := &seasons[0], &seasons[years-1]
			if !same(first[sim.Carriers2], last[sim.Carriers2]) && math.Abs(last[sim.Carriers2]-first[sim.Carriers2]) > 0.005 ||
				math.Abs(last[sim.KillFirst]-first[sim.KillFirst]) > 0.005 {
				t.Errorf("by %s, %g: carriers %.4f, then %.4f; kill %.4f, then %.4f", by, survived, first[sim.Carriers2], last[sim.Carriers2],
					first[sim.KillFirst], last[sim.KillFirst])
			}
			if stated := m.StatedKill(m.Programmes()[0]); survived == 0.05 && math.Abs(first[sim.KillFirst]-stated) > 0.005 || survived > 0.05 &&
				first[sim.KillFirst] > stated-0.1 {
				t.Errorf("by %s, %g: it kills %.4f, of a weed that resists nothing %.4f", by, survived, first[sim.KillFirst], stated)
			}
		}
	}
}

// A plan that says what share of its effect a spray has lost gets that spray with that share lost in its first
// season, be it strong or weak on the weed: by hand, k(1 − lost).
func TestALostShareIsLostAtFirst(t *testing.T) {
	for _, weed := range []string{"black-grass", "sterile-brome"} {
		for _, lost := range []float64{0.1, 0.5, 0.8} {
			m := model(t, oneCrop(weed, fmt.Sprintf("heads_per_m2: 50, resistance: {2: %g}", lost), "{programme: spring-contact, date: 15 Mar}", 1))
			w, err := m.NewWorker()
			if err != nil {
				t.Fatal(err)
			}
			r := sim.Replicate{Seed: 3, Streams: sim.StreamsOf(1), Theta: m.Calendar().Space.Central()}
			got, want := record(t, m, w, r).Seasons[0][sim.KillFirst], (1-lost)*m.StatedKill(m.Programmes()[0])
			if math.Abs(got-want) > 1e-6 {
				t.Errorf("%s, %g lost: it kills %.4f, expected %.4f", weed, lost, got, want)
			}
		}
	}
}
