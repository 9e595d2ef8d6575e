package random_test

import (
	"fmt"
	"math"
	"math/bits"
	"testing"

	"rundown/sim/random"
)

// bits52 are the 52 random bits of a uniform.
func bits52(u float64) uint64 { return uint64(u*0x1p53) >> 1 }

// One flipped bit of the address, the seed, the luck index or a tag should
// flip every output bit with chance ½. 64+64+32+64 input by 52 output bits make
// 11,648 binomial counts; |z| < 6 fails a good hash with chance below 3e-5.
func TestAvalanche(t *testing.T) {
	const trials = 4096
	for _, c := range []struct {
		name  string
		width int
		hash  func(i, flip uint64) float64
	}{
		{"address", 64, func(i, flip uint64) float64 { return random.Root(i, random.Chance, 7).Uniform(i*i ^ flip) }},
		{"counting address", 64, func(i, flip uint64) float64 { return random.Root(1, random.Chance, 0).Uniform(i ^ flip) }},
		{"seed", 64, func(i, flip uint64) float64 { return random.Root(i^flip, random.Chance, 0).Uniform(3) }},
		{"luck", 32, func(i, flip uint64) float64 { return random.Root(1, random.Chance, uint32(i^flip)).Uniform(3) }},
		{"tag", 64, func(i, flip uint64) float64 { return random.Root(1, random.Weather, 0).With(i ^ flip).Uniform(3) }},
	} {
		worst := 0.0
		for in := range c.width {
			var flipped [52]int
			for trial := range uint64(trials) {
				i := trial>>in<<(in+1) | trial&(1<<in-1) // counts without that bit, so that no pair comes twice
				d := bits52(c.hash(i, 0)) ^ bits52(c.hash(i, 1<<in))
				for ; d != 0; d &= d - 1 {
					flipped[bits.TrailingZeros64(d)]++
				}
			}
			for _, n := range flipped {
				worst = max(worst, math.Abs(float64(n)-trials/2)/(math.Sqrt(trials)/2))
			}
		}
		if worst >= 6 {
			t.Errorf("%s: an output bit flips too often or too seldom: |z| = %.2f", c.name, worst)
		}
	}
}

// pairings are the neighbours whose uniforms must be independent: u(i) and v(i)
// for i = 0, 1, 2, … The last ones are how package sim asks.
func pairings() map[string]func(i uint32) (u, v float64) {
	key := random.Root(2026, random.Chance, 5)
	at := func(f func(k uint32) uint64) func(uint32) (float64, float64) {
		return func(i uint32) (float64, float64) { return key.Uniform(f(2 * i)), key.Uniform(f(2*i + 1)) }
	}
	roots := func(f func(k uint32) random.Key) func(uint32) (float64, float64) {
		return func(i uint32) (float64, float64) { return f(i).Uniform(9), f(i + 1).Uniform(9) }
	}
	p := map[string]func(uint32) (u, v float64){
		"address":      at(func(k uint32) uint64 { return uint64(k) }),
		"high address": at(func(k uint32) uint64 { return uint64(k) << 40 }),
		"luck":         roots(func(k uint32) random.Key { return random.Root(1, random.Chance, k) }),
		"seed":         roots(func(k uint32) random.Key { return random.Root(uint64(k), random.Chance, 0) }),
		"high seed":    roots(func(k uint32) random.Key { return random.Root(uint64(k)<<44, random.Chance, 0) }),
		"tag":          roots(func(k uint32) random.Key { return key.With(uint64(k)) }),
		"text":         roots(func(k uint32) random.Key { return key.WithText(fmt.Sprint("weeds/", k)) }),
		"kind": func(i uint32) (float64, float64) {
			return random.Root(1, random.Weather, i).Uniform(9), random.Root(1, random.Season, i).Uniform(9)
		},
		"key and its child": func(i uint32) (float64, float64) {
			return key.Uniform(uint64(i)), key.With(uint64(i)).Uniform(0)
		},
	}
	for field := range 7 {
		p[fmt.Sprint("field ", field)] = func(i uint32) (float64, float64) {
			f := [7]uint8{3, 1, 2, 1, 0, 0, 0}
			day := int32(10000 + i/16)
			address := func() uint64 { return random.At(day, f[0], f[1], f[2], f[3], f[4], f[5]) }
			f[2] = uint8(i % 16)
			u := key.Uniform(address())
			if field == 6 {
				day++
			} else {
				f[field]++
			}
			return u, key.Uniform(address())
		}
	}
	return p
}

// Pairs fall evenly into 64 × 64 cells, by the leading bits and by the last
// ones: 32 chi-square tests of 4,095 degrees of freedom, each with a
// false-alarm rate of 1e-4.
func TestNeighboursIndependent(t *testing.T) {
	const pairs = 1 << 17
	limit := critical(t, "chi2", 4095)
	for name, pair := range pairings() {
		var top, bottom [4096]int
		for i := range uint32(pairs) {
			u, v := pair(i)
			a, b := bits52(u), bits52(v)
			top[a>>46<<6|b>>46]++
			bottom[(a&63)<<6|b&63]++
		}
		for part, counts := range map[string][]int{"leading bits": top[:], "last bits": bottom[:]} {
			if x := evenness(counts, pairs); x > limit {
				t.Errorf("%s, %s: chi-square %.0f, limit %.0f", name, part, x, limit)
			}
		}
	}
}

// Uniforms at counted addresses fall evenly into 1,024 cells: false-alarm rate
// 1e-4 for each of 3 keys and of leading, middle and last bits.
func TestUniformEven(t *testing.T) {
	const draws = 1 << 18
	limit := critical(t, "chi2", 1023)
	for luck := range uint32(3) {
		key := random.Root(11, random.Season, luck)
		var counts [3][1024]int
		for i := range uint64(draws) {
			b := bits52(key.Uniform(i))
			counts[0][b>>42]++
			counts[1][b>>21&1023]++
			counts[2][b&1023]++
		}
		for part := range counts {
			if x := evenness(counts[part][:], draws); x > limit {
				t.Errorf("luck %d, part %d: chi-square %.0f, limit %.0f", luck, part, x, limit)
			}
		}
	}
}

// Kolmogorov–Smirnov for Uniform and for Normal of it, the normal cdf being
// the standard library's erfc. False-alarm rate 1e-4 each.
func TestKolmogorovSmirnov(t *testing.T) {
	const draws = 20_000
	limit := critical(t, "ks", draws)
	key := random.Root(4, random.Parameters, 1)
	u, z := make([]float64, draws), make([]float64, draws)
	for i := range u {
		u[i] = key.Uniform(uint64(i))
		z[i] = math.Erfc(-random.Normal(key.Uniform(uint64(i+draws)))/math.Sqrt2) / 2
	}
	for name, x := range map[string][]float64{"uniform": u, "normal": z} {
		if d := distanceFromUniform(x); d > limit {
			t.Errorf("%s: distance %.5f, limit %.5f", name, d, limit)
		}
	}
}

// The extremes of the hash still give numbers strictly inside (0,1), and 1 − u
// is exact.
func TestUniformInside(t *testing.T) {
	low, high := 1.0, 0.0
	key := random.Root(0, random.Weather, 0)
	for i := range uint64(1 << 18) {
		u := key.Uniform(i)
		low, high = min(low, u), max(high, u)
		if v := 1 - u; 1-v != u {
			t.Fatalf("1 − (1 − %x) is %x", u, 1-v)
		}
	}
	if low <= 0 || high >= 1 {
		t.Errorf("range %v to %v", low, high)
	}
}
