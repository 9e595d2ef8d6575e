package drivers

import (
	"math"
	"testing"

	"rundown/sim/random"
)

// Scrambling keeps what makes the sequence good: of 2^m points in order, each
// interval of length 2^−m of every dimension holds one (Owen 1995), and each
// rectangle of area 2^−m of the first two dimensions too.
func TestScramblingKeepsNets(t *testing.T) {
	s, err := NewSobol(MostDimensions, random.Root(2, random.Parameters, 0))
	if err != nil {
		t.Fatal(err)
	}
	const m = 8
	for d := range MostDimensions {
		seen := [1 << m]int{}
		for k := range uint32(1 << m) {
			x := s.At(k, d)
			if x <= 0 || x >= 1 {
				t.Fatalf("point %d, dimension %d is %v", k, d, x)
			}
			seen[int(x*(1<<m))]++
		}
		for _, n := range seen {
			if n != 1 {
				t.Fatalf("dimension %d: an interval of length 1/256 holds %d of 256 points", d, n)
			}
		}
	}
	for a := range m + 1 {
		seen := map[[2]int]int{}
		for k := range uint32(1 << m) {
			seen[[2]int{int(s.At(k, 0) * math.Exp2(float64(a))), int(s.At(k, 1) * math.Exp2(float64(m-a)))}]++
		}
		if len(seen) != 1<<m {
			t.Errorf("rectangles 2^-%d by 2^-%d: %d of 256 hold a point", a, m-a, len(seen))
		}
	}
}

// Each scrambled point is uniform over scramblings: the mean of point 0 over
// 2,000 keys lies within four standard errors of 1/2 (false alarm 6e-5), and two
// keys give different points.
func TestScramblingUniform(t *testing.T) {
	sum := 0.0
	const keys = 2000
	for seed := range uint64(keys) {
		s, err := NewSobol(1, random.Root(seed, random.Parameters, 0))
		if err != nil {
			t.Fatal(err)
		}
		sum += s.At(0, 0)
	}
	if mean := sum / keys; math.Abs(mean-0.5) > 4*math.Sqrt(1.0/12/keys) {
		t.Errorf("point 0 has mean %.4f over %d scramblings", mean, keys)
	}
}

// The error of a mean falls faster than that of random points: at 4,096 points
// in six dimensions below a fifth of it, in root mean square over 20 scramblings.
func TestSequenceBeatsChance(t *testing.T) {
	f := linear()
	want := 0.0
	for _, c := range []float64{4, 3, 2, 1, 0.5} {
		want += c / 2
	}
	square := 0.0
	for seed := range uint64(20) {
		s, err := NewSobol(5, random.Root(seed, random.Parameters, 0))
		if err != nil {
			t.Fatal(err)
		}
		sum, x := 0.0, make([]float64, 5)
		for k := range uint32(4096) {
			for d := range x {
				x[d] = s.At(k, d)
			}
			sum += f.f(x)
		}
		square += math.Pow(sum/4096-want, 2) / 20
	}
	byChance := math.Sqrt((16 + 9 + 4 + 1 + 0.25) / 12.0 / 4096)
	if rms := math.Sqrt(square); rms > byChance/5 {
		t.Errorf("the mean is off by %.2g, random points by %.2g", rms, byChance)
	}
}

// A sequence that is not tabled is refused.
func TestTooManyDimensions(t *testing.T) {
	for _, n := range []int{0, MostDimensions + 1} {
		if _, err := NewSobol(n, random.Root(1, random.Parameters, 0)); err == nil {
			t.Errorf("%d dimensions are accepted", n)
		}
	}
}
