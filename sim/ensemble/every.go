package ensemble

import "rundown/sim"

// Every is the outcome of every n-th replicate from the k-th on, of some of the metrics that
// were kept: that of one point, where runs of several points stand in turn.
func (o *Outcome) Every(k, n int, metrics []sim.Metric) *Outcome {
	out := room(o.Model, 0, (o.Replicates-k+n-1)/n, metrics, 0, false)
	out.seasons = o.seasons
	for _, m := range metrics {
		for s := range o.seasons {
			from, to := o.Column(m, s), out.Column(m, s)
			for i := range to {
				to[i] = from[k+i*n]
			}
		}
	}
	return out
}
