package seedbank

import (
	"math/rand/v2"
	"testing"

	"rundown/sim/random"
)

// BenchmarkTransitions closes one step of a full bank, quick and slow clock both:
// every pool of every layer meets its fates.
func BenchmarkTransitions(b *testing.B) {
	rates := typical()
	full := fill(rand.New(rand.NewPCG(4, 4)))
	x := Exposure{Days: 9, Surface: 0.1, Back: 0.02, BackAutumn: 0.05}
	for l := range x.Warmth {
		x.Warmth[l] = 60
		x.Old[l], x.Fresh[l], x.Spring[l] = 30, 24, 12
	}
	s := Step{Rates: rates, Since: &x, Keep: 0.2, Quick: Quick{Autumn: true, Spring: true}}
	c := Chance{Key: random.Root(1, random.Chance, 0), Day: 20000}
	emerged := int64(0)
	b.ReportAllocs()
	for b.Loop() {
		bank := full
		var lost Losses
		c.Day++
		emerged += bank.CloseQuick(&s, &c, &lost).N + bank.CloseSlow(&s, &c, &lost).N
		if c.Day > 40000 { // days that an address can hold
			c.Day = 20000
		}
	}
	if emerged == 0 {
		b.Fatal("nothing came up")
	}
}

// BenchmarkTillage is one cultivation of a full bank.
func BenchmarkTillage(b *testing.B) {
	rates := typical()
	full := fill(rand.New(rand.NewPCG(4, 4)))
	move := [Layers][Layers]float64{{0.1, 0.6, 0.2, 0.1, 0}, {0.05, 0.5, 0.25, 0.1, 0.1}, {0, 0.3, 0.4, 0.2, 0.1}, {0, 0.2, 0.2, 0.3, 0.3}, {0, 0, 0.1, 0.4, 0.5}}
	pass := Pass{Move: &move, KillSprouted: 0.6, Stirs: [Layers]float64{1, 1, 0.5, 0.2, 0}, Stimulus: 1.5}
	c := Chance{Key: random.Root(1, random.Chance, 0), Day: 20000}
	b.ReportAllocs()
	for b.Loop() {
		bank := full
		var lost Losses
		bank.Till(rates, &pass, 1, &c, &lost)
	}
}
