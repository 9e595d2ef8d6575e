package drivers

import (
	"fmt"
	"math/bits"

	"rundown/sim/random"
)

// MostDimensions is how many dimensions of the Sobol' sequence are tabled.
const MostDimensions = len(directions) + 1

// Sobol is a Sobol' sequence (Sobol' 1967) in base 2 by direction numbers, its
// points in the order of Antonov & Saleev (1979), scrambled as Owen does.
type Sobol struct {
	columns []([32]uint32) // direction numbers by dimension, the first in the highest bits
	keys    []random.Key   // of the scrambling, by dimension
}

// NewSobol makes a sequence of so many dimensions. Equal keys give equal
// points; different keys give independent scramblings.
func NewSobol(dimensions int, key random.Key) (*Sobol, error) {
	if dimensions < 1 || dimensions > MostDimensions {
		return nil, fmt.Errorf("a Sobol' sequence of %d dimensions was asked for; 1 to %d are tabled", dimensions, MostDimensions)
	}
	s := &Sobol{columns: make([][32]uint32, dimensions), keys: make([]random.Key, dimensions)}
	for d := range s.columns {
		s.columns[d] = column(d)
		s.keys[d] = key.With(uint64(d))
	}
	return s, nil
}

// column is the direction numbers of a dimension (0 is the first), by the
// recurrence of Bratley & Fox (1988, ACM TOMS 14:88–100).
func column(d int) (v [32]uint32) {
	if d == 0 {
		for k := range v {
			v[k] = 1 << (31 - k)
		}
		return v
	}
	row := directions[d-1]
	polynomial, m := row[0], row[1:]
	degree := bits.Len32(polynomial) - 1
	for k := range v {
		if k < degree {
			v[k] = m[k] << (31 - k)
			continue
		}
		v[k] = v[k-degree] ^ v[k-degree]>>degree
		for j := 1; j < degree; j++ {
			if polynomial>>(degree-j)&1 == 1 {
				v[k] ^= v[k-j]
			}
		}
	}
	return v
}

// plain is a coordinate of a point without scrambling, as a fraction of 2³².
func (s *Sobol) plain(point uint32, dimension int) uint32 {
	var x uint32
	for gray, k := point^point>>1, 0; gray != 0; gray, k = gray>>1, k+1 {
		if gray&1 == 1 {
			x ^= s.columns[dimension][k]
		}
	}
	return x
}

// At is a coordinate of a point, in (0, 1). Scrambling is nested and uniform
// (Owen 1995, in Monte Carlo and Quasi-Monte Carlo Methods in Scientific
// Computing, 299–317): each binary digit is turned round or not, at random, by
// all the digits before it.
func (s *Sobol) At(point uint32, dimension int) float64 {
	x, key := s.plain(point, dimension), s.keys[dimension]
	var out uint32
	for b := range 32 {
		before := uint64(1)<<b | uint64(x)>>(32-b) // the 1 tells digits from no digits
		digit := x >> (31 - b) & 1
		if key.Uniform(before) < 0.5 {
			digit ^= 1
		}
		out = out<<1 | digit
	}
	return (float64(out) + 0.5) / (1 << 32)
}
