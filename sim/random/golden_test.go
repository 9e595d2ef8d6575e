package random_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"rundown/sim/random"
)

// Every result of the program depends on these values: a seed quoted with a
// result must give that result for ever. Do NOT make changes to
// testdata/golden.txt. If the test fails, the change to the package is wrong.
// A new draw takes a new number and new lines at the end of golden().
//
// Uniforms, keys and addresses are whole-number arithmetic, the same on every
// machine. A draw could differ by one where a uniform falls within rounding,
// about 1e-15, of a step: none of these does.
func TestGolden(t *testing.T) {
	want, err := os.ReadFile("testdata/golden.txt")
	if err != nil {
		t.Fatal(err)
	}
	got := strings.Split(golden(), "\n")
	pinned := strings.Split(string(want), "\n")
	for i := range max(len(got), len(pinned)) {
		g, w := "(nothing)", "(nothing)"
		if i < len(got) {
			g = got[i]
		}
		if i < len(pinned) {
			w = pinned[i]
		}
		if g != w {
			t.Errorf("line %d is %q; pinned: %q", i+1, g, w)
		}
	}
}

// golden writes out what is pinned.
func golden() string {
	var out strings.Builder
	line := func(name string, values ...any) {
		out.WriteString(name)
		for _, v := range values {
			fmt.Fprintf(&out, " %v", v)
		}
		out.WriteByte('\n')
	}
	hex := func(u float64) string { return fmt.Sprintf("%013x", bits52(u)) }

	line("# Pinned values of package random. Do NOT change: see golden_test.go.")
	for _, seed := range []uint64{0, 1, 20260801, 1<<64 - 1} {
		for kind := random.Weather; kind < random.Kinds; kind++ {
			a, b := random.Root(seed, kind, 0), random.Root(seed, kind, 1000)
			line("uniform", seed, kind, hex(a.Uniform(0)), hex(a.Uniform(1)), hex(a.Uniform(1<<64-1)), hex(b.Uniform(0)))
		}
	}
	key := random.Root(1, random.Season, 3)
	line("with", hex(key.With(0).Uniform(0)), hex(key.With(2027).Uniform(0)), hex(key.With(1<<63).With(5).Uniform(9)))
	for _, text := range []string{"", "plough", "weeds/black-grass/seeds_per_head"} {
		line("text", fmt.Sprintf("%q", text), hex(key.WithText(text).Uniform(0)))
	}
	var p rand.PCG
	key.With(2027).Seed(&p)
	line("stream", fmt.Sprintf("%016x %016x %016x", p.Uint64(), p.Uint64(), p.Uint64()))
	line("address", fmt.Sprintf("%016x %016x %016x",
		random.At(20000, 1, 2, 3, 4, 5, 6), random.At(-25567, 255, 127, 255, 127, 255, 255), random.AtCohort(20000, 7, 19900, 1, 2)))

	key = random.Root(1, random.Chance, 3)
	for _, c := range []struct {
		n int64
		p float64
	}{{10, 0.3}, {40, 0.5}, {200, 0.97}, {1000, 0.01}, {3000, 0.006}, {1000, 0.5}, {5e6, 0.002}, {1e12, 0.75}} {
		line(fmt.Sprintf("binomial %v %v:", c.n, c.p), tenDraws(key, func(u float64) int64 { return random.Binomial(u, c.n, c.p) }))
	}
	for _, mean := range []float64{0.4, 7, 19, 60, 1e9} {
		line(fmt.Sprintf("poisson %v:", mean), tenDraws(key, func(u float64) int64 { return random.Poisson(u, mean) }))
	}
	for _, c := range []struct{ mean, size float64 }{{2, 0.3}, {18, 200}, {60, 30}, {5000, 4}, {1e8, 1e6}} {
		line(fmt.Sprintf("negbinomial %v %v:", c.mean, c.size), tenDraws(key, func(u float64) int64 { return random.NegativeBinomial(u, c.mean, c.size) }))
	}
	key = random.Root(1, random.Chance, 3)
	line("field", hex(key.Field("").Uniform(0)), hex(key.Field("Long Ground").Uniform(0)), hex(key.Field("Long Ground").With(2027).Uniform(9)))
	line("population", hex(key.Population(0).Uniform(0)), hex(key.Population(1).Uniform(0)), hex(key.Population(7).Uniform(0)))
	line("zone", random.Zone(0, 0), random.Zone(1, 0), random.Zone(31, 0), random.Zone(0, 1), random.Zone(31, 7))
	return out.String()
}

// tenDraws are draws at ten addresses.
func tenDraws(key random.Key, draw func(u float64) int64) string {
	var k [10]int64
	for i := range k {
		k[i] = draw(key.Uniform(uint64(i)))
	}
	return strings.Trim(fmt.Sprint(k), "[]")
}

// The numbers of the draws are part of every address.
func TestDrawNumbers(t *testing.T) {
	for i, number := range []uint8{
		random.DrawStart, random.DrawDeal, random.DrawLand, random.DrawLeave, random.DrawDie, random.DrawSleep,
		random.DrawThrough, random.DrawSprouted, random.DrawEmerge, random.DrawEaten, random.DrawDormantDie,
		random.DrawTillSprouted, random.DrawMove, random.DrawRelease, random.DrawResidual, random.DrawSurvive,
		random.DrawThin, random.DrawSpray, random.DrawTillPlants, random.DrawInCrop, random.DrawHeads,
		random.DrawHeadsRemoved, random.DrawSeeds, random.DrawShed, random.DrawSeedsRemoved, random.DrawCombine,
		random.DrawImport, random.DrawFrostKill, random.DrawComeUp,
		random.DrawAlive, random.DrawLost, random.DrawLayer, random.DrawState, random.DrawPlants, random.DrawKilled,
	} {
		if int(number) != i+1 {
			t.Errorf("draw %d has number %d", i+1, number)
		}
	}
}
