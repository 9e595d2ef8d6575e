package stand

import (
	"math"
	"testing"

	"rundown/params/date"
	"rundown/sim/biotype"
	"rundown/sim/random"
)

// inheriting is plants of one day of classes 0, 1, 3 and 7 with two traits, and those of a later day of class 0 and 4. What
// goes with the classes of a day is kept together, or with each of them apart.
func inheriting(apart bool) *Stand {
	var s Stand
	s.Kin = make([]Kin, 0, 8)
	keep := func(c Cohort, traits Traits, classes ...uint8) {
		for i, class := range classes {
			if i == 0 || apart {
				s.KeepTraits(&traits, 2)
			}
			s.AddKin(&c, class, 4000, 0.1, 0.05)
		}
	}
	keep(Cohort{Day: date.Of(2026, 10, 8), Up: date.Of(2026, 10, 4), Heat: 900, Spread: 30, Cover: 1},
		Traits{{Mean: 0.3, Variance: 0.2}, {Mean: 0.1, Variance: 0.1}}, 0, 1, 3, 7)
	keep(Cohort{Day: date.Of(2027, 2, 8), Up: date.Of(2027, 2, 1), Heat: 1500, Cover: 1}, Traits{{Mean: 0.2, Variance: 0.2}, {Variance: 0.1}}, 0, 4)
	return &s
}

// Plants of one day share their traits for as long as they can; what becomes of them is, to the bit, what becomes of each
// class that is kept apart: under actives that no gene, a gene, many genes and both protect from, whole and
// within reach, on seed that is set and not.
func TestSharedTraitsAreThoseOfEachClass(t *testing.T) {
	p, season := typical(), SeasonOf(2027, false, 1)
	genes := &biotype.Genes{On: true, Traits: 2, Protection: 0.95, Followed: [biotype.Loci]bool{true, true}, TraitCost: 0.02,
		Bears: [biotype.Classes]float64{1, 0.9, 1, 0.8, 1, 1, 1, 1, 1}}
	genes.Standing, genes.Relation[0][1], genes.Relation[1][0] = [biotype.MostTraits]float64{0.2, 0.1}, 0.3, 0.3
	season.Genes = genes
	part := func(kill float64, locus, trait int) biotype.Part {
		return biotype.Part{Kill: kill, Locus: locus, Trait: trait, Dominance: 0.7}
	}
	shared, apart := inheriting(false), inheriting(true)
	if len(shared.Traits) != 2 || len(apart.Traits) != 6 {
		t.Fatalf("%d and %d traits are kept", len(shared.Traits), len(apart.Traits))
	}
	for _, c := range []struct {
		name  string
		whole bool
		set   float64
		parts []biotype.Part
		kept  int // traits, afterwards
	}{
		{name: "none", kept: 2},
		{"no gene", true, 0, []biotype.Part{part(1, -1, -1)}, 2},
		{"many genes", true, 0.3, []biotype.Part{part(1, -1, 0)}, 2},
		{"a gene", true, 0, []biotype.Part{part(1, 0, -1)}, 2},
		{"residuals", false, 0, []biotype.Part{part(0.5, -1, 0), part(0.4, -1, 1)}, 2},
		{"residuals and a gene", false, 0.2, []biotype.Part{part(0.5, 1, -1), part(0.3, 0, -1)}, 2},
		{"both makes", true, 0.4, []biotype.Part{part(1, 1, 1)}, 6},
		{"residuals of both makes", false, 0.4, []biotype.Part{part(0.5, 1, -1), part(0.3, -1, 1)}, 6},
	} {
		for _, s := range []*Stand{shared, apart} {
			w := &Work{How: Loosen, Kill: Sizes{0.6, 0.5, 0.4}, Today: date.Of(2027, 3, 1), Heat: 1800, Season: &season, Ripe: Ripe{Set: c.set}}
			if c.parts != nil {
				w.Toll = &Toll{Genes: genes, Parts: append([]biotype.Part(nil), c.parts...), Whole: c.whole}
			}
			s.Meet(p, w)
		}
		for i := range shared.Cohorts {
			if a, b := shared.Cohorts[i], apart.Cohorts[i]; a != b {
				t.Errorf("%s: cohort %d is %+v, alone %+v", c.name, i, a, b)
			}
			if a, b := shared.Traits[shared.Kin[i].At], apart.Traits[apart.Kin[i].At]; a != b {
				t.Errorf("%s: traits of cohort %d are %v, alone %v", c.name, i, a, b)
			}
		}
		if len(shared.Traits) != c.kept {
			t.Errorf("%s: %d traits are kept, expected %d", c.name, len(shared.Traits), c.kept)
		}
	}
	for k := range shared.fallen {
		if a, b := shared.fallen[k], apart.fallen[k]; math.Abs(a.Mean-b.Mean) > 1e-12 || math.Abs(a.Variance-b.Variance) > 1e-12 {
			t.Errorf("trait %d of the dead is %v, alone %v", k, a, b)
		}
	}
	if shared.fallen[1].Mean <= 0.1 {
		t.Errorf("the dead have the traits %v", shared.fallen)
	}
	var heads [2]Heads
	for i, s := range []*Stand{shared, apart} {
		c := chance(400)
		c.ByClass.SetLuck(c.Key)
		var tally Tally
		s.Count(c, &tally)
		heads[i].Form(s, p, &season, 1e3, c)
	}
	if heads[0] != heads[1] {
		t.Errorf("heads are %+v, alone %+v", heads[0], heads[1])
	}
	a, b, n := heads[0].Parents(shared, p, &season, genes)
	c, d, m := heads[1].Parents(apart, p, &season, genes)
	if far := a[0].Mean - c[0].Mean + b[1].Variance - d[1].Variance; math.Abs(far) > 1e-12 || math.Abs(n/m-1) > 1e-12 {
		t.Errorf("parents are %v, %v, %v, alone %v, %v, %v", a, b, n, c, d, m)
	}
}

// Of carriers that are gone, as many were killed as if those of each cohort were drawn by themselves: mean and variance of
// 20,000 counts, of few plants and of many, against the binomials' own. Four tests of |z| < 4.4: a false alarm once in 20,000
// sets. The exact law of the sum is tested in sim/random. All plants are in the books.
func TestCarriersThatWereKilled(t *testing.T) {
	const counts = 20_000
	for _, each := range []int64{6, 400} {
		var mean, variance, sum, squares float64
		for k := range uint32(counts) {
			var s Stand
			s.Kin = make([]Kin, 0, 8)
			mean, variance = 0, 0
			for i, killed := range []float64{0.2, 0.5, 0.85} {
				s.KeepTraits(&Traits{}, 0)
				for _, class := range []uint8{1, 3, 4} {
					s.AddKin(&Cohort{Day: date.Day(20000 + i), Cover: 1}, class, each, killed, 0.1*(1-killed))
					mean += float64(each) * killed
					variance += float64(each) * killed * (1 - killed)
				}
			}
			c := &Chance{Key: random.Root(77, random.Chance, k), Day: 20100}
			c.ByClass.SetLuck(c.Key)
			var tally Tally
			s.Count(c, &tally)
			x := float64(tally.Killed) - mean
			sum += x
			squares += x * x
			if gone := 9*each - s.Plants(); tally.Killed+tally.Died != gone || tally.By.Sum() != gone || tally.By[3] > 3*each {
				t.Fatalf("%d plants are gone, the books have %+v", gone, tally)
			}
		}
		if z := sum / math.Sqrt(counts*variance); math.Abs(z) > 4.4 {
			t.Errorf("of %d each, %.4f are killed in the mean, expected %.4f (z %.1f)", each, mean+sum/counts, mean, z)
		}
		if z := (squares/counts/variance - 1) / math.Sqrt(2.0/counts); math.Abs(z) > 4.4 {
			t.Errorf("of %d each, the variance is %.3f, expected %.3f (z %.1f)", each, squares/counts, variance, z)
		}
	}
}
