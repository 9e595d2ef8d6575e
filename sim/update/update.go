// Package update corrects a forecast by what was counted in the field.
//
// The plan says what was done until the last count: replicates that could not drill
// a planned crop in time are set aside. Replicates of the forecast are particles. Counts come in date by date and
// weigh them by the negative binomial likelihood of the quadrats, given what the
// model's field had on that day: iterated batch importance sampling (Chopin
// 2002, Biometrika 89:539–552). Where a date leaves few particles that count, it
// is let in by degrees (annealed importance sampling: Neal 2001, Stat. Comput.
// 11:125–139; Del Moral, Doucet & Jasra 2006, J. R. Stat. Soc. B 68:411–436),
// and between degrees particles are drawn anew and moved by Markov steps that
// leave what they have come to as it is (resample-move: Gilks & Berzuini 2001,
// J. R. Stat. Soc. B 63:127–146): their uncertain values to fresh draws near the
// kept ones, their luck one kind at a time to luck not used yet. Both respect the
// prior: the spreads of the calendar's Space, and what is known of the low-density
// cycle (sim.Worker.LogWeight).
//
// A field's state is known from its counts better than any parameter, so a
// particle keeps the luck that made its past. Its future is open: from the day
// after the last count it takes luck of its own (sim.Switch).
package update

import (
	"context"
	"fmt"
	"math"
	"slices"

	"rundown/params"
	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/counts"
	"rundown/sim/ensemble"
	"rundown/sim/random"
)

// Count is the quadrats, or cores, of one kind on one date.
type Count struct {
	Watch    sim.Watch // what of the field was counted, and when: WatchPlants, WatchHeads, or WatchTop for cores
	Quadrats []counts.Quadrat
}

// cores tells whether a count is of seedlings raised from soil.
func (c *Count) cores() bool { return c.Watch.What == sim.WatchTop }

// Options say how an update is run.
type Options struct {
	Particles int
	Seed      uint64
	Jobs      int                 // workers; 0: one per processor
	Progress  func(share float64) // how far the counts are let in, 0..1; may be nil
	Sweeps    int                 // moves of every particle after each drawing; 0: 8
}

const usualSweeps = 8

// Result is what the counts made of the forecast.
type Result struct {
	Posterior Posterior
	Seen      []Seen  // by count, in the order given
	Moved     []Moved // uncertain values, those that moved most first
	Steps     []Step  // of letting the dates in
	Effective float64 // effective sample size at the end
	Families  int     // particles of the prior from which those at the end descend
	Strayed   float64 // share of the prior that did not grow a planned crop by the last count, and so was set aside
}

// Run lets counts, in order of date, correct the forecast of a model.
func Run(ctx context.Context, m *sim.Model, c []Count, o Options) (*Result, error) {
	if len(c) == 0 {
		return nil, fmt.Errorf("an update needs at least one count")
	}
	u := newField(m, c, o)
	s := &sampler{key: u.key(), run: u.run, sweeps: o.Sweeps, step: firstStep,
		fresh: uint32(o.Particles), told: o.Progress, logW: make([]float64, o.Particles)}
	if s.sweeps == 0 {
		s.sweeps = usualSweeps
	}
	var err error
	if s.particles, err = u.start(ctx, o.Particles); err != nil {
		return nil, err
	}
	r := &Result{Seen: make([]Seen, len(c))}
	prior := slices.Clone(s.particles)
	for i := range prior {
		if prior[i].strayed {
			r.Strayed += 1 / float64(len(prior))
		}
	}
	if r.Strayed > 1-1e-9 {
		return nil, sim.Refuse("%s: in none of %d runs could the crops of the plan be drilled by the last count, %v, and the plan says that they were: "+
			"mend the dates of the plan, or give it the weather that there was", m.Calendar().At("seasons"), len(prior), u.last())
	}
	for i := range c {
		r.Seen[i].PriorTail, r.Seen[i].Expected = u.tail(i, prior, make([]float64, len(prior)), 0)
		r.Seen[i].Counted = counts.Estimate(c[i].Quadrats, bandLevel)
	}
	r.Steps, err = s.letIn(ctx, len(u.dates), func(d int) {
		for i := range c {
			if c[i].Watch.Day == u.dates[d] {
				r.Seen[i].BeforeTail, _ = u.tail(i, s.particles, s.logW, 1)
			}
		}
	})
	if err != nil {
		return nil, err
	}
	return r, r.finish(u, prior, s)
}

// field runs particles of a model past the counts.
type field struct {
	model    *sim.Model
	counts   []Count
	evidence []*evidence
	dates    []date.Day // of counts, each once
	watches  []sim.Watch
	asked    []sim.Watch // of a run: the watches, and on every date whether the plan was kept to
	at       []int       // of each count in that
	strayed  []int       // of each date in that
	options  Options
	values   int // uncertain values of the model; the share that germinates comes after them

	germinates *params.Value
}

func newField(m *sim.Model, c []Count, o Options) *field {
	f := &field{model: m, counts: c, options: o, values: len(m.Calendar().Space.Values), germinates: Germinates()}
	for i := range c {
		f.evidence = append(f.evidence, newEvidence(c[i].Quadrats))
		f.watches = append(f.watches, c[i].Watch)
		if d := c[i].Watch.Day; len(f.dates) == 0 || f.dates[len(f.dates)-1] != d {
			f.dates = append(f.dates, d)
			f.strayed = append(f.strayed, len(f.asked))
			f.asked = append(f.asked, sim.Watch{Day: d, What: sim.WatchStrayed})
		}
		f.at = append(f.at, len(f.asked))
		f.asked = append(f.asked, c[i].Watch)
	}
	return f
}

// key is the root of all draws of the update itself.
func (f *field) key() random.Key {
	return random.Root(f.options.Seed, random.Parameters, 0).WithText("update")
}

// last is the date of the last count.
func (f *field) last() date.Day { return f.dates[len(f.dates)-1] }

// start draws the particles of the prior: the first replicates of the forecast.
func (f *field) start(ctx context.Context, n int) ([]particle, error) {
	p := make([]particle, n)
	return p, f.replicates(ctx, p, func(w *sim.Worker, r int, theta []float64) {
		u := make([]float64, f.values+1)
		w.DrawUniforms(f.options.Seed, uint32(r), theta, u[:f.values])
		u[f.values] = random.Root(f.options.Seed, random.Parameters, uint32(r)).WithText(f.germinates.Path).Uniform(0)
		p[r].z, p[r].luck, p[r].from = u, sim.StreamsOf(uint32(r)), r
		for i, x := range u {
			p[r].z[i] = random.Normal(x)
		}
	})
}

// run fills the particles from their values and luck.
func (f *field) run(ctx context.Context, p []particle) error {
	return f.replicates(ctx, p, func(w *sim.Worker, r int, theta []float64) { f.theta(w, p[r].z, theta) })
}

// theta is the vector of values behind deviates.
func (f *field) theta(w *sim.Worker, z, theta []float64) {
	for i := range theta {
		theta[i] = w.Quantile(i, probability(z[i]))
	}
}

// probability is Φ(z), kept off 0 and 1.
func probability(z float64) float64 {
	return math.Min(math.Max(math.Erfc(-z/math.Sqrt2)/2, 0x1p-53), 1-0x1p-53)
}

// unplanned is the log likelihood of a run that did not grow a planned crop by the
// date of a count: the plan says what was done until then, so there is none.
const unplanned = -1000

// replicates runs particles to the last count and weighs what is seen.
func (f *field) replicates(ctx context.Context, p []particle, values func(w *sim.Worker, r int, theta []float64)) error {
	o := ensemble.Options{Replicates: len(p), Seed: f.options.Seed, Jobs: f.options.Jobs, Watches: f.asked, Keep: []sim.Metric{}}
	o.Case = func(w *sim.Worker, k int, r *sim.Replicate) {
		values(w, k, r.Theta)
		p[k].known = w.LogWeight(r.Theta)
		r.Streams, r.Until = p[k].luck, f.last()
	}
	out, err := ensemble.Run(ctx, []*sim.Model{f.model}, o)
	if err != nil {
		return err
	}
	for r := range p {
		p[r].seen, p[r].fit = make([]float64, len(f.counts)), make([]float64, len(f.dates))
		for d, at := range f.strayed {
			p[r].strayed = out[0].Watched(at)[r] == 1
			if p[r].strayed {
				p[r].fit[d] = unplanned
			}
		}
		d := 0
		for i := range f.counts {
			if f.watches[i].Day != f.dates[d] {
				d++
			}
			p[r].seen[i] = out[0].Watched(f.at[i])[r]
			if math.IsNaN(p[r].seen[i]) {
				return sim.Refuse("%s: by %v the plan is over in some runs, its last crop being harvested: "+
					"leave that count out, or add a season to the plan", f.model.Calendar().At("seasons"), f.watches[i].Day)
			}
			p[r].fit[d] += f.evidence[i].logLik(f.shown(i, &p[r]))
		}
	}
	return nil
}

// shown is the density that quadrats or cores of a count meet.
func (f *field) shown(i int, p *particle) float64 {
	if f.counts[i].cores() {
		return p.seen[i] * f.germinates.Quantile(probability(p.z[f.values]))
	}
	return p.seen[i]
}
