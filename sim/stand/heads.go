package stand

import (
	"math"

	"rundown/params/date"
	"rundown/sim/biotype"
	"rundown/sim/decay"
	"rundown/sim/random"
)

// Season is what the fecundity of a stand depends on besides its plants.
type Season struct {
	September15, February1 date.Day // between them a plant loses the same share of its heads with every day that it comes up later
	January15, April20     date.Day
	May18, June15          date.Day
	SpringCrop             bool
	Factor                 float64        // c: crop, crop density and cultivar, against winter wheat
	Genes                  *biotype.Genes // that evolve; nil: nothing does
	// Of one weed's values, worked out when first asked for; 0 until then: the fall of ln fecundity with a day
	// between 15 September and 1 February, and the fecundity by days from the first.
	fall   float64
	fading [fadingDays]float64
}

// fadingDays is the length of 15 September to 31 January.
const fadingDays = 139

// SeasonOf has the dates of a harvest year filled in.
func SeasonOf(harvestYear int, springCrop bool, factor float64) (s Season) {
	s.Set(harvestYear, springCrop, factor)
	return s
}

// Set makes it another season of the same weed.
func (s *Season) Set(harvestYear int, springCrop bool, factor float64) {
	s.September15, s.February1 = date.Of(harvestYear-1, 9, 15), date.Of(harvestYear, 2, 1)
	s.January15, s.April20 = date.Of(harvestYear, 1, 15), date.Of(harvestYear, 4, 20)
	s.May18, s.June15 = date.Of(harvestYear, 5, 18), date.Of(harvestYear, 6, 15)
	s.SpringCrop, s.Factor = springCrop, factor
}

// Rho is the fecundity of a plant by its day of emergence, 1 for 15 September and before.
func (p *Params) Rho(day date.Day, s *Season) float64 {
	if s.SpringCrop && day > s.January15 {
		rho := p.RhoSpringCrop
		if day > s.April20 {
			rho *= p.RhoLateSpring
		}
		return rho
	}
	switch {
	case day <= s.September15:
		return 1
	case day >= s.February1:
		return p.RhoFebruary
	}
	rho := &s.fading[day-s.September15]
	if *rho == 0 {
		if s.fall == 0 {
			s.fall = -math.Log(p.RhoFebruary) / fadingDays
		}
		*rho = decay.Left(s.fall * float64(day-s.September15))
	}
	return *rho
}

// Size is how much of a crop's yield a plant costs by its day of emergence, against a
// plant up by 15 September: as many heads as it bears. Plants that come up in a spring
// crop cost as much as an early plant; what they can do there stands in the crop's own factor.
func (p *Params) Size(day date.Day, s *Season) float64 {
	if s.SpringCrop && day > s.January15 {
		return 1
	}
	return p.Rho(day, s)
}

// fecundity is Rho of a plant that comes in time: what comes up after 18 May bears
// less and less, after mid-June nothing (assumed).
func (p *Params) fecundity(day date.Day, s *Season) float64 {
	if day <= s.May18 {
		return p.Rho(day, s)
	}
	return p.Rho(day, s) * float64(max(0, s.June15-day)) / float64(s.June15-s.May18)
}

// Heads are the heads of a stand, then the seed set on them. Early plants
// emerged by 15 January, late plants after it.
type Heads struct {
	Early, Late int64   // heads standing
	Crowding    float64 // h1·E/Hmax
	Shed        float64 // share of the seed set that has been shed by date, 0..1
	// Of the heads those of carriers, by class, early and late; mean heads of an early plant's worth.
	By   [biotype.Classes][2]int64
	each float64
}

// Form draws the heads of a stand that has been counted: negative binomial about the hyperbola's
// mean with size the number of plants that bear them (Naylor 1972: at least 40-fold between plants).
func (h *Heads) Form(s *Stand, p *Params, season *Season, areaM2 float64, c *Chance) {
	genes := season.Genes
	room := s.taken
	var bears, plants [biotype.Classes][2]float64
	for c := range s.classes() {
		for g, d := range s.dead[c] {
			bears[c][g], plants[c][g] = d.bears, d.plants
		}
	}
	var fecundity float64
	for i := range s.Cohorts {
		k := &s.Cohorts[i]
		if i == 0 || !k.alike(&s.Cohorts[i-1]) {
			fecundity = p.fecundity(k.Up, season)
		}
		e := float64(k.N) * fecundity * k.Cover
		room += e * k.room
		g := late(k.Up, season)
		own := e * k.bears
		if genes != nil {
			own *= s.cost(genes, i)
		}
		class := s.classOf(i)
		bears[class][g] += own
		plants[class][g] += float64(k.N)
	}
	h.Crowding = p.HeadsPerPlant * room / areaM2 / p.MaxHeadsPerM2
	each := season.Factor * p.HeadsPerPlant / (1 + h.Crowding)
	h.Early = c.heads(0, 0, bears[0][0]*each, plants[0][0])
	h.Late = c.heads(1, 0, bears[0][1]*each, plants[0][1])
	if genes != nil {
		h.each = each
		h.carry(bears[:], plants[:], c)
	}
}

func (c *Chance) heads(group, class uint8, mean, plants float64) int64 {
	if plants <= 0 || mean <= 0 {
		return 0
	}
	c.Made++
	u := c.luck(class).Uniform(random.At(c.Day, random.DrawHeads, 0, 0, group, 0, c.Zone))
	return random.NegativeBinomial(u, mean, plants)
}

// SetSeed draws the viable seed on the heads; season is the year's factor.
func (h *Heads) SetSeed(p *Params, season float64, c *Chance) int64 {
	each := p.Viability * season
	each *= math.Pow(1+h.Crowding, -p.CrowdingExponent)
	h.Shed = 0
	early, late := h.By[0][0], h.By[0][1] // of carriers
	return c.seeds(0, 0, float64(h.Early-early)*p.SeedsPerHead*each) + c.seeds(1, 0, float64(h.Late-late)*p.SeedsPerHeadLate*each)
}

func (c *Chance) seeds(group, class uint8, mean float64) int64 {
	if mean <= 0 {
		return 0
	}
	c.Made++
	return random.Poisson(c.luck(class).Uniform(random.At(c.Day, random.DrawSeeds, 0, 0, group, 0, c.Zone)), mean)
}

// Total is the heads standing.
func (h *Heads) Total() int64 { return h.Early + h.Late }

// Drop moves the shedding curve on to a share (0..1) and returns the share of what
// is left on the plants that falls.
func (h *Heads) Drop(share float64) float64 {
	if share <= h.Shed {
		return 0
	}
	p := (share - h.Shed) / (1 - h.Shed)
	h.Shed = share
	return p
}
