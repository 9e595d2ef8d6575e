package study

import (
	"slices"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/drivers"
)

// SweepRequest asks what the model makes of one uncertain value.
type SweepRequest struct {
	Calendar   *rotations.Calendar
	Metric     sim.Metric
	Season     int       // that is told of
	Path       string    // of the value
	At         []float64 // what it is set to
	Replicates int       // at each
	Seed       uint64
	sweep      *drivers.Sweep
}

// lay lays the sweep out, which takes a model. One that cannot be made is a Refused.
func (q *SweepRequest) lay() (*drivers.Sweep, error) {
	if q.sweep != nil {
		return q.sweep, nil
	}
	m, err := sim.New(q.Calendar)
	if err != nil {
		return nil, &Refused{Err: err}
	}
	q.sweep, err = drivers.NewSweep(m, drivers.SweepOptions{Metric: q.Metric, Path: q.Path, At: q.At, Replicates: q.Replicates, Seed: q.Seed})
	return q.sweep, err
}

// Runs are one round: every point for every replicate.
func (q *SweepRequest) Runs(given []Outcomes) ([]Runs, error) {
	s, err := q.lay()
	if err != nil || len(given) > 0 {
		return nil, err
	}
	return []Runs{{Round: Sweeping, Calendars: []*rotations.Calendar{q.Calendar}, Replicates: s.Runs(), Seed: q.Seed, Keep: q.keeps(),
		Design: s}}, nil
}

// keeps are the metrics that runs keep.
func (q *SweepRequest) keeps() []sim.Metric {
	if slices.Contains(sweptMetrics, q.Metric) {
		return sweptMetrics
	}
	return append([]sim.Metric{q.Metric}, sweptMetrics...)
}

// Sweep is a response to one value, all else as a forecast draws it.
type Sweep struct {
	*drivers.Sweep
	Season int
	Bands  [][]Band // by point and season
	Answer *SweepAnswer
	Apart  Band // the last point less the first in Season, run by run
}

// Find makes the result of its runs.
func (q *SweepRequest) Find(given []Outcomes) (*Sweep, error) {
	laid, err := q.lay()
	if err != nil {
		return nil, err
	}
	laid.Given(bySeason(given[0][0], q.Metric, len(q.Calendar.Seasons)))
	s := &Sweep{Sweep: laid, Season: q.Season, Answer: q.answer(laid, given[0][0])}
	for p := range q.At {
		var bands []Band
		for i := range q.Calendar.Seasons {
			bands = append(bands, band(laid.Column(p, i)))
		}
		s.Bands = append(s.Bands, bands)
	}
	s.Apart = difference(laid.Column(len(q.At)-1, q.Season), laid.Column(0, q.Season))
	return s, nil
}
