package sim

import (
	"fmt"
	"slices"

	"rundown/params/date"
	"rundown/sim/seedbank"
)

// A walk through a menu is a run that is stopped between seasons, so that others can go on
// from where it stands: rotations that begin alike are one run up to where they part. A worker
// stands still at the end of the day before its first season, or at the end of the day on
// which a season is harvested. What it does from there is what it would have done in a run of
// the rotation alone, to the bit.

// Begin starts a run and stops it before the first season.
func (w *Worker) Begin(r Replicate, sky *Sky, out *Record) (err error) {
	defer w.caught(r.Seed, r.Streams, &err)
	if err := w.unfit(r.Theta); err != nil {
		return err
	}
	if err := sky.wrong(&r); err != nil {
		return err
	}
	w.begin(r, sky, nil, out)
	return w.runTo(w.m.calendar.Start - 1)
}

// Ready makes a worker ready to go on, any number of times, where others stand that have
// begun a run with the same arguments.
func (w *Worker) Ready(r Replicate, sky *Sky, out *Record) { w.begin(r, sky, nil, out) }

// Resume goes on where another worker stands. Both have begun, or been made ready for, a
// run with the same arguments.
func (w *Worker) Resume(o *Worker) {
	w.runState.copyFrom(&o.runState, &w.u)
	copy(w.out.Seasons, o.out.Seasons)
	w.values = nil
	for s := range w.out.Seasons {
		if o.values == &o.out.Seasons[s] {
			w.values = &w.out.Seasons[s]
		}
	}
}

// Choose runs on through an entry of the menu, to the day on which the last of its seasons
// is harvested.
func (w *Worker) Choose(entry, years int) (err error) {
	defer w.caught(w.of.Seed, w.of.Streams, &err)
	w.chosen = entry
	last := w.season + years // behind seasons that are over; the first is number 0
	if w.stage == beforePlan {
		last--
	}
	for ; w.i < len(w.sky.Days.MeanC); w.i++ {
		w.today = w.m.first + date.Day(w.i)
		w.day()
		if w.refused != nil {
			return w.refused
		}
		if w.stage == cut && w.season == last {
			w.i++
			return nil
		}
	}
	return fmt.Errorf("entry %d of the menu was not harvested by %v", entry, w.m.last)
}

// Close ends a run whose last season has been harvested.
func (w *Worker) Close() (err error) {
	defer w.caught(w.of.Seed, w.of.Streams, &err)
	if err := w.runTo(w.m.first + date.Day(w.i)); err != nil {
		return err
	}
	return w.wrong()
}

// Pools are what a field holds of a weed between seasons, per m²: seed in the soil by age and
// layer, seed that hangs on the plants, and plants. More of any never helps later, where nothing
// is decided by what is seen and nothing is inherited.
const (
	Pools       = seedbank.Ages*seedbank.Layers + 2
	poolHanging = Pools - 2
	poolPlants  = Pools - 1
)

// Holds counts the pools where a run stands, and tells which crop was grown last.
func (w *Worker) Holds(out *[Pools]float64) (crop int) {
	w.aside.copyFrom(&w.runState, &w.u)
	w.fates = nil // what is only seen is not done
	*out = [Pools]float64{}
	for _, s := range w.spots {
		s.closeSlow()
		s.stand.Count(&s.plants, &s.tally)
		seen, soil := s.bank.Look(s.rates.P.Eaten, &s.draw, &s.lost), int64(0)
		for a := range seen {
			for l := range seen[a] {
				for _, n := range seen[a][l] {
					out[a*seedbank.Layers+l] += float64(n)
					soil += n
				}
			}
		}
		out[poolHanging] += float64(s.bank.Total() - soil)
		out[poolPlants] += float64(s.stand.Plants())
	}
	for i := range out {
		out[i] /= w.m.areaM2
	}
	w.runState.copyFrom(&w.aside, &w.u)
	return w.cropAt
}

// MoreSeedNeverHelps tells whether that can be said of a model: nothing evolves, since what is
// carried counts beside how much; and nothing is decided on the way, since more seed may lead to
// another choice.
func (m *Model) MoreSeedNeverHelps() bool {
	decides := func(d *decision) bool { return len(d.ifs) > 0 }
	if m.calendar.Genes != nil || decides(&m.opening) {
		return false
	}
	for i := range m.seasons {
		if decides(&m.seasons[i].then) || slices.ContainsFunc(m.seasons[i].courses, func(c course) bool { return len(c.ifs) > 0 }) {
			return false
		}
	}
	for _, entries := range m.places {
		for i := range entries {
			if decides(&entries[i]) {
				return false
			}
		}
	}
	return true
}

// Result is the record of the run.
func (w *Worker) Result() *Record { return w.out }
