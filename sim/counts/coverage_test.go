package counts

import (
	"math"
	"math/rand/v2"
	"testing"

	"rundown/sim/simtest"
)

// Intervals of a nominal 90 %, of the mean, of k and of a ratio, in fields of the
// kind that is walked. The truth beside each is of 20,000 fields of another seed,
// known to 0.25 %: read as Student's t they hold it about as often as they say, those
// of the mean and of k a little oftener with few quadrats (0.94 with five; read as
// a normal deviate, 0.85). From ten quadrats on all must also cover 87–93 %. 2,000
// fields know a share to 0.75 % at most: the bar of 3 % about the truth is four of
// those (one seed in 1,000 over the 21 checks). Being in an interval is read off its
// profile; that Estimate and Compare say the same is checked on the first 40 fields.
func TestCoverage(t *testing.T) {
	simtest.Stage(t, "long")
	r := rand.New(rand.NewPCG(5, 5))
	for _, c := range []struct {
		n              int
		perM2, k       float64
		mean, of, both float64 // the truth for the mean, for k and for the ratio of two sides
	}{
		{5, 16, 0.5, 0.935, 0.945, 0.885}, {10, 16, 0.5, 0.917, 0.915, 0.890}, {15, 16, 0.5, 0.912, 0.909, 0.893},
		{20, 16, 0.6, 0.905, 0.909, 0.894}, {30, 8, 1, 0.903, 0.903, 0.898}, {40, 20, 0.5, 0.904, 0.903, 0.897}, {50, 40, 1.5, 0.902, 0.904, 0.900},
	} {
		got := coverage(t, r, 2000, 40, c.n, c.perM2, c.k)
		for i, truth := range []float64{c.mean, c.of, c.both} {
			what := []string{"mean", "k", "ratio"}[i]
			t.Logf("%d quadrats, k %g, %s: %.3f covered", c.n, c.k, what, got[i])
			if math.Abs(got[i]-truth) > 0.03 || c.n >= 10 && (got[i] < 0.87 || got[i] > 0.93) {
				t.Errorf("%d quadrats, k %g, %s: %.3f covered, expected about %.3f and from 10 on 0.87 to 0.93", c.n, c.k, what, got[i], truth)
			}
		}
	}
}

// coverage is the shares of simulated fields whose 90 % intervals of the mean, of
// k and of a ratio of a half hold the truth. In the first of them the intervals as
// reported must agree.
func coverage(t *testing.T, r *rand.Rand, fields, reported, n int, perM2, k float64) [3]float64 {
	t.Helper()
	held := [3]float64{}
	mean := student(float64(n - 1)).Quantile(0.95)
	ratio := student(float64(2*n - 2)).Quantile(0.95)
	for i := range fields {
		half, whole := draw(r, n, 0.25, perM2/2, k), draw(r, n, 0.25, perM2, k)
		b, e := cells(whole), weigh(cells(half), cells(whole))
		in := [3]bool{true, true, true} // nothing found: k and the ratio from 0 to anything
		if _, _, sum := sums(b); sum == 0 {
			in[0] = NoneUpper(whole, AssumedK, 0.9) >= perM2
		} else {
			_, top := bestK(b)
			_, l := bestKAt(b, perM2)
			in[0] = l >= top-mean*mean/2
			in[1] = logLik(b, meanGiven(b, k), k) >= top-mean*mean/2
		}
		if e.found {
			in[2] = e.profile(0.5) >= e.top-ratio*ratio/2
		}
		for q, x := range in {
			if x {
				held[q] += 1 / float64(fields)
			}
		}
		if i >= reported {
			continue
		}
		f := Estimate(whole, 0.9)
		for q, x := range []struct {
			Interval
			truth float64
		}{{f.MeanPerM2, perM2}, {f.K, k}, {Compare(half, whole, 0.9).Interval, 0.5}} {
			if (x.Low <= x.truth && x.truth <= x.High) != in[q] {
				t.Errorf("%d quadrats, field %d, interval %d: %+v against %v by its profile (truth %g)", n, i, q, x.Interval, in[q], x.truth)
			}
		}
	}
	return held
}
