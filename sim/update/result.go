package update

import (
	"cmp"
	"math"
	"slices"

	"rundown/params"
	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/counts"
)

// bandLevel is the level of the intervals of counts, that of the outer band.
const bandLevel = 0.9

// Seen is what the forecast expected of a count, before and after, per m². For
// cores it is seedlings, not seed.
type Seen struct {
	Prior, Posterior bands.Band // of the field's density on that day
	Counted          counts.Fit
	Expected         bands.Band // of the mean of as many quadrats, before anything was counted
	// PriorTail is how far out the count lies in what the forecast expected of
	// the quadrats, 0..1: the share of fields that would have given fewer (ties
	// count half). BeforeTail is the same once the dates before it were let in.
	PriorTail, BeforeTail float64
}

// Moved is what the counts did to one uncertain value.
type Moved struct {
	Value            *params.Value
	Prior, Posterior bands.Band
	Shift            float64 // of the mean, in standard deviations of the prior, on the scale on which the prior is normal
	Narrowed         float64 // 1 − standard deviation after over before, on that scale; below 0 where it widened
	Error            float64 // standard error of the Shift: particles of one descent count as one
}

// tail is how far out a count lies in what weighted particles expect of the
// quadrats, and that expectation; stage keeps the draws of several askings apart.
func (f *field) tail(i int, p []particle, logW []float64, stage uint64) (below float64, expected bands.Band) {
	key := f.key().WithText("expected").With(stage).With(uint64(i))
	e := f.evidence[i]
	area := 0.0
	for _, s := range e.sizes {
		area += s.areaM2 * s.quadrats
	}
	means := make([]float64, len(p))
	w := weights(logW)
	for r := range p {
		own := key.With(uint64(r))
		n := e.draw(f.shown(i, &p[r]), own.Uniform(0), func(size int) float64 { return own.Uniform(uint64(1 + size)) })
		means[r] = n / area
		switch {
		case n < e.total:
			below += w[r]
		case n == e.total:
			below += w[r] / 2
		}
	}
	return below, bands.Summarise(means)
}

// counted is what was seen in every count: all of its quadrats together.
func counted(list []Count) []sim.Counted {
	var out []sim.Counted
	for _, c := range list {
		n, area := 0, 0.0
		for _, q := range c.Quadrats {
			n += q.N
			area += q.AreaM2
		}
		out = append(out, sim.Counted{Day: c.Watch.Day, What: c.Watch.What, DepthCM: c.Watch.DepthCM, PerM2: float64(n) / area})
	}
	return out
}

// finish sums up the particles at the end.
func (r *Result) finish(f *field, prior []particle, s *sampler) error {
	w := weights(s.logW)
	r.Effective = effective(s.logW)
	r.Posterior = Posterior{Seed: f.options.Seed, Last: f.last(), Watches: f.watches, Counted: counted(f.counts)}
	for _, v := range f.model.Calendar().Space.Values {
		r.Posterior.Paths = append(r.Posterior.Paths, v.Path)
	}
	families := map[int]bool{}
	worker, err := f.model.NewWorker()
	if err != nil {
		return err
	}
	for i, p := range s.particles {
		theta := make([]float64, f.values)
		f.theta(worker, p.z, theta)
		r.Posterior.Particles = append(r.Posterior.Particles, Particle{Weight: w[i], Streams: p.luck, Theta: theta, Seen: p.seen})
		families[p.from] = true
	}
	r.Families = len(families)
	from := systematic(w, len(w), half)
	after := make([]particle, len(from))
	for i, k := range from {
		after[i] = s.particles[k]
	}
	for i := range r.Seen {
		r.Seen[i].Prior = summarise(prior, func(p *particle) float64 { return f.shown(i, p) })
		r.Seen[i].Posterior = summarise(after, func(p *particle) float64 { return f.shown(i, p) })
	}
	r.moved(f, prior, after)
	return nil
}

// summarise summarises a quantity over equally weighted particles.
func summarise(p []particle, of func(*particle) float64) bands.Band {
	x := make([]float64, len(p))
	for i := range p {
		x[i] = of(&p[i])
	}
	return bands.Summarise(x)
}

// moved compares every uncertain value before and after.
func (r *Result) moved(f *field, prior, after []particle) {
	values := f.model.Calendar().Space.Values
	if slices.ContainsFunc(f.counts, func(c Count) bool { return c.cores() }) {
		values = append(slices.Clone(values), f.germinates)
	}
	for i, v := range values {
		before, sd := spread(prior, i)
		mean, left := spread(after, i)
		if sd == 0 {
			continue
		}
		of := func(p *particle) float64 { return v.Quantile(probability(p.z[i])) }
		r.Moved = append(r.Moved, Moved{Value: v, Prior: summarise(prior, of), Posterior: summarise(after, of),
			Shift: (mean - before) / sd, Narrowed: 1 - left/sd, Error: math.Sqrt(1/float64(len(prior)) + familyVariance(after, i, mean)/(sd*sd))})
	}
	slices.SortStableFunc(r.Moved, func(a, b Moved) int { return cmp.Compare(math.Abs(b.Shift), math.Abs(a.Shift)) })
}

// familyVariance is the variance of the mean of a value over particles of which
// some descend from one: the sum over families of their squared departures from
// the mean (Chan & Lai 2013, Ann. Stat. 41:2877–2904).
func familyVariance(p []particle, value int, mean float64) float64 {
	sums := map[int]float64{}
	for i := range p {
		sums[p[i].from] += (p[i].z[value] - mean) / float64(len(p))
	}
	var from []int
	for k := range sums {
		from = append(from, k)
	}
	slices.Sort(from) // sums of floats hang on their order
	v := 0.0
	for _, k := range from {
		v += sums[k] * sums[k]
	}
	return v
}

// spread is the mean and standard deviation of a value's deviates.
func spread(p []particle, value int) (mean, sd float64) {
	n := float64(len(p))
	for i := range p {
		mean += p[i].z[value] / n
	}
	for i := range p {
		sd += math.Pow(p[i].z[value]-mean, 2) / math.Max(1, n-1)
	}
	return mean, math.Sqrt(sd)
}
