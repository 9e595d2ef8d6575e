package decide

import "math"

// Optimum is the choice with the best median of several, in order along an
// axis, and the flat part around it.
type Optimum struct {
	Best     int // index
	From, To int // the flat part: indices, Best among them
	Medians  []float64
}

// flat is the share of the best median within which a choice is as good.
const flat = 0.01

// Best finds the column with the highest median. A neighbour belongs to the
// flat part if its median is within 1 % of the best, or within the 95 % error of
// the difference of the two medians, whichever is more.
func Best(columns [][]float64) Optimum {
	o := Optimum{}
	for i, x := range columns {
		o.Medians = append(o.Medians, Median(x))
		if o.Medians[i] > o.Medians[o.Best] {
			o.Best = i
		}
	}
	top := o.Medians[o.Best]
	good := func(i int) bool {
		return top-o.Medians[i] <= max(flat*math.Abs(top), MedianError(columns[o.Best], columns[i]))
	}
	o.From, o.To = o.Best, o.Best
	for o.From > 0 && good(o.From-1) {
		o.From--
	}
	for o.To < len(columns)-1 && good(o.To+1) {
		o.To++
	}
	return o
}

// batches is into how many parts the replicates are dealt for the error of a
// median; batchT is Student's t of a two-sided 95 % interval with batches − 1
// degrees of freedom.
const (
	batches = 10
	batchT  = 2.262
)

// MedianError is the half-width of the 95 % interval of the difference of the
// medians of two paired columns, by batch means (Law 2015, section 9.5.3, from
// memory): the replicates are dealt into ten parts, and the differences of the
// parts' medians spread as much as those of the whole would, times √10. It is
// infinite with fewer than 20 replicates.
func MedianError(x, y []float64) float64 {
	if len(x) < 2*batches {
		return math.Inf(1)
	}
	d := make([]float64, batches)
	for b := range d {
		var p, q []float64
		for k := b; k < len(x); k += batches {
			p, q = append(p, x[k]), append(q, y[k])
		}
		d[b] = Median(p) - Median(q)
	}
	return batchT * math.Sqrt(variance(d)/batches)
}
