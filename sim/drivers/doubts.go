package drivers

import "math"

// Doubts are what an analysis cannot tell with the rows that it has.
type Doubts struct {
	Tied     [][2]int // neighbours in rank among the leading inputs whose order is open: blocks
	Negative []int    // blocks with a first-order index below −0.01, which none can have: too few rows
	// RowsForWidth is how many rows would bring every index of the season within
	// ±0.05, by the square-root law; at most the rows that there are when they do.
	RowsForWidth int
	// RowsForOrder is how many rows would tell the order of the leading inputs; 0
	// when it is told already, −1 when that is more than a hundred times the rows, which is too far to tell from them.
	RowsForOrder int
}

// Leading is how many inputs a ranking is judged by.
const Leading = 5

const (
	wantedHalf  = 0.05
	negligible  = 0.01
	outOfBounds = 100
)

// Doubts judges the season that inputs are ranked by.
func (a *Analysis) Doubts() Doubts {
	x := a.Seasons[a.Season]
	var d Doubts
	half := 0.0
	for i := range a.Blocks {
		if x.First[i].Value < -negligible {
			d.Negative = append(d.Negative, i)
		}
		half = max(half, x.First[i].Half(), x.Total[i].Half())
	}
	d.RowsForWidth = powerOfTwo(float64(x.Rows) * (half / wantedHalf) * (half / wantedHalf))
	ranked := a.Ranked()
	times := 0.0
	for k := 0; k+1 < min(len(ranked), Leading); k++ {
		apart := x.Apart(ranked[k], ranked[k+1])
		if apart.Low > 0 || math.IsNaN(apart.Value) {
			continue
		}
		d.Tied = append(d.Tied, [2]int{ranked[k], ranked[k+1]})
		times = max(times, math.Pow(apart.Half()/apart.Value, 2))
	}
	switch {
	case len(d.Tied) == 0:
	case times < outOfBounds:
		d.RowsForOrder = powerOfTwo(times * float64(x.Rows))
	default:
		d.RowsForOrder = -1
	}
	return d
}

// powerOfTwo is the least power of two that is not below x.
func powerOfTwo(x float64) int {
	n := 1
	for float64(n) < x && n < 1<<30 {
		n *= 2
	}
	return n
}
