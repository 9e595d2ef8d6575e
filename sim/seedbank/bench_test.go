package seedbank

import (
	"testing"

	"rundown/sim/random"
)

// BenchmarkTransitions closes one step of a full bank, quick and slow clocks, and
// draws its seedlings.
func BenchmarkTransitions(b *testing.B) {
	rates := typical()
	full := lots(rates)
	x := Exposure{Days: 9, Surface: 0.1, Back: 0.02, BackAutumn: 0.05}
	for l := range x.Warmth {
		x.Warmth[l] = 60
		x.Unripe[l], x.UnripeFresh[l], x.Spring[l] = 30, 36, 12
	}
	s := Step{Rates: rates, Since: &x, Keep: 0.2, Quick: Quick{Autumn: true, Spring: true}}
	c := Chance{Key: random.Root(1, random.Chance, 0), Day: 20000}
	emerged := int64(0)
	bank := lots(rates)
	b.ReportAllocs()
	for b.Loop() {
		copy(bank.Lots, full.Lots)
		var lost Losses
		c.Day++
		bank.CloseQuick(&s)
		bank.CloseSurface(&s)
		bank.CloseDeeper(&s)
		emerged += bank.ComeUp(&c, &lost).N
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
	bank := lots(rates)
	move := [Layers][Layers]float64{{0.1, 0.6, 0.2, 0.1, 0}, {0.05, 0.5, 0.25, 0.1, 0.1}, {0, 0.3, 0.4, 0.2, 0.1}, {0, 0.2, 0.2, 0.3, 0.3}, {0, 0, 0.1, 0.4, 0.5}}
	pass := Pass{Move: &move, KillSprouted: 0.6, Stirs: [Layers]float64{1, 1, 0.5, 0.2, 0}, Stimulus: 1.5}
	b.ReportAllocs()
	for b.Loop() {
		bank.Till(rates, &pass)
	}
}

// lots is a bank as a run has it: old seed of every layer, and a rain.
func lots(r *Rates) *Bank {
	b := new(Bank)
	b.Reset()
	for l := range Layers {
		b.AddOld(r, l, 100_000)
	}
	b.Lay(r, Fresh, Laid, 500_000, 0.4)
	return b
}
