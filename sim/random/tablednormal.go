package random

import "math"

// The table of the normal quantile has cells of the lower tail p: 16 to every
// halving of p, from ½ down to 2⁻⁴⁰, of which draws use those down to 2⁻¹³, each with the polynomial of seventh degree
// that has the quantile's value and first three derivatives at both ends (Hermite).
// Its error is below 1e-13.
const (
	cellBits  = 4
	cellShift = 52 - cellBits
	firstCell = (1023 - 40) << cellBits // of p = 2⁻⁴⁰
	allCells  = 39<<cellBits + 1        // the last holds ½ alone
	drawsFrom = 27 << cellBits          // the cell of 2⁻¹³
)

// cell is a polynomial in the position within its cell, from 0 to 1. It fills a cache line.
type cell [8]float64

// normalCells is the table; it is never written to.
var normalCells = tabulateNormal()

func tabulateNormal() *[allCells]cell {
	start := func(i int) float64 { return math.Float64frombits(uint64(firstCell+i) << cellShift) }
	var cells [allCells]cell
	for i := range cells[:allCells-1] {
		h := start(i+1) - start(i)
		a, b := taylor(Normal(start(i)), h), taylor(Normal(start(i+1)), h)
		r0 := b[0] - a[0] - a[1] - a[2] - a[3]
		r1 := b[1] - a[1] - 2*a[2] - 3*a[3]
		r2 := b[2] - a[2] - 3*a[3]
		r3 := b[3] - a[3]
		cells[i] = cell{a[0], a[1], a[2], a[3],
			35*r0 - 15*r1 + 5*r2 - r3, -84*r0 + 39*r1 - 14*r2 + 3*r3, 70*r0 - 34*r1 + 13*r2 - 3*r3, -20*r0 + 10*r1 - 4*r2 + r3}
	}
	return &cells
}

// taylor is the normal quantile about the probability of z, in units of h: its
// derivatives are s, z·s² and (1 + 2z²)·s³, s being 1 over the density at z.
func taylor(z, h float64) [4]float64 {
	s := h * math.Sqrt(2*math.Pi) * math.Exp(z*z/2)
	return [4]float64{z, s, z * s * s / 2, (1 + 2*z*z) * s * s * s / 6}
}

// NormalQuick is Normal from a table, good to 1e-13, in a fraction of the time; beyond 2⁻⁴⁰ on either
// side it is Normal. u is inside (0,1).
func NormalQuick(u float64) float64 {
	p := u
	if u > 0.5 {
		p = 1 - u
	}
	bits := math.Float64bits(p)
	i := bits>>cellShift - firstCell
	if i >= allCells {
		return Normal(u)
	}
	return normalCells[i].at(bits, u)
}

// tabledNormal is NormalQuick for draws: beyond 2⁻¹³ on either side it is Normal.
func tabledNormal(u float64) float64 {
	bits := math.Float64bits(0.5 - math.Abs(u-0.5)) // of u or 1 − u, which are exact for a uniform
	i := bits>>cellShift - (firstCell + drawsFrom)
	if i >= allCells-drawsFrom {
		return Normal(u)
	}
	return normalCells[i+drawsFrom].at(bits, u)
}

// at is the quantile of u in its cell; the position in it is in the bits of its tail. The sign comes
// without a branch, which would be taken at every other draw.
func (c *cell) at(bits uint64, u float64) float64 {
	t := float64(int64(bits&(1<<cellShift-1))) * (1.0 / (1 << cellShift))
	t2 := t * t
	z := ((c[0] + t*c[1]) + t2*(c[2]+t*c[3])) + t2*t2*((c[4]+t*c[5])+t2*(c[6]+t*c[7]))
	return math.Float64frombits(math.Float64bits(z) ^ math.Float64bits(0.5-u)&(1<<63))
}
