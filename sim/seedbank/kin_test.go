package seedbank

import (
	"testing"

	"rundown/sim/biotype"
	"rundown/sim/random"
)

// A look at the seed, as a sample of the soil takes it, and the turn of the year keep every seed that
// carries resistance, by class: what is lost is in the books.
func TestCarriersOutliveALook(t *testing.T) {
	rates, b := typical(), new(Bank)
	b.Evolve(1, 16)
	b.Reset()
	b.Traits = 1
	i := b.add(Lot{N: 1000, Age: Fresh, From: Rain, all: 1})
	k := &b.Lots[i]
	k.comes(Surface)
	k.comes(Depth0to5)
	k.At[Surface], k.At[Depth0to5] = [States]float64{Dormant: 0.3, Sprouted: 0.1}, [States]float64{AutumnReady: 0.4}
	k.lost.dead, k.up = 0.1, 0.1
	b.Kin[i] = biotype.Kin{Carriers: 70, By: biotype.Counts{1: 40, 3: 25, 8: 5}, Traits: [biotype.MostTraits]biotype.Trait{{Mean: 0.4, Variance: 0.1}}}
	c := Chance{Key: random.Root(5, random.Chance, 0), Day: 900}
	c.ByClass.SetLuck(c.Key)
	var lost Losses
	check := func(when string) (seeds, carriers int64) {
		t.Helper()
		got := lost.By
		for i := range b.Lots {
			if b.Lots[i].N == 0 {
				continue
			}
			seeds, carriers = seeds+b.Lots[i].N, carriers+b.Kin[i].Carriers
			got.Add(&b.Kin[i].By)
			if b.Kin[i].Carriers != b.Kin[i].By.Sum() || b.Kin[i].Carriers > b.Lots[i].N {
				t.Errorf("%s: a lot of %d seeds has %+v", when, b.Lots[i].N, b.Kin[i])
			}
			if m := b.Kin[i].Traits[0].Mean; m < 0.39999 || m > 0.40001 {
				t.Errorf("%s: the mean of the trait is %g, expected 0.4", when, m)
			}
		}
		if want := (biotype.Counts{1: 40, 3: 25, 8: 5}); got != want {
			t.Errorf("%s: carriers by class are %v, expected %v", when, got, want)
		}
		if sum := seeds + lost.Died + lost.Eaten + lost.Fatal + lost.Carried + lost.Emerged; sum != 1000 {
			t.Errorf("%s: %d seeds, expected 1000", when, sum)
		}
		return seeds, carriers
	}
	b.ComeUp(&c, &lost)
	check("up")
	b.Look(0.1, &c, &lost)
	if seeds, carriers := check("looked at"); carriers < 40 || carriers >= 70 || seeds > 850 {
		t.Errorf("%d seeds, %d of them carriers, are left", seeds, carriers)
	}
	b.Turn(rates, &c, &lost)
	if _, carriers := check("turned"); carriers < 30 {
		t.Errorf("%d carriers are left", carriers)
	}
}
