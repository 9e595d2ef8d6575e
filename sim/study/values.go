package study

import "rundown/sim"

// Values calls each for every replicate with the values that it was run with, in the
// order of the calendar's space. They are drawn again, which gives the same: a draw is
// a function of seed and replicate. each must not keep theta.
func (f *Forecast) Values(each func(replicate int, theta []float64) error) error {
	w, err := f.Outcome.Model.NewWorker()
	if err != nil {
		return err
	}
	central := f.Calendar.Space.Central()
	r := sim.Replicate{Seed: f.Seed, Theta: make([]float64, len(central))}
	draw := func(k int) { w.DrawTheta(f.Seed, uint32(k), r.Theta) }
	if f.Posterior != nil {
		of := f.Posterior.Options(f.Replicates, f.Outcome.Model).Case
		draw = func(k int) { of(w, k, &r) }
	}
	for k := range f.Replicates {
		copy(r.Theta, central)
		draw(k)
		if err := each(k, r.Theta); err != nil {
			return err
		}
	}
	return nil
}
