package sim

import "rundown/params/date"

// Timeline is the first and the last day of a model's weather.
func (m *Model) Timeline() (first, last date.Day) { return m.first, m.last }

// RunTo begins a run and stops it after a day.
func (w *Worker) RunTo(day date.Day, r Replicate, sky *Sky, watches []Watch, out *Record) error {
	w.begin(r, sky, watches, out)
	return w.runTo(day)
}

// CopyFrom makes the worker go on where another stands.
func (w *Worker) CopyFrom(o *Worker, out *Record) { w.copyFrom(o, out) }

// GoOn runs to the end.
func (w *Worker) GoOn() error {
	if err := w.runTo(w.m.last); err != nil {
		return err
	}
	return w.wrong()
}

// NewPatchedWorker is a worker of a field whose patches have these shares of it, each with
// so many populations.
func (m *Model) NewPatchedWorker(populations int, shares ...float64) (*Worker, error) {
	return m.newWorker(shares, populations)
}

// NameField makes the model's field one among others.
func (m *Model) NameField(name string) { m.fieldName = name }
