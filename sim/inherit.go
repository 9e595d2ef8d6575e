package sim

import (
	"math"

	"rundown/sim/biotype"
	"rundown/sim/random"
	"rundown/sim/seedbank"
	"rundown/sim/stand"
)

// heritage is what a population carries, beside what goes with its lots and cohorts. It is
// empty where nothing evolves.
type heritage struct {
	// What the seedlings of the last step met of herbicides in the soil: the actives in the order
	// in which they were sprayed, and the piece of work that laid each down.
	met   []biotype.Part
	metBy []int
	came  biotype.Total  // seedlings of the season so far, before any herbicide
	heads biotype.Pollen // of this June, as the heads carry it
}

// kinBook is the ledger by class: of carriers.
type kinBook struct {
	start, shed, brought biotype.Counts // seed
	plantsStart, cameUp  biotype.Counts
}

// roomMet is how many actives may be in the soil at once.
const roomMet = 32

// comeUpByClass turns what emerged into cohorts, one for each class that is there. They
// meet the actives in the soil each by what it inherits; the rest is as for all.
func (s spot) comeUpByClass(c *stand.Cohort, by *biotype.Kin) {
	all := c.N
	if !s.seedSet && s.stage != cut { // else they are of this summer's seed, and bear with the next
		s.came.Add(by, all)
	}
	if by.Carriers > 0 {
		s.book.cameUp.Add(&by.By)
	}
	g := &s.u.genes.Genes
	plain, alike := true, true // no trait is followed of what they meet; all classes meet the same
	for i := range s.met {
		plain = plain && s.met[i].Trait < 0
		alike = alike && s.met[i].Locus < 0
	}
	cover, smothered := s.coverSpares(), s.smothers()
	spared, met := s.spared, plain && alike
	if plain {
		s.stand.KeepTraits(&by.Traits, g.Traits)
	}
	for class := range biotype.Classes {
		n := by.By[class]
		if class == 0 {
			n = all - by.Carriers
		}
		if n == 0 {
			continue
		}
		if !met && (class > 0 || !plain) {
			traits := &by.Traits
			if !plain {
				traits = s.stand.KeepTraits(traits, g.Traits)
			}
			spared, met = 1-g.Meet(s.met, class, traits, 1), alike
		}
		s.stand.AddKin(c, uint8(class), n, 1-spared*cover, spared*cover*smothered)
	}
}

// meetsInSoil keeps what a residual programme kills of the unselected weed in this step.
func (s spot) meetsInSoil(r *residue) {
	u := &s.u.herbicides[r.of]
	for i := range r.Actives {
		if len(s.met) < roomMet {
			s.met = append(s.met, s.u.genes.part(u.kins[i], r.Kills[i]))
			s.metBy = append(s.metBy, r.By)
		}
	}
}

// killedInSoil is the share of the last step's seedlings that a piece of work killed.
func (s spot) killedInSoil(by int, n int64) float64 {
	from, to := -1, 0
	for i, x := range s.metBy {
		if x == by {
			if from < 0 {
				from = i
			}
			to = i + 1
		}
	}
	if from < 0 {
		return 0
	}
	return s.killOf(s.met[from:to], n, &s.bank.Came)
}

// killOf is the share of n plants, which go with kin, that actives kill.
func (s spot) killOf(parts []biotype.Part, n int64, kin *biotype.Kin) float64 {
	var by [biotype.Classes]float64
	for c := 1; c < biotype.Classes; c++ {
		by[c] = float64(kin.By[c])
	}
	return s.u.genes.KillOf(parts, float64(n), &by, &kin.Traits)
}

// pollinate sums up the pollen of a field's heads, before seed is drawn.
func (s spot) pollinate() {
	s.heritage.heads = biotype.Pollen{}
	for c := range biotype.Classes {
		if n := s.heads.HeadsOf(c); n > 0 {
			s.heritage.heads.Add(c, n)
		}
	}
}

// pollenFor is the pollen that a population's heads get: its own patch's, that of the rest of
// the field, and that from outside.
func (s spot) pollenFor() (all biotype.Pollen) {
	g := &s.u.genes.Genes
	var rest biotype.Pollen
	alone := true
	for _, o := range s.spots {
		if o.population == s.population || o.plants.Zone>>5 != s.plants.Zone>>5 { // another weed has pollen of its own
			continue
		}
		alone = false
		for k := range rest {
			rest[k] += o.heritage.heads[k]
		}
	}
	between := g.Between
	if alone {
		between = 0
	}
	all.Mix(1-g.FromOut-between, &s.heritage.heads)
	all.Mix(between, &rest)
	all.Mix(g.FromOut, &g.Outside)
	return all
}

// bearKin draws the seed of carriers' heads and what the seed of all heads carries: n are
// of mothers that carry nothing. It returns the seed of all.
func (s spot) bearKin(n int64, season float64) (all int64, kin biotype.Kin) {
	g := &s.u.genes.Genes
	pollen := s.pollenFor()
	still := s.m.calendar.Still
	var seed [biotype.Classes]int64
	for mother := range biotype.Classes {
		if mother > 0 {
			if n = 0; s.heads.By[mother] != [2]int64{} {
				n = s.heads.SetSeedOf(&s.u.weed.Plant, mother, season, &s.plants)
			}
		}
		if n > 0 {
			all += n
			if still {
				continue
			}
			shares := biotype.Offspring(mother, g.Self, &pollen)
			s.deal(n, mother, &shares, &seed)
		}
	}
	if still {
		kin = s.startKin(all, seedbank.Surface, seedbank.Ages+1, &s.u.genes.start.inside)
		s.book.shed.Add(&kin.By)
		return all, kin
	}
	s.mutate(&seed)
	for c := 1; c < biotype.Classes; c++ {
		kin.By[c] = seed[c]
		kin.Carriers += seed[c]
	}
	s.book.shed.Add(&kin.By)
	s.bearTraits(&kin)
	return all, kin
}

// deal shares seed of one class of mothers out by its own class: conditional binomials of
// a multinomial, the likeliest class being what is left.
func (s spot) deal(n int64, mother int, shares *[biotype.Classes]float64, seed *[biotype.Classes]int64) {
	likeliest := 0
	for c, x := range shares {
		if x > shares[likeliest] {
			likeliest = c
		}
	}
	rest := 1.0
	for c, x := range shares {
		if c == likeliest || x <= 0 || n == 0 {
			continue
		}
		at := random.At(s.plants.Day, random.DrawOffspring, uint8(mother), 0, uint8(c), 0, s.plants.Zone)
		k := random.Binomial(s.plants.Key.Uniform(at), n, min(x/rest, 1))
		seed[c] += k
		n -= k
		rest -= x
	}
	seed[likeliest] += n
}

// mutate makes a few copies of the genes that are followed resistant.
func (s spot) mutate(seed *[biotype.Classes]int64) {
	g := &s.u.genes.Genes
	before := *seed
	for locus, step := range [biotype.Loci]int{3, 1} {
		if !g.Followed[locus] || g.Mutation <= 0 {
			continue
		}
		for c, n := range before {
			copies := 2 - biotype.Copies(c, locus)
			if n == 0 || copies == 0 {
				continue
			}
			at := random.At(s.plants.Day, random.DrawMutation, uint8(c), 0, uint8(locus), 0, s.plants.Zone)
			k := min(random.Poisson(s.plants.Key.Uniform(at), g.Mutation*float64(copies)*float64(n)), seed[c])
			seed[c] -= k
			seed[c+step] += k
		}
	}
}

// bearTraits gives the seed of this year the traits of its parents.
func (s spot) bearTraits(kin *biotype.Kin) {
	g := &s.u.genes.Genes
	if g.Traits == 0 {
		return
	}
	mothers, pollen, parents := s.heads.Parents(&s.stand, &s.u.weed.Plant, s.bearing(), g)
	for t := range g.Traits {
		standing := g.Standing[t]
		m, o := mothers[t], pollen[t]
		if standing <= 0 && m == (biotype.Trait{}) {
			continue
		}
		mean := (1+g.Self)/2*m.Mean + (1-g.Self)/2*o.Mean
		if parents > 0 && m.Variance > 0 {
			at := random.At(s.plants.Day, random.DrawDrift, 0, 0, s.u.genes.number[t], 0, s.plants.Zone)
			mean += math.Sqrt(m.Variance/parents) * random.Normal(s.plants.Key.Uniform(at))
		}
		kin.Traits[t] = biotype.Trait{Mean: min(mean, biotype.MostMean), Variance: biotype.Seed(m.Variance, standing, g.Self)}
	}
}

// kinRoom is the room that a population has for what it carries; nothing where nothing evolves.
type kinRoom struct {
	seed   []biotype.Kin
	plants []stand.Kin
	traits []stand.Traits
	met    []biotype.Part
	by     []int
}

// evolve makes room for what a population carries.
func (q *population) evolve() {
	q.keepRoom(kinRoom{make([]biotype.Kin, 0, roomLots), make([]stand.Kin, 0, roomCohorts), make([]stand.Traits, 0, roomCohorts),
		make([]biotype.Part, 0, roomMet), make([]int, 0, roomMet)})
}

func (q *population) kinRoom() kinRoom {
	return kinRoom{q.bank.Kin, q.stand.Kin, q.stand.Traits, q.met, q.metBy}
}

// keepRoom gives a population its own room, emptied.
func (q *population) keepRoom(r kinRoom) {
	q.bank.Kin, q.stand.Kin, q.stand.Traits, q.met, q.metBy = r.seed[:0], r.plants[:0], r.traits[:0], r.met[:0], r.by[:0]
}

// copyKin copies what another carries.
func (q *population) copyKin(o *population) {
	if o.bank.Kin != nil {
		q.bank.Kin, q.stand.Kin = append(q.bank.Kin, o.bank.Kin...), append(q.stand.Kin, o.stand.Kin...)
		q.stand.Traits = append(q.stand.Traits, o.stand.Traits...)
		q.met, q.metBy = append(q.met, o.met...), append(q.metBy, o.metBy...)
	}
}

// contactToll is what a contact spray is to plants that differ in what they inherit.
func (s spot) contactToll(u *herbicideUnit) *stand.Toll {
	g := &s.u.genes
	if !g.On || u.kin.group < 0 {
		return nil
	}
	t := &s.toll
	*t = stand.Toll{Genes: &g.Genes, Parts: append(t.Parts[:0], g.part(u.kin, 1)), Whole: true}
	return t
}

// soilToll is the same of a residual programme on the day of spraying, to seedlings just up.
func (s spot) soilToll(u *herbicideUnit, a *residue, dry, temp float64) *stand.Toll {
	g := &s.u.genes
	if !g.On {
		return nil
	}
	t := &s.toll
	*t = stand.Toll{Genes: &g.Genes, Parts: t.Parts[:0]}
	for i := range a.Actives {
		t.Parts = append(t.Parts, g.part(u.kins[i], a.NowOf(i, dry, temp)))
	}
	return t
}

// carriers counts, by class, the seed and the plants that carry something, when last counted.
func (s spot) carriers() (seed, plants biotype.Counts) {
	for i := range s.bank.Kin {
		if s.bank.Lots[i].N > 0 {
			seed.Add(&s.bank.Kin[i].By)
		}
	}
	for i := range s.stand.Kin {
		if c := s.stand.Kin[i].Class; c > 0 {
			plants[c] += s.stand.Cohorts[i].N
		}
	}
	return seed, plants
}

// openKin starts the ledger by class.
func (s spot) openKin() {
	if !s.u.genes.On {
		return
	}
	s.book.start, s.book.plantsStart = s.carriers()
	s.came.Reset(s.u.genes.Traits)
}

// balances tells whether the books of a season balance by class.
func (s spot) balances() bool {
	seed, plants := s.carriers()
	b := &s.book
	for c := 1; c < biotype.Classes; c++ {
		if b.start[c]+b.shed[c]+b.brought[c] != seed[c]+s.lost.By[c] || b.plantsStart[c]+b.cameUp[c] != plants[c]+s.tally.By[c] {
			return false
		}
	}
	return true
}
