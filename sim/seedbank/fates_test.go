package seedbank

import (
	"math"
	"math/rand/v2"
	"testing"

	"rundown/sim/decay"
)

// Steps of any length agree: the fates of one long step are those of many
// short ones in a row, for any exposures. The reference is the pair of linear
// equations integrated by many small exact steps; tolerance 1e-9.
func TestStepsOfAnyLengthAgree(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		a, m, s, b := 3*r.Float64(), r.Float64(), 0.5*r.Float64(), 3*r.Float64()
		keep := 0.5 * r.Float64()
		whole := ReadyFates(a, m, s, b, decay.Left(b), keep)
		const n = 7
		ready, sprouted := 1.0, 0.0
		var die, sleep, through float64
		step := ReadyFates(a/n, m/n, s/n, b/n, decay.Left(b/n), keep)
		left := decay.Left(b / n)
		for range n {
			die += ready * step.Die
			sleep += ready * step.Sleep
			through += ready*step.Through + sprouted*(1-left)
			sprouted = sprouted*left + ready*step.Sprout
			ready *= 1 - step.Leave
		}
		for _, x := range []struct {
			name      string
			one, many float64
		}{
			{"ready", 1 - whole.Leave, ready}, {"dead", whole.Die, die}, {"dormant", whole.Sleep, sleep},
			{"sprouted", whole.Sprout, sprouted}, {"through", whole.Through, through},
		} {
			if math.Abs(x.one-x.many) > 1e-9 {
				t.Fatalf("a %.3f m %.3f s %.3f b %.3f: %s is %.12f in one step, %.12f in seven", a, m, s, b, x.name, x.one, x.many)
			}
		}
		if sum := 1 - whole.Leave + whole.Die + whole.Sleep + whole.Sprout + whole.Through; math.Abs(sum-1) > 1e-12 {
			t.Fatalf("the fates add up to %v", sum)
		}
	}
}

// With equal rates and nothing else the time to be through is Erlang-2; half
// of it is through at 1.678347 (median of the gamma law of shape 2; scipy
// 1.10.1, scipy.stats.gamma.ppf(0.5, 2) = 1.6783469900166605).
func TestMedianIsErlangTwo(t *testing.T) {
	f := ReadyFates(erlangMedian, 0, 0, erlangMedian, math.Exp(-erlangMedian), 0)
	if math.Abs(f.Through-0.5) > 1e-6 {
		t.Errorf("%.9f of the seed is through at the median, expected 0.5", f.Through)
	}
}

// The limits of a step: nothing met, nothing moves; a hazard alone only kills;
// equal rates do not divide by zero; tiny steps keep their digits.
func TestFatesLimits(t *testing.T) {
	for _, x := range []struct {
		name          string
		a, m, s, b    float64
		die, sprouted float64
	}{
		{"no exposure", 0, 0, 0, 0, 0, 0},
		{"death alone", 0, 0.3, 0, 0, 1 - math.Exp(-0.3), 0},
		{"a tiny hazard", 0, 1e-9, 0, 0, 1e-9, 0},
		{"equal rates", 0.4, 0, 0, 0.4, 0, 0.4 * math.Exp(-0.4)},
		{"germination with no second stage", 0.7, 0, 0, 0, 0, 1 - math.Exp(-0.7)},
	} {
		f := ReadyFates(x.a, x.m, x.s, x.b, decay.Left(x.b), 0)
		if math.Abs(f.Die-x.die) > 1e-9*max(x.die, 1e-6)+1e-15 || math.Abs(f.Sprout-x.sprouted) > 1e-9 {
			t.Errorf("%s: dead %v, sprouted %v; expected %v, %v", x.name, f.Die, f.Sprout, x.die, x.sprouted)
		}
	}
}
