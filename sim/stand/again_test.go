package stand

import (
	"math"
	"testing"

	"rundown/sim/random"
)

// Plants counted twice on one day, before and after thinning, and cohorts of one day meet luck of their own: what is
// left of ten has mean and variance of a binomial, of two tens those of their sum. (Five standard
// errors of 20,000: a false alarm in 400,000 seeds.)
func TestCountedTwiceOnOneDay(t *testing.T) {
	const n, live = 20000, 0.5
	var one, both [2]float64
	for i := range n {
		c := Chance{Key: random.Root(uint64(i), random.Chance, 0), Day: 20000}
		var s Stand
		var tally Tally
		for number := range uint8(2) {
			s.Add(Cohort{Day: 19900, Number: number, N: 10, Cover: 1}, 1-live, 0)
		}
		s.Count(&c, &tally)
		for k := range s.Cohorts {
			s.Cohorts[k].die(1 - live)
		}
		s.Count(&c, &tally)
		left := [2]float64{}
		for k := range s.Cohorts {
			left[s.Cohorts[k].Number] = float64(s.Cohorts[k].N)
		}
		one[0], one[1] = one[0]+left[0], one[1]+left[0]*left[0]
		sum := left[0] + left[1]
		both[0], both[1] = both[0]+sum, both[1]+sum*sum
		if s.Plants()+tally.Killed+tally.Died != 20 {
			t.Fatalf("%d live, %d killed, %d died of 20", s.Plants(), tally.Killed, tally.Died)
		}
	}
	for _, x := range []struct {
		what   string
		sums   [2]float64
		trials float64
	}{{"of one cohort", one, 10}, {"of both", both, 20}} {
		const p = live * live
		mean, variance := x.sums[0]/n, x.sums[1]/n-x.sums[0]/n*x.sums[0]/n
		want := x.trials * p * (1 - p)
		if math.Abs(mean-x.trials*p) > 5*math.Sqrt(want/n) {
			t.Errorf("%s %.3f live, expected %.3f", x.what, mean, x.trials*p)
		}
		if math.Abs(variance/want-1) > 5*math.Sqrt(2.0/n) {
			t.Errorf("%s the variance is %.3f, expected %.3f", x.what, variance, want)
		}
	}
}
