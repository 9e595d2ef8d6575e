package seedbank

import (
	"testing"

	"rundown/sim/random"
)

// Seed that is moved and then looked at makes a multinomial: four seeds fall
// on three layers in each of the fifteen ways as often as the law says. Chances:
// scipy 1.10.1, scipy.stats.multinomial.pmf(x, 4, [0.15, 0.5, 0.35]); bound:
// scipy.stats.chi2.ppf(1 − 1e-4, 14), the false-alarm rate being 1e-4.
func TestMovedSeedIsMultinomial(t *testing.T) { movedSeed(t, 0) }

// So does seed that carries resistance, which is drawn by the luck of its class.
func TestMovedCarriersAreMultinomial(t *testing.T) { movedSeed(t, 4) }

func movedSeed(t *testing.T, carriers int64) {
	law := map[[3]int64]float64{
		{0, 0, 4}: 0.01500625, {0, 1, 3}: 0.08575, {0, 2, 2}: 0.18375, {0, 3, 1}: 0.175, {0, 4, 0}: 0.0625,
		{1, 0, 3}: 0.025725, {1, 1, 2}: 0.11025, {1, 2, 1}: 0.1575, {1, 3, 0}: 0.075,
		{2, 0, 2}: 0.0165375, {2, 1, 1}: 0.04725, {2, 2, 0}: 0.03375,
		{3, 0, 1}: 0.004725, {3, 1, 0}: 0.00675, {4, 0, 0}: 0.00050625,
	}
	const bound = 42.5792889531133
	move := [Layers][Layers]float64{{0.15, 0.5, 0.35, 0, 0}, {0, 1, 0, 0, 0}, {0, 0, 1, 0, 0}, {0, 0, 0, 1, 0}, {0, 0, 0, 0, 1}}
	const days = 40_000
	rates, b := typical(), new(Bank)
	if carriers > 0 {
		b.Evolve(0, 16)
	}
	seen := map[[3]int64]float64{}
	for day := range int32(days) {
		b.Reset()
		k := Lot{N: 4, Age: Fresh, From: Rain, all: 1}
		k.At[Surface][Dormant] = 1
		i := b.add(k)
		c := Chance{Key: random.Root(31, random.Chance, 0), Day: day}
		if carriers > 0 {
			b.Kin[i].Carriers, b.Kin[i].By[3] = carriers, carriers
			c.ByClass.SetLuck(c.Key)
		}
		b.Till(rates, &Pass{Move: &move})
		var lost Losses
		n := b.Look(0, &c, &lost)
		seen[[3]int64{n[Fresh][0][Dormant], n[Fresh][1][Dormant], n[Fresh][2][Dormant]}]++
	}
	square, total := 0.0, 0.0
	for x, p := range law {
		d := seen[x] - days*p
		square += d * d / (days * p)
		total += seen[x]
	}
	if total != days {
		t.Errorf("%v of %d movements lost or made seed", days-total, days)
	}
	if square > bound {
		t.Errorf("chi-square %.1f, bound %.1f", square, bound)
	}
}
