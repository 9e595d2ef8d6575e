package update

import (
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"rundown/sim"
	"rundown/sim/counts"
	"rundown/sim/random"
)

// calibrate runs the slow calibration on the model of the field itself:
//
//	go test ./sim/update -run CalibrationOfTheField -calibrate 200 -v
var calibrate = flag.Int("calibrate", 0, "so many fields in the slow calibration of updates")

// Simulation-based calibration (Talts, Betancourt, Simpson, Vehtari & Gelman
// 2018, arXiv:1804.06788): when truth is drawn from the prior and counts from the
// truth, the place of the truth in the posterior is uniform. A bin that is too
// full or too empty shows a posterior that is too narrow, too wide or shifted. The
// places of values alone are blind to data that are left out and to ties between
// values; the likelihood of the data, and differences of values, are not (Modrák,
// Moon, Kim, Bürkner, Huurre, Faltejsková, Gelman & Vehtari 2023, Bayesian
// Analysis; from memory).

// calibrationBins and their limit: chi-square with 7 degrees of freedom exceeds
// 26.1 once in 2,000 (tables); with up to eight quantities looked at, a right
// sampler fails for one seed in 250.
const (
	calibrationBins  = 8
	calibrationLimit = 26.1
)

// places counts where truths lay in their posteriors.
type places map[string]*[calibrationBins]int

// put counts the place of a truth among weighted values; ties count half.
func (p places) put(what string, truth float64, x, w []float64) {
	below := 0.0
	for i := range x {
		switch {
		case x[i] < truth:
			below += w[i]
		case x[i] == truth:
			below += w[i] / 2
		}
	}
	if p[what] == nil {
		p[what] = &[calibrationBins]int{}
	}
	p[what][min(int(below*calibrationBins), calibrationBins-1)]++
}

func (p places) check(t *testing.T) {
	t.Helper()
	for what, bins := range p {
		n, chi := 0, 0.0
		for _, k := range bins {
			n += k
		}
		for _, k := range bins {
			e := float64(n) / calibrationBins
			chi += (float64(k) - e) * (float64(k) - e) / e
		}
		t.Logf("%s: %v, chi-square %.1f", what, *bins, chi)
		if chi > calibrationLimit {
			t.Errorf("%s: the truth's places %v are not uniform: chi-square %.1f, limit %.1f", what, *bins, chi, calibrationLimit)
		}
	}
}

// small is a field with three uncertain values, which are known better together
// than apart, luck of two kinds, and a density on three dates.
type small struct {
	evidence [3]*evidence
}

const smallValues = 3

func (f *small) density(z []float64, luck sim.Streams, d int) float64 {
	season := random.Normal(random.Root(1, random.Season, luck[random.Season]).Uniform(uint64(d)))
	weather := random.Normal(random.Root(1, random.Weather, luck[random.Weather]).Uniform(0))
	return 12 * math.Exp(1.2*z[0]+0.5*z[1]*float64(d)+0.4*season+0.3*weather)
}

// known ties the last value, which no count sees, to the first.
func (f *small) known(z []float64) float64 {
	return -math.Pow(z[0]-z[1], 2)/2/0.64 - math.Pow(z[0]-z[2], 2)/2/0.1
}

func (f *small) run(_ context.Context, p []particle) error {
	for i := range p {
		x := &p[i]
		x.known, x.fit, x.seen = f.known(x.z), make([]float64, 3), make([]float64, 3)
		for d := range x.fit {
			x.seen[d] = f.density(x.z, x.luck, d)
			x.fit[d] = f.evidence[d].logLik(x.seen[d])
		}
	}
	return nil
}

// prior draws values by accepting them in proportion to what is known.
func (f *small) prior(r *rand.Rand) []float64 {
	for {
		z := make([]float64, smallValues)
		for i := range z {
			z[i] = r.NormFloat64()
		}
		if math.Log(r.Float64()) < f.known(z) {
			return z
		}
	}
}

// quadrats are drawn as the likelihood takes them to be: k from its grid.
func quadrats(r *rand.Rand, n int, areaM2, perM2 float64) []counts.Quadrat {
	k, logWeight := patchiness()
	u, at := r.Float64(), gridK-1
	for i, w := range logWeight {
		if u -= math.Exp(w); u < 0 {
			at = i
			break
		}
	}
	var q []counts.Quadrat
	for range n {
		q = append(q, counts.Quadrat{AreaM2: areaM2, N: int(random.NegativeBinomial(r.Float64(), math.Max(perM2, leastPerM2)*areaM2, k[at]))})
	}
	return q
}

// Few particles give bands a little too narrow: over 3,600 fields the outer eighths
// held 13 % too many truths with 100 particles, 3 % with 400.
func TestCalibration(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	const fields, n, walked = 240, 300, 25
	r := rand.New(rand.NewPCG(11, 12))
	found := places{}
	for i := range fields {
		f := &small{}
		z, luck := f.prior(r), sim.StreamsOf(uint32(1<<30+i))
		for d := range f.evidence {
			f.evidence[d] = newEvidence(quadrats(r, walked, 0.25, f.density(z, luck, d)))
		}
		s := &sampler{key: random.Root(uint64(i), random.Parameters, 0), run: f.run, sweeps: usualSweeps, step: firstStep, fresh: n, logW: make([]float64, n)}
		for k := range n {
			s.particles = append(s.particles, particle{z: f.prior(r), luck: sim.StreamsOf(uint32(k))})
		}
		if err := f.run(context.Background(), s.particles); err != nil {
			t.Fatal(err)
		}
		if _, err := s.letIn(context.Background(), 3, func(int) {}); err != nil {
			t.Fatal(err)
		}
		w := weights(s.logW)
		column := func(of func(p *particle) float64) []float64 {
			x := make([]float64, n)
			for k := range x {
				x[k] = of(&s.particles[k])
			}
			return x
		}
		for v := range smallValues {
			found.put([]string{"start", "growth", "not seen"}[v], z[v], column(func(p *particle) float64 { return p.z[v] }), w)
		}
		found.put("first less last value", z[0]-z[2], column(func(p *particle) float64 { return p.z[0] - p.z[2] }), w)
		truth := 0.0
		for d, e := range f.evidence {
			truth += e.logLik(f.density(z, luck, d))
		}
		found.put("likelihood of all counts", truth, column(func(p *particle) float64 { return p.fit[0] + p.fit[1] + p.fit[2] }), w)
		found.put("density at first", f.density(z, luck, 0), column(func(p *particle) float64 { return p.seen[0] }), w)
		found.put("density at last", f.density(z, luck, 2), column(func(p *particle) float64 { return p.seen[2] }), w)
	}
	found.check(t)
}

// calibrationFields are what the slow calibration runs on; invented.
var calibrationFields = []struct {
	name      string
	seasons   string
	watches   []sim.Watch
	particles int
}{
	{"one season", "[{crop: winter-wheat}]", []sim.Watch{
		{Day: day(2026, 10, 2), What: sim.WatchTop, DepthCM: 10}, {Day: day(2027, 4, 12), What: sim.WatchPlants},
		{Day: day(2027, 6, 15), What: sim.WatchHeads}}, 150},
	{"three seasons", "[{crop: winter-wheat}, {crop: spring-barley}, {crop: winter-wheat}]", []sim.Watch{
		{Day: day(2027, 4, 12), What: sim.WatchPlants}, {Day: day(2027, 6, 15), What: sim.WatchHeads}, {Day: day(2028, 4, 24), What: sim.WatchPlants},
		{Day: day(2028, 6, 15), What: sim.WatchHeads}, {Day: day(2029, 4, 12), What: sim.WatchPlants}, {Day: day(2029, 6, 15), What: sim.WatchHeads}}, 400},
}

// The same on the model itself. Slow, so asked for. With 200 fields of one season
// and 150 particles the chi-squares were 4.6 to 8.8, with 64 of three seasons and 400
// particles 2.5 to 11.5.
func TestCalibrationOfTheField(t *testing.T) {
	if *calibrate == 0 {
		t.Skip("asked for with -calibrate 200")
	}
	for _, c := range calibrationFields {
		t.Run(c.name, func(t *testing.T) {
			m := model(t, "field: {name: Far Piece, area_ha: 2, soil: clay, climate: east-lowland}\n"+
				"weed: {species: black-grass, start: 2026-08-01, heads_per_m2: {low: 5, high: 200}}\nseasons: "+c.seasons+"\n")
			found := places{}
			for i := range *calibrate {
				calibrateOnce(t, m, c.watches, c.particles, uint64(1_000_000+i), found)
			}
			found.check(t)
		})
	}
}

// calibrateOnce draws a field and counts of it, updates, and counts the places of
// what was hidden.
func calibrateOnce(t *testing.T, m *sim.Model, watches []sim.Watch, particles int, seed uint64, found places) {
	t.Helper()
	w, err := m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(13, seed))
	sky, rec, theta := m.NewSky(), m.NewRecord(len(watches)), m.Calendar().Space.Central()
	sky.Fill(m, seed, 1<<30)
	w.DrawTheta(seed, 1<<30, theta)
	if err := w.Run(sim.Replicate{Seed: seed, Streams: sim.StreamsOf(1 << 30), Theta: theta}, sky, watches, rec); err != nil {
		t.Fatal(err)
	}
	var c []Count
	for k, x := range watches {
		areaM2, shown := 0.25, rec.Watched[k]
		if x.What == sim.WatchTop {
			areaM2, shown = 0.005, shown*Germinates().Quantile(r.Float64())
		}
		c = append(c, Count{Watch: x, Quadrats: quadrats(r, 15, areaM2, shown)})
	}
	got, err := Run(context.Background(), m, c, Options{Particles: particles, Seed: seed})
	if err != nil {
		t.Fatal(err)
	}
	weight := make([]float64, len(got.Posterior.Particles))
	column := func(of func(p *Particle) float64) []float64 {
		x := make([]float64, len(weight))
		for k := range x {
			p := &got.Posterior.Particles[k]
			weight[k], x[k] = p.Weight, of(p)
		}
		return x
	}
	for k := range watches {
		found.put(fmt.Sprintf("count %d", k+1), rec.Watched[k], column(func(p *Particle) float64 { return p.Seen[k] }), weight)
	}
	for _, path := range []string{"weed.heads_per_m2", "weeds/black-grass/site_residual"} {
		i := m.Calendar().Space.Index(path)
		found.put(path, theta[i], column(func(p *Particle) float64 { return p.Theta[i] }), weight)
	}
}
