package biotype

import (
	"math"

	"rundown/sim/decay"
)

// The mean of a standard normal above x, φ(x)/(1 − Φ(x)), is asked for with every flush
// and every active. It comes from a table: 16 cells to 1, from −5 to 8, each with the
// polynomial of fifth degree that has its value and first two derivatives at both ends. Its error is
// below 1e-8 of the share above it; beyond the table it is worked out.
const (
	tailFrom  = -5.0
	tailPer   = 16
	tailCells = 13 * tailPer
)

var tailTable = func() *[tailCells][6]float64 {
	at := func(x float64) (i, d1, d2 float64) {
		i = meanAbove(x)
		d1 = i * (i - x)
		return i, d1 / tailPer, (2*i*d1 - i - x*d1) / (tailPer * tailPer)
	}
	var t [tailCells][6]float64
	for c := range t {
		x := tailFrom + float64(c)/tailPer
		a0, a1, a2 := at(x)
		b0, b1, b2 := at(x + 1.0/tailPer)
		a2 /= 2
		r0, r1, r2 := b0-a0-a1-a2, b1-a1-2*a2, b2-2*a2
		t[c] = [6]float64{a0, a1, a2, 10*r0 - 4*r1 + r2/2, -15*r0 + 7*r1 - r2, 6*r0 - 3*r1 + r2/2}
	}
	return &t
}()

// meanAbove is the mean of a standard normal above x, worked out.
func meanAbove(x float64) float64 {
	if x > 30 {
		return x + 1/x
	}
	return math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) / (0.5 * math.Erfc(x/math.Sqrt2))
}

// above is the share of a standard normal above x, and its mean.
func above(x float64) (share, mean float64) {
	y := (x - tailFrom) * tailPer
	if !(y >= 0 && y < tailCells) {
		return 0.5 * math.Erfc(x/math.Sqrt2), meanAbove(x)
	}
	c := int(y)
	p, t := &tailTable[c], y-float64(c)
	t2 := t * t
	mean = (p[0] + t*p[1]) + t2*((p[2]+t*p[3])+t2*(p[4]+t*p[5]))
	return decay.Left(x*x/2) * (1 / (math.SqrtPi * math.Sqrt2)) / mean, mean
}
