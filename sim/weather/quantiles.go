package weather

import (
	"math"
	"sync"

	"rundown/sim/tabled"
)

// quantiles is a quantile function as a table read with 32 random bits: 256
// straight pieces of equal probability, the last of them cut into 256 again.
// One draw, no rejection, so the number of draws of a day never varies.
type quantiles struct {
	body, tail [257]float64
}

const tailShare = 1.0 / 256

// at reads the table.
func (q *quantiles) at(bits uint32) float64 {
	t, x := &q.body, bits
	i := x >> 24
	if i == 255 {
		t, x = &q.tail, bits<<8
		i = x >> 24
	}
	y := t[i]
	return y + (t[i+1]-y)*float64(x&(1<<24-1))*(1.0/(1<<24))
}

// tabulate fills a table from a quantile function of the upper tail area; the
// end of the last piece is put where the piece has the mean given.
func tabulate(upper func(area float64) float64, lastMean float64) (q quantiles) {
	for i := range 256 {
		q.body[i] = upper(1 - float64(i)*tailShare)
		q.tail[i] = upper(tailShare * (1 - float64(i)*tailShare))
	}
	q.body[256] = q.tail[0] // never read: the tail begins at piece 255
	q.tail[256] = 2*lastMean - q.tail[255]
	return q
}

// moments are the mean and mean square of what the table gives.
func (q *quantiles) moments() (mean, square float64) {
	add := func(a, b, share float64) {
		mean += share * (a + b) / 2
		square += share * (a*a + a*b + b*b) / 3
	}
	for i := range 255 {
		add(q.body[i], q.body[i+1], tailShare)
	}
	for i := range 256 {
		add(q.tail[i], q.tail[i+1], tailShare*tailShare)
	}
	return mean, square
}

func (q *quantiles) scale(by float64) {
	for i := range q.body {
		q.body[i] *= by
		q.tail[i] *= by
	}
}

// gammaTable is a gamma of mean 1. Its mean is exact; its standard deviation is
// within 0.1 % of the gamma's for shapes of 0.546, Geng's least, to 3 (tested).
func gammaTable(shape float64) *quantiles {
	const n = len(quantiles{}.body)
	var both [2 * n]float64
	tabled.Of(tabled.Key("gamma", shape), both[:], func(to []float64) {
		q := newGamma(shape)
		copy(to[:n], q.body[:])
		copy(to[n:], q.tail[:])
	})
	return &quantiles{[n]float64(both[:n]), [n]float64(both[n:])}
}

func newGamma(shape float64) *quantiles {
	x := 0.0
	lg, _ := math.Lgamma(shape)
	q := tabulate(func(area float64) float64 {
		if area >= 1 {
			return 0
		}
		x = gammaQuantileOf(shape, lg, 1-area, x)
		return x
	}, 0)
	const last = tailShare * tailShare
	end := gammaQuantileOf(shape, lg, 1-last, shape+10)
	// E(X; X > end) of a gamma is shape times the tail of one of shape + 1.
	q.tail[256] = 2*shape*(1-gammaShare(shape+1, end))/last - end
	mean, _ := q.moments()
	q.scale(1 / mean)
	return &q
}

// normalTable is the upper half of a standard normal, scaled to variance
// exactly 1. Read with 31 bits; the 32nd is the sign. It is within 0.002 up to
// 3.7 sd (tested) and ends at 4.75 sd, which one day in 500,000 would pass.
var normalTable = sync.OnceValue(func() *quantiles {
	upper := func(area float64) float64 { return math.Sqrt2 * math.Erfinv(1-area) }
	const last = tailShare * tailShare
	end := upper(last)
	// Mean of a half normal beyond end: its density there over the area.
	q := tabulate(upper, math.Sqrt(2/math.Pi)*math.Exp(-end*end/2)/last)
	_, square := q.moments()
	q.scale(1 / math.Sqrt(square))
	return &q
})

// normal turns 32 bits into a standard normal.
func (q *quantiles) normal(bits uint32) float64 { return signed(q.at(bits<<1), bits) }

// signed gives a half normal the sign of the highest bit, without a branch that would be guessed wrong half the time.
func signed(half float64, bits uint32) float64 {
	return math.Float64frombits(math.Float64bits(half) | uint64(bits>>31)<<63)
}
