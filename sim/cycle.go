package sim

import (
	"rundown/params/date"
	"rundown/sim/decay"
	"rundown/sim/seedbank"
	"rundown/sim/stand"
)

// cycle is the yearly step of the seedbank at low density, in expectation: the
// same shares that a run draws from, applied to one seed shed (column 0) and to
// one old seed of each layer on 1 July (columns 1–5). It gives the matrix of
// the old bank, what the rain leaves in it, and the plants of both.
type cycle struct {
	seed    [columns][seedbank.Layers][seedbank.States]float64
	bank    [columns][seedbank.Layers]float64 // old seed by layer a year on
	plants  [columns]float64                  // plants in the crop in spring
	returns [columns]float64                  // viable seed they return, if a plant up by 15 September bears one head
	heads   float64                           // heads of such a plant
	emerged [maxSteps][columns]float64        // seedlings by step
	live    [maxSteps]float64                 // share of them that become plants in spring
	spells  [seedbank.Layers]float64          // share of each layer stirred so far
	depth   int                               // layers that the work connects with the top; deeper seed never comes up
}

const (
	columns  = 1 + seedbank.Layers
	maxSteps = 64
)

// run sends one seed of each kind through the reference year.
func (c *cycle) run(r *Reference, work *refWork, weed *weedUnit, rates *seedbank.Rates) {
	c.start(work.depth)
	c.heads = weed.Plant.HeadsPerPlant
	p := &weed.Seed
	for l := range c.depth {
		ready := rates.Dealt(l)
		c.seed[1+l][l] = [seedbank.States]float64{seedbank.Dormant: 1 - ready,
			seedbank.AutumnReady: ready * p.AutumnShare, seedbank.SpringReady: ready * (1 - p.AutumnShare)}
	}
	plant := &weed.Plant
	shed := shedding{mean: onDate(refYear, plant.ShedDate), sd: plant.ShedSDD}
	year := r.season // a copy: what it works out hangs on the replicate
	season := &year
	at := r.position(p)
	fallen := 0.0
	for i := range r.steps {
		s := &r.steps[i]
		if i <= work.cut { // what falls meets half of its step on the whole
			due := shed.share(float64(s.end) - s.days/2)
			c.rain(due-fallen, p)
			fallen = due
		}
		c.step(i, s, at, rates, work.ground[i].Shelter())
		c.grow(i, s, work, weed, season)
		if i <= work.cut {
			due := shed.share(float64(s.end))
			if i == work.cut { // the combine takes a little of what is left, the rest falls
				due = 1 - (1-due)*plant.WithGrain
			}
			c.rain(due-fallen, p)
			fallen = due
		}
		c.work(i, work, rates, p)
	}
	for k := range c.bank {
		for l := range c.bank[k] {
			q := &c.seed[k][l]
			c.bank[k][l] = q[seedbank.Dormant] + q[seedbank.AutumnReady] + q[seedbank.SpringReady]
		}
	}
}

// start clears what the last run left.
func (c *cycle) start(depth int) {
	for k := range c.seed {
		c.seed[k] = [seedbank.Layers][seedbank.States]float64{}
	}
	c.plants, c.returns, c.spells = [columns]float64{}, [columns]float64{}, [seedbank.Layers]float64{}
	c.depth = depth
}

// refSeason is winter wheat at 200 plants per m².
func refSeason() stand.Season { return stand.SeasonOf(refYear+1, false, 1) }

// rain lands a share of the fresh seed on the surface.
func (c *cycle) rain(n float64, p *seedbank.Params) {
	if n <= 0 {
		return
	}
	ready := n * p.NonDormant
	q := &c.seed[0][seedbank.Surface]
	q[seedbank.Dormant] += n - ready
	q[seedbank.AutumnReady] += ready * p.AutumnShare
	q[seedbank.SpringReady] += ready * (1 - p.AutumnShare)
}

// step applies the fates of one step and notes the seedlings. shelter is the share of the ground under straw or stubble.
func (c *cycle) step(i int, s *refStep, at position, r *seedbank.Rates, shelter float64) {
	var up [columns]float64
	var a, b seedbank.Fates
	p, day := &r.P, r.On(s.mid)
	back, backAutumn := s.days*day.Back, s.days*day.BackAutumn
	hazard := (s.summer*p.SurfaceDeath+s.dryness*p.SurfaceDeathDry)*r.Sheltered(shelter) + (s.days-s.summer)*p.SurfaceDeathWinter
	dormant := decay.Left(hazard)
	for l := range c.depth {
		warm := s.warm(at, l)
		switch l {
		case seedbank.Surface:
			warm += s.drying(at) * p.ShelteredSkin * shelter
		case seedbank.Depth0to5:
			hazard = r.Buried() * s.days
			dormant = decay.Left(hazard)
		}
		second := r.K * warm
		left := decay.Left(second)
		q := r.Emergence(l, shelter)
		a.Meet(second*day.Old, hazard, backAutumn, second, left, 0)
		b.Meet(second*day.Spring, hazard, back, second, left, 0)
		c.pass(l, 1, c.depth, q, &a, &b, dormant, left, &up)
		if c.seed[0][l] == ([seedbank.States]float64{}) {
			continue
		}
		if g := r.Germination(l, shelter); g != 1 { // g slows fresh seed; of old seed it has set the share that is ready
			a.Meet(g*second*day.Old, hazard, backAutumn, second, left, 0)
			b.Meet(g*second*day.Spring, hazard, back, second, left, 0)
		}
		c.pass(l, 0, 0, q, &a, &b, dormant, left, &up)
	}
	c.sink(decay.Gone(p.SelfBurial * s.days))
	c.emerged[i] = up
}

// sink lets a share of the seed on the surface sink into the soil by itself.
func (c *cycle) sink(share float64) {
	if share <= 0 {
		return
	}
	for k := range c.depth + 1 {
		top, below := &c.seed[k][seedbank.Surface], &c.seed[k][seedbank.Depth0to5]
		for s, n := range top {
			n *= share
			top[s] -= n
			below[s] += n
		}
	}
}

// pass moves the pools of a layer through a step, of some columns, and adds what comes up, the share q of what is through.
func (c *cycle) pass(l, from, to int, q float64, a, b *seedbank.Fates, dormant, left float64, up *[columns]float64) {
	for k := from; k <= to; k++ {
		p := &c.seed[k][l]
		ready, spring, sprouted := p[seedbank.AutumnReady], p[seedbank.SpringReady], p[seedbank.Sprouted]
		p[seedbank.Dormant] = p[seedbank.Dormant]*dormant + ready*a.Sleep + spring*b.Sleep
		p[seedbank.AutumnReady] = ready * (1 - a.Leave)
		p[seedbank.SpringReady] = spring * (1 - b.Leave)
		p[seedbank.Sprouted] = sprouted*left + ready*a.Sprout + spring*b.Sprout
		up[k] += q * (ready*a.Through + spring*b.Through + sprouted*(1-left))
	}
}

// grow books the seedlings of a step that live through work and winter.
func (c *cycle) grow(i int, s *refStep, work *refWork, weed *weedUnit, season *stand.Season) {
	live, rho, seeds := fruit(i, s, work, weed, season)
	c.live[i] = live
	for k, n := range &c.emerged[i] {
		n *= live
		c.plants[k] += n
		c.returns[k] += n * rho * seeds
	}
}

// fruit is what becomes of a seedling of a step: the chance that it lives
// through work and winter, and then its heads, against those of a plant up by
// 15 September, and the viable seed on each.
func fruit(i int, s *refStep, work *refWork, weed *weedUnit, season *stand.Season) (live, rho, seeds float64) {
	p, up := &weed.Plant, s.middle()
	live, seeds = p.AutumnSurvival, p.SeedsPerHead
	if up > season.January15 {
		live, seeds = p.SpringSurvival, p.SeedsPerHeadLate
	}
	bears := up
	if i <= work.spray { // what outlives it starts afresh
		live *= 1 - work.sprayed
		bears = max(up, work.sprayedOn)
	}
	for k := range work.till {
		if t := &work.till[k]; i <= t.after {
			live *= 1 - t.unit.kills(t.moist).Of(p, t.heat-s.heat)
		}
	}
	return live, p.Rho(bears, season), seeds * p.Viability
}

// middle is the day in the middle of a step, on which its seedlings are taken to come up.
func (s *refStep) middle() date.Day { return s.end - date.Day(s.days/2) }

// work tills after a step.
func (c *cycle) work(i int, work *refWork, r *seedbank.Rates, p *seedbank.Params) {
	for k := range work.till {
		t := &work.till[k]
		if t.after != i {
			continue
		}
		day := t.day
		at := r.On(day)
		c.till(t.unit, p.Stimulus(t.topFC, t.kr)*at.Ripe(day), r, p)
	}
}

func (c *cycle) till(u *implementUnit, stimulus float64, r *seedbank.Rates, p *seedbank.Params) {
	stirs := u.stirs()
	missed := 0.0
	if u.bypass != nil {
		missed = u.Soil.Bypass
	}
	for k := 0; k <= c.depth; k++ {
		from := c.seed[k]
		for l := range from {
			from[l][seedbank.Sprouted] *= 1 - u.Soil.KillSprouted*stirs[l]
		}
		var to [seedbank.Layers][seedbank.States]float64
		for l := range c.depth {
			for m := range c.depth {
				share := u.move[l][m]
				if missed > 0 {
					share = (1-missed)*share + missed*u.bypass[l][m]
				}
				if share == 0 {
					continue
				}
				for s := range to[m] {
					to[m][s] += share * from[l][s]
				}
			}
		}
		c.seed[k] = to
	}
	for l, f := range stirs {
		if f <= 0 {
			continue
		}
		old := 1 - (1-f*(1-c.spells[l])*r.Stirred(l))*(1-min(1, f*p.StimulusOld*stimulus))
		fresh := min(1, f*p.StimulusFresh*stimulus)
		c.spells[l] += f * (1 - c.spells[l])
		for k := range c.seed {
			share := old
			if k == 0 {
				share = fresh
			}
			q := &c.seed[k][l]
			n := q[seedbank.Dormant] * share
			q[seedbank.Dormant] -= n
			q[seedbank.AutumnReady] += n * p.AutumnShare
			q[seedbank.SpringReady] += n * (1 - p.AutumnShare)
		}
	}
}

// year is the old bank a year on, with a year's rain on top.
func (c *cycle) year(bank [seedbank.Layers]float64, rain float64) (next [seedbank.Layers]float64) {
	for l := range next {
		next[l] = c.bank[0][l] * rain
		for k, n := range bank {
			next[l] += c.bank[1+k][l] * n
		}
	}
	return next
}

// steady is the old bank by layer that a steady rain of one seed keeps up: the
// solution of bank = M·bank + rain, by elimination (M has columns below 1).
func (c *cycle) steady() (bank [seedbank.Layers]float64) {
	n := c.depth
	var a [seedbank.Layers][seedbank.Layers]float64
	for l := range n {
		bank[l] = c.bank[0][l]
		for k := range n {
			a[l][k] = -c.bank[1+k][l]
		}
		a[l][l]++
	}
	for p := range n {
		for l := p + 1; l < n; l++ {
			f := a[l][p] / a[p][p]
			for k := p; k < n; k++ {
				a[l][k] -= f * a[p][k]
			}
			bank[l] -= f * bank[p]
		}
	}
	for l := n - 1; l >= 0; l-- {
		for k := l + 1; k < n; k++ {
			bank[l] -= a[l][k] * bank[k]
		}
		bank[l] /= a[l][l]
	}
	return bank
}

// yearly is what the cycle gives at a steady rain: viable seed returned per
// seed shed, and the share of plants that came from old seed.
func (c *cycle) yearly() (returned, old float64) {
	bank := c.steady()
	returned = c.returns[0]
	var plants float64
	for l, n := range bank {
		returned += n * c.returns[1+l]
		plants += n * c.plants[1+l]
	}
	return returned * c.heads, plants / (plants + c.plants[0])
}

// position is where a replicate's base values lie on the grid of nodes.
type position struct {
	i, j int
	u, v float64
}

func (r *Reference) position(p *seedbank.Params) position {
	var at position
	at.i, at.u = between(&r.tb, p.BaseTemperatureC, 1)
	at.j, at.v = between(&r.psi, p.BasePotentialMPa, -1)
	return at
}

// between finds the cell of x among nodes that rise (sign 1) or fall (−1).
func between(node *[nodes]float64, x, sign float64) (int, float64) {
	i := 0
	if sign*x >= sign*node[1] {
		i = 1
	}
	return i, min(max((x-node[i])/(node[i+1]-node[i]), 0), 1)
}

// warm is a step's warmth in a layer for a replicate's values, °C d.
func (s *refStep) warm(at position, l int) float64 {
	x, y := &s.warmth[at.i], &s.warmth[at.i+1]
	a := x[at.j][l] + at.v*(x[at.j+1][l]-x[at.j][l])
	b := y[at.j][l] + at.v*(y[at.j+1][l]-y[at.j][l])
	return a + at.u*(b-a)
}

// drying is what the drying of the skin takes from the warmth of the surface.
func (s *refStep) drying(at position) float64 {
	x, y := &s.skin[at.i], &s.skin[at.i+1]
	a := x[at.j] + at.v*(x[at.j+1]-x[at.j])
	b := y[at.j] + at.v*(y[at.j+1]-y[at.j])
	return a + at.u*(b-a)
}
