package search_test

import (
	"context"
	"math"
	"slices"
	"testing"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/search"
	"rundown/sim/simtest"
)

// three are three choices, of a wheat drilled early, one drilled late, and a cover before barley.
const three = `
field: {area_ha: 9, soil: silty-clay-loam, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 60}
years: YEARS
menu:
  early wheat: {crop: winter-wheat, drill: {date: 25 Sep}}
  late wheat: {crop: winter-wheat, spray_off: [{days_before_drilling: 2}], drill: {date: 14 Oct}, otherwise: spring-barley}
  cover and barley: {crop: spring-barley, cover: {mix: mustard, days_after_harvest: 14, destroy: 25 Jan}}
`

func tree(t testing.TB, years string, seed uint64) (*rotations.Choices, *search.Tree) {
	t.Helper()
	return grown(t, replaced(three, years), seed)
}

func replaced(text, years string) string {
	i := slices.Index([]byte(text), 'Y')
	return text[:i] + years + text[i+len("YEARS"):]
}

// With nothing dropped, what a race has of every rotation is what an ensemble of that rotation
// alone gives, to the bit: margins, and seed at the end.
func TestATreeIsItsRotationsAlone(t *testing.T) {
	const runs = 8
	lib := simtest.Library(t)
	c, x := tree(t, "3", 5)
	numbers := x.Every()
	got, err := x.Run(context.Background(), numbers, 0, runs, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(numbers) != 27 || x.Seasons(numbers) != 39 || x.Unshared(numbers) != 81 {
		t.Errorf("%d rotations, %d season-runs a replicate, %d unshared; 3³, 3 + 9 + 27 and 3·3³ are meant", len(numbers), x.Seasons(numbers), x.Unshared(numbers))
	}
	for row, n := range numbers {
		m, err := sim.New(simtest.Rotation(t, lib, c, x.Graph.Entries(x.Rotation(n))))
		if err != nil {
			t.Fatal(err)
		}
		o, err := ensemble.Run(context.Background(), []*sim.Model{m}, ensemble.Options{Replicates: runs, Seed: 5, Jobs: 1})
		if err != nil {
			t.Fatal(err)
		}
		for k := range runs {
			sum := 0.0
			for i := range 3 {
				sum += o[0].Column(sim.Margin, i)[k]
			}
			if seed := math.Log1p(o[0].Column(sim.SeedAfter, 2)[k]); got.Margin[row][k] != sum/3 || got.Seed[row][k] != seed {
				t.Fatalf("%v, run %d: %v and %v in the tree, %v and %v alone", c.Menu.Names(x.Graph.Entries(x.Rotation(n))), k, got.Margin[row][k],
					got.Seed[row][k], sum/3, seed)
			}
		}
	}
}

// A race finds what brute force finds: every rotation of the front that two standard errors
// part from whatever beats it, in at least 19 of 20 seeds. Brute force has all the runs of all.
func TestTheRaceFindsTheFront(t *testing.T) {
	simtest.Stage(t, "long") // twenty searches
	const seeds, runs = 20, 64
	missed := 0
	for seed := range uint64(seeds) {
		_, x := tree(t, "3", 100+seed)
		numbers := x.Every()
		f, err := search.Race{First: 32, Most: runs, Budget: math.MaxInt32}.Run(context.Background(), x, numbers)
		if err != nil {
			t.Fatal(err)
		}
		all, err := x.Run(context.Background(), numbers, 0, runs, nil)
		if err != nil {
			t.Fatal(err)
		}
		lost := false
		for row, n := range numbers {
			if clearlyOnFront(all, row) && !slices.Contains(f.Numbers, n) {
				lost = true
			}
		}
		if lost {
			missed++
		}
		if seed == 0 {
			t.Logf("%d of %d rotations are left, %d season-runs of %d by brute force, unshared %d", len(f.Numbers), len(numbers), f.Spent,
				x.Unshared(numbers)*runs, f.Alone)
		}
	}
	if missed > seeds/20 {
		t.Errorf("a member of the front is lost in %d of %d seeds", missed, seeds)
	}
}

// clearlyOnFront tells whether nothing comes within two standard errors of beating a row.
func clearlyOnFront(r *search.Results, row int) bool {
	ahead := func(x, y []float64) float64 { // mean difference over its standard error
		n, m, s := 0.0, 0.0, 0.0
		for k := range x {
			d := x[k] - y[k]
			n++
			step := d - m
			m += step / n
			s += step * (d - m)
		}
		if s == 0 {
			return math.Inf(1) * m
		}
		return m / math.Sqrt(s/(n-1)/n)
	}
	for i := range r.Margin {
		if i != row && ahead(r.Margin[row], r.Margin[i]) < 2 && ahead(r.Seed[i], r.Seed[row]) < 2 {
			return false
		}
	}
	return true
}

// The same bytes for any number of jobs, and of a beam too.
func TestJobsChangeNothing(t *testing.T) {
	var first *search.Field
	for _, jobs := range []int{1, 3} {
		_, x := tree(t, "4", 5)
		x.Jobs = jobs
		f, _, err := search.UsualBeam(search.Race{First: 16, Most: 32, Budget: 3000}, 5).Run(context.Background(), x)
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = f
		}
		if !slices.Equal(f.Numbers, first.Numbers) || f.Spent != first.Spent || !slices.Equal(f.Cloud, first.Cloud) {
			t.Errorf("%d jobs: %v, %d season-runs; one: %v, %d", jobs, f.Numbers, f.Spent, first.Numbers, first.Spent)
		}
	}
}
