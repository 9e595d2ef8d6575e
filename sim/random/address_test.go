package random_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"rundown/params/date"
	"rundown/sim/random"
)

// Every field can be read back from an address by the documented places, so no
// two draws share one; the two kinds of address differ in bit 17.
func TestAddressesDistinct(t *testing.T) {
	pick := rand.New(rand.NewPCG(7, 7))
	first, last := int32(date.Of(1900, time.January, 1)), int32(date.Of(2200, time.December, 31))
	days := []int32{first, first + 1, -1, 0, 1, last - 1, last}
	day := func() int32 {
		if pick.IntN(2) == 0 {
			return days[pick.IntN(len(days))]
		}
		return first + pick.Int32N(last-first+1)
	}
	field := func(top int) uint8 {
		switch pick.IntN(4) {
		case 0:
			return 0
		case 1:
			return uint8(top)
		}
		return uint8(pick.IntN(top + 1))
	}
	for range 100_000 {
		d, e := day(), day()
		what, layer, age, state := field(255), field(127), field(255), field(127)
		class, zone := field(255), field(255)

		at := random.At(d, what, layer, age, state, class, zone)
		part := func(low, bits int) uint64 { return at >> low & (1<<bits - 1) }
		if int32(part(0, 17))-25567 != d || part(17, 1) != 0 || part(18, 8) != uint64(what) ||
			part(26, 7) != uint64(layer) || part(33, 8) != uint64(age) || part(41, 7) != uint64(state) ||
			part(48, 8) != uint64(class) || part(56, 8) != uint64(zone) {
			t.Fatalf("At(%d, %d, %d, %d, %d, %d, %d) is %#x", d, what, layer, age, state, class, zone, at)
		}
		at = random.AtCohort(d, what, e, class, zone)
		if int32(part(0, 17))-25567 != d || part(17, 1) != 1 || part(18, 8) != uint64(what) ||
			int32(part(26, 17))-25567 != e || part(43, 5) != 0 ||
			part(48, 8) != uint64(class) || part(56, 8) != uint64(zone) {
			t.Fatalf("AtCohort(%d, %d, %d, %d, %d) is %#x", d, what, e, class, zone, at)
		}
	}
}

// Every patch and population of a field has a zone of its own; the first has zone 0.
func TestZonesDistinct(t *testing.T) {
	seen := map[uint8]bool{}
	for patch := range random.Patches {
		for population := range random.Populations {
			z := random.Zone(patch, population)
			if seen[z] || (z == 0) != (patch == 0 && population == 0) {
				t.Errorf("patch %d, population %d has zone %d", patch, population, z)
			}
			seen[z] = true
		}
	}
	for _, beyond := range [][2]int{{-1, 0}, {random.Patches, 0}, {0, -1}, {0, random.Populations}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("patch %d, population %d has a zone", beyond[0], beyond[1])
				}
			}()
			random.Zone(beyond[0], beyond[1])
		}()
	}
}

// Roots, tags and texts that differ give keys that differ.
func TestKeysDistinct(t *testing.T) {
	seen := map[random.Key]string{}
	add := func(name string, k random.Key) {
		if other, ok := seen[k]; ok {
			t.Errorf("%s and %s share a key", name, other)
		}
		seen[k] = name
	}
	for _, seed := range []uint64{0, 1, 2, 1 << 32, 1 << 63, ^uint64(0)} {
		for kind := random.Weather; kind < random.Kinds; kind++ {
			for _, luck := range []uint32{0, 1, 2, 1 << 31, ^uint32(0)} {
				add("a root", random.Root(seed, kind, luck))
			}
		}
	}
	k := random.Root(0, random.Parameters, 0)
	for _, text := range []string{"", "\x00", "\x00\x00", "a", "a\x00", "ab", "ba", "12345678", "12345678\x00", "1234567", "123456789", "912345678"} {
		add(text, k.WithText(text))
	}
	add("two texts", k.WithText("12345678").WithText("9"))
	add("two texts, swapped", k.WithText("9").WithText("12345678"))
	add("a field", k.Field("a"))
	add("another field", k.Field("b"))
	for i := 1; i < random.Populations; i++ { // the first has the key itself
		add("a population", k.Population(i))
	}
	for i := range uint64(1000) {
		add("a tag", k.With(i))
		add("tags", k.With(i).With(1000-i))
	}
}
