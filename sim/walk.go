package sim

import (
	"fmt"

	"rundown/params/date"
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

// SeedByLayer is the seed in the soil per m² by layer, where a run stands.
func (w *Worker) SeedByLayer(out []float64) {
	for l := range out {
		out[l] = w.look(Watch{What: WatchSurface + Quantity(l)})
	}
}

// Result is the record of the run.
func (w *Worker) Result() *Record { return w.out }
