package seedbank

import (
	"math"
	"testing"

	"rundown/sim/random"
)

// Seedlings of two flushes of one day have luck of their own: of ten seeds of which half come up in the first, and
// half of the rest in the second, 7.5 come up in the mean, with the variance of a binomial. (Five standard
// errors of 20,000: a false alarm in 800,000 seeds.)
func TestTwoFlushesOfOneDay(t *testing.T) {
	const n, seeds = 20000, 10
	var sum, squares float64
	for i := range n {
		c := Chance{Key: random.Root(uint64(i), random.Chance, 0), Day: 20000}
		var b Bank
		b.Reset()
		var lost Losses
		r := Rates{P: Params{AutumnShare: 1}}
		at := b.Lay(&r, Fresh, Laid, seeds, 1)
		up := int64(0)
		for range 2 {
			k := &b.Lots[at]
			k.up, k.bare = k.all/2, k.all/2
			up += b.ComeUp(&c, &lost).N
		}
		if lost.Emerged != up {
			t.Fatalf("%d came up, %d are booked", up, lost.Emerged)
		}
		sum, squares = sum+float64(up), squares+float64(up*up)
	}
	const p = 0.75
	mean, want := sum/n, seeds*p*(1-p)
	if math.Abs(mean-seeds*p) > 5*math.Sqrt(want/n) {
		t.Errorf("%.3f come up, expected %.3f", mean, seeds*p)
	}
	if variance := squares/n - mean*mean; math.Abs(variance/want-1) > 5*math.Sqrt(2.0/n) {
		t.Errorf("the variance is %.3f, expected %.3f", variance, want)
	}
}
