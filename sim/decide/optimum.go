package decide

import "math"

// Optimum is the choice with the best mean of several, in order along an axis,
// and those around it that are as good. The mean, not the median, because money is
// what adds up over the years.
type Optimum struct {
	Best     int // index; −1: no choice may be taken
	From, To int // as good as the best, it among them
	Means    []float64
}

// Best finds the column with the highest mean of those that may be taken; nil: all
// may. A neighbour is as good if it may be taken and is not Parted from the best.
func Best(columns [][]float64, may []bool, least float64) Optimum {
	allowed := func(i int) bool { return may == nil || may[i] }
	o := Optimum{Best: -1, From: -1, To: -1}
	for i, x := range columns {
		o.Means = append(o.Means, mean(x))
		if allowed(i) && (o.Best < 0 || o.Means[i] > o.Means[o.Best]) {
			o.Best = i
		}
	}
	if o.Best < 0 {
		return o
	}
	good := func(i int) bool { return allowed(i) && !Parted(columns[o.Best], columns[i], least) }
	for o.From, o.To = o.Best, o.Best; o.From > 0 && good(o.From-1); {
		o.From--
	}
	for o.To < len(columns)-1 && good(o.To+1) {
		o.To++
	}
	return o
}

// Parted tells whether the means of two paired columns differ by more than the
// 95 % error of their difference, taken within each replicate, and by no less than what
// is worth speaking of.
func Parted(x, y []float64, least float64) bool {
	d := Differences(x, y)
	by := math.Abs(mean(d))
	return by >= least && by > MeanError(d)
}

// leastRuns is how few replicates an error is taken of.
const leastRuns = 20

// MeanError is the half-width of the 95 % interval of a mean, by the normal law; infinite
// with fewer than 20 replicates.
func MeanError(x []float64) float64 {
	if len(x) < leastRuns {
		return math.Inf(1)
	}
	return z95 * math.Sqrt(variance(x)/float64(len(x)))
}
