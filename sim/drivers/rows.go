package drivers

import "math"

// What a run of a row is, if it is none of a block: one of the two samples.
const (
	First  = -2
	Second = -1
)

// Points calls each for every row, sample and input with an index of its own: u is the
// point in (0, 1), value what the input is set to there; NaN for a constraint, which is
// no value of its own.
func (a *Analysis) Points(each func(row int, second bool, input int, u, value float64) error) error {
	for row := range a.Rows {
		for _, second := range []bool{false, true} {
			for _, i := range a.design.own {
				u, value := a.design.coordinate(i, row, second), math.NaN()
				if v := a.Inputs.List[i].Value; v != nil {
					value = v.Quantile(u)
				}
				if err := each(row, second, i, u, value); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// Outputs calls each for every run of the design, in the season that inputs are ranked
// by: block is the one that was taken from the second sample in the run, or First or
// Second; y is the metric on its scale.
func (a *Analysis) Outputs(each func(row, block int, y float64) error) error {
	per := a.design.runs()
	for run, y := range a.outputs {
		if err := each(run/per, a.design.order(run%per), y); err != nil {
			return err
		}
	}
	return nil
}
