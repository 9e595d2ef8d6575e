package update

import (
	"fmt"
	"math"
	"strings"

	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
)

// Posterior is a field's histories as its counts left them: what a later run
// starts from.
type Posterior struct {
	Origin
	Seed      uint64   // of the random numbers behind every luck
	Last      date.Day // of the last count
	Paths     []string // of Theta, in order
	Watches   []sim.Watch
	Counted   []sim.Counted // what was counted of each
	Particles []Particle
}

// Particle is one history.
type Particle struct {
	Weight  float64     // share, 0..1; all add up to 1
	Streams sim.Streams // what made its past
	Theta   []float64   // uncertain values, by path
	Seen    []float64   // what the watches saw, per m²
}

// futures is the first luck index of futures: no past has one as high.
const futures = 1 << 31

// half is where a systematic draw stands that must be the same for all.
const half = 0.5

// Assign gives each of n replicates its particle, in proportion to weight; the
// same n gives the same.
func (p *Posterior) Assign(n int) []int {
	w := make([]float64, len(p.Particles))
	for i := range w {
		w[i] = p.Particles[i].Weight
	}
	return systematic(w, n, half)
}

// Options make an ensemble replay the histories, n of them, and run on: replicate
// r has the past of its particle and, from the day after the last count, the
// future r, which compared models share. Values that a plan does not share with
// the plan of the counts are the future's own.
func (p *Posterior) Options(n int, models ...*sim.Model) ensemble.Options {
	from := p.Assign(n)
	places := map[*sim.Model][]int{}
	for _, m := range models {
		places[m] = p.places(m)
	}
	return ensemble.Options{Replicates: n, Seed: p.Seed, Watches: p.Watches,
		Case: func(w *sim.Worker, index int, r *sim.Replicate) {
			x, future := &p.Particles[from[index]], uint32(futures)+uint32(index)
			at := places[w.Model()]
			if at[len(r.Theta)] != 0 {
				w.DrawTheta(p.Seed, future, r.Theta)
			}
			for i := range r.Theta {
				if at[i] >= 0 {
					r.Theta[i] = x.Theta[at[i]]
				}
			}
			r.Counted = p.Counted
			r.Streams, r.Switch = x.Streams, sim.Switch{Day: p.Last + 1, Streams: sim.StreamsOf(future)}
		}}
}

// places tells for every value of a model where it stands in Theta, −1 where it
// does not; one more number says whether any does not.
func (p *Posterior) places(m *sim.Model) []int {
	by := map[string]int{}
	for i, path := range p.Paths {
		by[path] = i
	}
	values := m.Calendar().Space.Values
	out := make([]int, len(values)+1)
	for i, v := range values {
		at, known := by[v.Path]
		if !known {
			at, out[len(values)] = -1, 1
		}
		out[i] = at
	}
	return out
}

// Departed is the share of replicates of an outcome, run with Options, whose
// past is not the one that was counted: 0 for the plan that was updated, and for
// every plan that is the same up to the last count.
func (p *Posterior) Departed(o *ensemble.Outcome) float64 {
	departed := 0
	for r, k := range p.Assign(o.Replicates) {
		for i := range p.Watches {
			a, b := o.Watched(i)[r], p.Particles[k].Seen[i]
			if math.Float64bits(a) != math.Float64bits(b) {
				departed++
				break
			}
		}
	}
	return float64(departed) / float64(o.Replicates)
}

// Fits reports why a model cannot take up the histories: other values in the
// library, or a plan that does something else up to the last count. "" means it
// can.
func (p *Posterior) Fits(m *sim.Model) string {
	c := m.Calendar()
	if have := c.Place().Library; have != p.LibrarySHA256 {
		return fmt.Sprintf("it was made with other values: the library's sha256 is %.12s…, that of the posterior %.12s…; make it anew with 'rundown update'",
			have, p.LibrarySHA256)
	}
	if open := c.Undecided(p.Last); len(open) > 0 {
		return strings.Join(open, "\n  ")
	}
	here, there := c.Departures(p.Last, p.Past)
	if len(here)+len(there) > 0 {
		return p.departs(here, there)
	}
	if last := c.Seasons[len(c.Seasons)-1].End; p.Last >= last {
		return fmt.Sprintf("the last count is of %v, and the plan ends on %v", p.Last, last)
	}
	for _, path := range p.Paths {
		if kind, rest, ok := strings.Cut(path, "/"); ok {
			name, key, _ := strings.Cut(rest, "/")
			if e := c.Library.Find(kind, name); e == nil || e.Value(key) == nil {
				return fmt.Sprintf("it holds %.80q, which is no value of the library: the file was changed", path)
			}
		}
	}
	for i, at := range p.places(m)[:len(c.Space.Values)] {
		for k := range p.Particles {
			if v := c.Space.Values[i]; at >= 0 && !(p.Particles[k].Theta[at] >= v.Low && p.Particles[k].Theta[at] <= v.High) {
				return fmt.Sprintf("particle %d has %s = %g, which can be %g to %g", k+1, v.Path, p.Particles[k].Theta[at], v.Low, v.High)
			}
		}
	}
	return ""
}

// departs says that a plan does other things than the one that was updated, what they are, and the ways out.
func (p *Posterior) departs(here, there []rotations.Fact) string {
	text := fmt.Sprintf("up to the last count, on %s, it does other things than the plan that was updated", p.Last.Short())
	mine, theirs := rotations.Unlike(here, there)
	for _, d := range []struct {
		who   string
		words []string
	}{{"only this plan has", mine}, {"only the plan that was updated has", theirs}} {
		for i, words := range d.words {
			if i == mostShown {
				text += fmt.Sprintf("\n  … and %d more", len(d.words)-i)
				break
			}
			text += fmt.Sprintf("\n  %s: %s", d.who, words)
		}
	}
	return text + fmt.Sprintf("\n  Change only what comes after %s, or run 'rundown update' with this plan", p.Last.Short())
}

// mostShown is how many differences of two plans are named.
const mostShown = 3
